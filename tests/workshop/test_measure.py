"""Measure: the reading that tells most, the value typed in, refusals, readings after the work."""

from __future__ import annotations

import html
import re
from urllib.parse import parse_qsl, urlsplit

import attrs
import pytest
from django.test import Client
from django.urls import reverse

from loomwright.loom import Job
from loomwright.workshop.database import DatabaseJobs, DatabaseRows

OWN = {"plus": "CU.6", "minus": "CU.7"}


def page(answer: object) -> str:
    """What is on a page, as text with its tags."""
    content = getattr(answer, "content", b"")
    return html.unescape(content.decode())


def sent(text: str) -> dict[str, str]:
    """The hidden fields of the form of a reading."""
    form = text[text.index('<form method="post" action="/jobs/') :]
    return dict(re.findall(r'<input type="hidden"[^>]* name="([^"]+)" value="([^"]*)"', form))


def kept(job: str, table: str = "readings") -> list[dict[str, str]]:
    return [dict(row.cells) for row in DatabaseRows().rows(job, table)]


@pytest.fixture
def address(demo: str) -> str:
    return reverse("measure", args=[demo])


def test_the_page_stands_at_once_and_its_matter_follows(here: Client, address: str) -> None:
    first = page(here.get(address))
    assert 'hx-get="?now=1"' in first or "Red to" in first


def test_without_a_script_the_matter_is_one_link_away(here: Client, address: str) -> None:
    shown = page(here.get(address, {"now": "1"}))
    for words in (
        "Red to",
        "CU.9",
        "Black to",
        "CU.10",
        "Control unit plug, cavity 9",
        "Key off, put back plug I4",
        "The engine is at 82 °C: hot metal",
        "A sound loom reads OL.",
        "about 0.5 min, worth 1.0 bit",
        "If suspect 2",
        "4.73 kΩ to 4.99 kΩ",
        "Suspect 2: plug TH (Throttle switch plug), between cavities 1 and 3",
    ):
        assert words in shown, words


def test_htmx_gets_the_part_alone(here: Client, address: str) -> None:
    part = page(here.get(address, {"now": "1"}, headers={"HX-Request": "true"}))
    assert "Red to" in part
    assert "<html" not in part


def test_cautions_come_before_the_step_they_protect(here: Client, address: str) -> None:
    shown = page(here.get(address, {"now": "1"}))
    at = [
        shown.index(words)
        for words in ("hot metal", "Key off, put back plug I4", "spreads its spring", "Red to")
    ]
    assert at == sorted(at)


def test_a_value_is_kept_as_a_row_and_leads_to_its_verdict(
    here: Client, demo: str, address: str
) -> None:
    form = sent(page(here.get(address, OWN)))
    answer = here.post(address, {**form, "value": "0,431k", "meter": "DMM", "engine_c": "81,5"})
    assert answer.status_code == 303
    assert answer["Location"] == reverse("reading", args=[demo, "R15"])
    row = kept(demo)[-1]
    assert row["reading"] == "R15"
    assert (row["plus"], row["minus"], row["unplugged"]) == ("CU.6", "CU.7", "CU")
    assert float(row["value"]) == 431.0
    assert row["state"] == "key=off; throttle=shut; engine_c=81,5"
    assert re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d", row["taken_at"])
    reading = DatabaseJobs().read(demo).readings[-1]
    assert reading.state.settings["engine_c"] == 81.5


def test_the_same_entry_sent_twice_is_one_reading(here: Client, demo: str, address: str) -> None:
    form = {**sent(page(here.get(address, OWN))), "value": "431", "engine_c": "82"}
    first, second = here.post(address, form), here.post(address, form)
    assert first["Location"] == second["Location"]
    assert len(kept(demo)) == 15


def test_the_last_meter_and_temperatures_stand_ready(here: Client, address: str) -> None:
    shown = page(here.get(address, OWN))
    assert '<option value="DMM" selected>' in shown
    assert re.search(r'name="engine_c" type="text" value="82"', shown)


def test_all_that_is_wrong_is_told_beside_its_field(here: Client, demo: str, address: str) -> None:
    form = {**sent(page(here.get(address, OWN))), "value": "many", "engine_c": "warm"}
    answer = here.post(address, form)
    shown = page(answer)
    assert answer.status_code == 400
    assert 'id="f-value-error">"many" is not a number' in shown
    assert 'id="f-engine_c-error">"warm" is not a number' in shown
    assert 'value="many"' in shown
    assert 'value="warm"' in shown
    assert len(kept(demo)) == 14


