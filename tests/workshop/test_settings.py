"""The workshop's settings: rates, shelf, figures, devices, backup."""

from __future__ import annotations

import io
import re
import socket
import zipfile

import pytest
from django.test import Client

from loomwright.services.defaults import figures
from loomwright.workshop import devices
from loomwright.workshop.bench import BENCH
from loomwright.workshop.gate import OPENED, key, key_mark
from loomwright.workshop.shelf import SHELF, SHELF_TABLES, made_shelf

pytestmark = pytest.mark.django_db
FIGURE = "/settings/figures/lead_resistance/"


def page(client: Client, url: str = "/settings/") -> str:
    answer = client.get(url)
    assert answer.status_code == 200
    return answer.content.decode()


def let_in(client: Client) -> Client:
    session = client.session
    session[OPENED] = key_mark()
    session.save()
    return client


@pytest.fixture(autouse=True)
def nobody_listens(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(devices, "own_addresses", lambda: ())


def test_the_shelf_is_made_once_and_its_tables_are_linked(here: Client) -> None:
    assert not BENCH.jobs.exists(SHELF)
    text = page(here)
    for table in SHELF_TABLES:
        assert f"/jobs/{SHELF}/tables/{table}/" in text
    stamp = BENCH.jobs.read(SHELF)
    page(here)
    assert BENCH.jobs.read(SHELF) == stamp


def test_rates_are_kept_on_the_shelf(here: Client) -> None:
    page(here)
    rates = {"currency": "EUR", "was.currency": "", "labour_rate": "72,5", "was.labour_rate": ""}
    assert here.post("/settings/", rates).status_code == 303
    about = BENCH.jobs.read(SHELF).about
    assert (about.currency, about.labour_rate) == ("EUR", 72.5)
    assert "Kept: the rates" in page(here)


def test_a_wrong_rate_is_told_beside_its_field_and_not_kept(here: Client) -> None:
    page(here)
    answer = here.post("/settings/", {"labour_rate": "much", "was.labour_rate": ""})
    text = answer.content.decode()
    assert answer.status_code == 400
    assert 'id="f-labour_rate-error"' in text
    assert 'value="much"' in text
    assert BENCH.jobs.read(SHELF).about.labour_rate is None


def test_rates_that_another_changed_meanwhile_are_a_conflict(here: Client) -> None:
    page(here)
    here.post("/settings/", {"labour_rate": "70", "was.labour_rate": ""})
    answer = here.post("/settings/", {"labour_rate": "80", "was.labour_rate": ""})
    assert answer.status_code == 409
    assert BENCH.jobs.read(SHELF).about.labour_rate == 70


def test_every_figure_is_on_the_page_with_its_standing(here: Client) -> None:
    text = page(here, "/settings/figures/")
    for each in figures():
        assert f"/settings/figures/{each.name}/" in text
    one = page(here, FIGURE)
    for words in ("0.2", "0.05 to 1", "common practice", "no published source"):
        assert words in one


def test_figures_are_found_by_words(here: Client) -> None:
    text = page(here, "/settings/figures/?find=lead+resistance")
    assert "lead_resistance" in text
    assert "comeback_hours" not in text


def test_an_own_figure_is_kept_shown_first_and_given_back(here: Client) -> None:
    own = {"value": "0,3", "was.value": "", "note": "own meter", "was.note": ""}
    assert here.post(FIGURE, own).status_code == 303
    kept = BENCH.jobs.read(SHELF).settings
    assert [(each.name, each.value, each.note) for each in kept] == [
        ("lead_resistance", 0.3, "own meter")
    ]
    assert "your own; shipped 0.2" in page(here, "/settings/figures/")
    assert "1 of your own" in page(here)
    assert here.post(FIGURE, {"ship": "1"}).status_code == 303
    assert BENCH.jobs.read(SHELF).settings == ()
    assert here.post(FIGURE, {"ship": "1"}).status_code == 303


def test_a_figure_far_from_usual_is_kept_with_a_caution(here: Client) -> None:
    here.post(FIGURE, {"value": "30", "was.value": "", "note": "", "was.note": ""})
    assert "outside the usual 0.05 to 1" in page(here, "/settings/figures/")


@pytest.mark.parametrize("value", ["", "much", "-1"])
def test_a_wrong_figure_is_told_beside_its_field(here: Client, value: str) -> None:
    answer = here.post(FIGURE, {"value": value, "was.value": "", "note": "", "was.note": ""})
    assert answer.status_code == 400
    assert 'id="f-value-error"' in answer.content.decode()
    assert BENCH.jobs.read(made_shelf()).settings == ()


def test_two_people_who_set_one_figure_see_both_values(here: Client) -> None:
    here.post(FIGURE, {"value": "0.3", "was.value": "", "note": "", "was.note": ""})
    here.post(FIGURE, {"value": "0.4", "was.value": "0.3", "note": "", "was.note": ""})
    answer = here.post(FIGURE, {"value": "0.5", "was.value": "0.3", "note": "", "was.note": ""})
    assert answer.status_code == 409
    assert BENCH.jobs.read(SHELF).settings[0].value == 0.4


def test_an_unknown_figure_is_not_found(here: Client) -> None:
    assert here.get("/settings/figures/nonsense/").status_code == 404


def test_served_to_this_machine_alone_the_page_says_how_to_open_it(here: Client) -> None:
    text = page(here)
    assert "loomwright serve --host 0.0.0.0" in text
    assert key() not in text


def test_served_on_the_network_it_shows_the_code_that_lets_a_device_in(
    here: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(devices, "own_addresses", lambda: ("192.0.2.9", "192.0.2.10"))
    monkeypatch.setattr(devices, "answers", lambda host, port: host == "192.0.2.9")
    text = page(here)
    assert f"http://192.0.2.9:80/join/{key()}/" in text
    assert "192.0.2.10" not in text
    assert re.search(r'class="code"><svg[^>]*viewBox', text)


def test_whether_anything_listens_is_found_out() -> None:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        port = listening.getsockname()[1]
        assert devices.answers("127.0.0.1", port)
    assert not devices.answers("127.0.0.1", port)


def test_a_new_key_shuts_other_devices_out(here: Client, far: Client) -> None:
    let_in(far)
    assert far.get("/settings/").status_code == 200
    before = key()
    assert here.post("/settings/key/").status_code == 303
    assert key() != before
    assert far.get("/settings/").status_code == 403


def test_only_this_machine_renews_the_key_and_takes_a_backup(far: Client) -> None:
    let_in(far)
    before = key()
    assert far.post("/settings/key/").status_code == 403
    assert far.get("/settings/backup/").status_code == 403
    assert key() == before
    text = page(far)
    assert "Renew the key" not in text
    assert "Take a backup now" not in text


def test_looking_at_the_keys_address_renews_nothing(here: Client) -> None:
    before = key()
    assert here.get("/settings/key/").status_code == 405
    assert key() == before


@pytest.mark.django_db(transaction=True)
def test_a_backup_is_downloaded(demo: str, here: Client) -> None:
    answer = here.get("/settings/backup/")
    assert answer.headers["Content-Disposition"].startswith('attachment; filename="workshop-')
    content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    answer.close()
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert {"manifest.json", "workshop.jsonl"} <= {*archive.namelist()}