def test_a_value_that_cannot_be_is_told_beside_it(here: Client, address: str) -> None:
    form = {**sent(page(here.get(address, OWN))), "value": "-300", "engine_c": "82"}
    answer = here.post(address, form)
    assert answer.status_code == 400
    assert 'id="f-value-error">"-300" Ω is not possible' in page(answer)


def test_a_refused_reading_is_shown_with_the_safe_one(here: Client, address: str) -> None:
    answer = here.get(address, {**OWN, "quantity": "ohm", "state": "key=on; throttle=shut"})
    shown = page(answer)
    assert answer.status_code == 403
    assert "Do not take this reading" in shown
    assert "Turn the key off" in shown
    assert 'name="value"' not in shown
    found = re.search(r'href="([^"]+)">The same points, safely', shown)
    assert found
    safe = page(here.get(found[1]))
    assert "Do not take" not in safe
    assert 'name="value"' in safe


def test_the_control_unit_s_plug_left_on_is_refused(here: Client, address: str) -> None:
    asked = {**OWN, "unplugged": "", "state": "key=off"}
    assert "The control unit is still on plug CU" in page(here.get(address, asked))


def test_a_refused_reading_is_not_kept_either(here: Client, demo: str, address: str) -> None:
    form = {**OWN, "quantity": "ohm", "unplugged": "CU", "state": "key=on", "value": "3"}
    answer = here.post(address, form)
    assert answer.status_code == 403
    assert "turn the key off" in page(answer)
    assert len(kept(demo)) == 14


def test_points_that_are_not_there_are_told_at_once(here: Client, demo: str) -> None:
    own = reverse("own_reading", args=[demo])
    answer = here.get(own, {"plus": "CU.66", "minus": "QQ", "quantity": "ohm"})
    shown = page(answer)
    assert answer.status_code == 400
    assert 'Plug "CU" has no cavity "66"' in shown
    assert 'There is no joint "QQ"' in shown


def test_points_of_one_s_own_lead_to_their_reading(here: Client, demo: str, address: str) -> None:
    own = reverse("own_reading", args=[demo])
    assert '<option value="TE.1">' in page(here.get(own))
    answer = here.get(own, {"plus": "TE.1", "minus": "TE.2", "quantity": "ohm", "state": ""})
    assert answer.status_code == 303
    where = urlsplit(answer["Location"])
    assert where.path == address
    assert dict(parse_qsl(where.query))["unplugged"] == "CU"
    assert "from the wire side, the plug stays on" in page(here.get(answer["Location"]))


def test_repeating_hot_asks_for_the_temperature(here: Client, demo: str, address: str) -> None:
    shown = page(here.get(address, {**OWN, "hot": "1"}))
    assert re.search(r'name="engine_c" type="text" value=""', shown)
    answer = here.post(address, {**sent(shown), "value": "431", "engine_c": ""})
    assert answer.status_code == 400
    assert 'id="f-engine_c-error">It is not told.' in page(answer)
    assert len(kept(demo)) == 14


def test_after_the_work_what_was_not_in_order_is_asked_again(
    here: Client, demo: str, address: str
) -> None:
    shown = page(here.get(address, {"after": "1", "now": "1"}))
    assert "Measure after the work" in shown
    assert "CU.12" in shown  # R09, the one that was not taken again
    form = {**sent(shown), "value": "OL", "engine_c": "18"}
    assert (form["after"], form["again"]) == ("1", "R09")
    answer = here.post(address, form)
    assert answer["Location"] == reverse("reading", args=[demo, "R09"]) + "?after=1"
    assert kept(demo, "proof")[-1]["reading"] == "R09"
    assert len(kept(demo)) == 14
    done = page(here.get(address, {"after": "1", "now": "1"}))
    assert "All in order now." in done


def test_no_page_offers_what_the_gate_refuses(here: Client, demo: str) -> None:
    for name in ("measure", "suspects"):
        shown = page(here.get(reverse(name, args=[demo]), {"now": "1"}))
        for where in set(re.findall(rf'href="(/jobs/{demo}/measure/\?[^"]*plus=[^"]*)"', shown)):
            assert here.get(where).status_code == 200, where


def test_a_job_without_readings_says_where_to_begin(here: Client, db: None, demo_job: Job) -> None:
    DatabaseJobs().write("fresh", attrs.evolve(demo_job, readings=(), proof=()))
    shown = page(here.get(reverse("measure", args=["fresh"]), {"now": "1"}))
    assert "Key off, take off plug CU" in shown
    assert "Red to" in shown
