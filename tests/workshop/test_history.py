"""The history page: what a person reads, and the button that undoes."""

from __future__ import annotations

import html
import re

import pytest
from django.contrib.auth import get_user_model
from django.test import Client
from django.urls import reverse

from loomwright.services.entering import enter, take_away
from loomwright.services.kept_rows import KeptRow
from loomwright.workshop.bench import BENCH
from loomwright.workshop.changes import changes

pytestmark = pytest.mark.django_db
PAGE = "/jobs/tarn-2300/history/"


@pytest.fixture
def sam(here: Client) -> Client:
    here.force_login(get_user_model().objects.create(username="Sam"))
    return here


def reading() -> KeptRow:
    return BENCH.rows.rows("tarn-2300", "readings")[0]


def type_value(client: Client, value: str) -> None:
    cells = reading().cells
    fields = {**cells, **{f"was.{name}": text for name, text in cells.items()}, "value": value}
    url = reverse("row", args=["tarn-2300", "readings", reading().key])
    assert client.post(url, fields).status_code == 303


def words(client: Client, query: str = "") -> str:
    """What stands on the page."""
    answer = client.get(f"{PAGE}{query}")
    assert answer.status_code == 200
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())
    return " ".join(html.unescape(text).split())


def first_form(client: Client, query: str = "") -> tuple[str, dict[str, str]]:
    """Address and fields of the first undo on the page, as a browser without script sends them."""
    page = client.get(f"{PAGE}{query}").content.decode()
    form = re.search(r'<form method="post" action="([^"]+/undo/)".*?</form>', page, re.DOTALL)
    assert form
    fields = re.findall(r'name="([^"]+)" value="([^"]*)"', form[0], re.DOTALL)
    return form[1], {name: html.unescape(value) for name, value in fields}


def test_a_change_is_told_with_who_what_and_both_values(demo: str, sam: Client) -> None:
    was = reading().cells["value"]
    type_value(sam, "9.9")
    text = words(sam)
    assert f"Sam changed reading R01 Value: {was} → became 9.9" in text
    assert "Today" in text


def test_a_word_in_a_column_of_figures_is_told_without_a_unit(demo: str, sam: Client) -> None:
    device = next(
        row for row in BENCH.rows.rows(demo, "devices") if row.cells["temperature"] == "engine"
    )
    enter(BENCH, demo, "devices", {"temperature": "ambient"}, key=device.key)
    assert "Temperature: engine → became ambient Undo" in words(sam)


def test_the_button_brings_the_value_back_without_any_script(demo: str, sam: Client) -> None:
    was = reading().cells["value"]
    type_value(sam, "9.9")
    url, fields = first_form(sam)
    answer = sam.post(url, fields, follow=True)
    assert reading().cells["value"] == was
    assert "Undone: Sam changed reading R01." in answer.content.decode()
    assert "Sam changed back reading R01" in words(sam)


def test_a_text_of_several_lines_comes_back_as_it_was(demo: str, sam: Client) -> None:
    enter(BENCH, demo, "readings", {"note": "one\ntwo"}, key=reading().key)
    enter(BENCH, demo, "readings", {"note": "three\nfour"}, key=reading().key)
    url, fields = first_form(sam)
    sent = {name: value.replace("\n", "\r\n") for name, value in fields.items()}
    assert sam.post(url, sent).status_code == 303
    assert reading().cells["note"] == "one\ntwo"


def test_an_undo_sent_twice_is_done_once(demo: str, sam: Client) -> None:
    type_value(sam, "9.9")
    url, fields = first_form(sam)
    assert sam.post(url, fields).status_code == 303
    count = len(changes(demo))
    assert sam.post(url, fields).status_code == 303
    assert len(changes(demo)) == count


def test_a_later_change_shows_both_values_and_keeps_the_chosen_one(demo: str, sam: Client) -> None:
    was = reading().cells["value"]
    type_value(sam, "9.9")
    url, fields = first_form(sam)
    type_value(sam, "8.8")
    answer = sam.post(url, fields)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert was in page
    assert "8.8" in page
    assert reading().cells["value"] == "8.8"
    form = re.search(r'<form method="post" action="[^"]*undo/".*?</form>', page, re.DOTALL)
    assert form
    again = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form[0]))
    assert sam.post(url, {**again, "value": was}).status_code == 303
    assert reading().cells["value"] == was


def test_what_would_not_hold_together_is_told_and_nothing_undone(demo: str, sam: Client) -> None:
    plug = next(each for each in changes(demo) if each.table == "plugs")
    answer = sam.post(reverse("undo", args=[demo, "plugs", plug.number]))
    assert answer.status_code == 400
    assert "This cannot be undone as things stand" in answer.content.decode()
    assert plug.after in [row.cells for row in BENCH.rows.rows(demo, "plugs")]


def test_a_row_taken_away_comes_back(demo: str, sam: Client) -> None:
    graded = BENCH.rows.rows(demo, "survey")[0]
    take_away(BENCH, demo, "survey", graded.key)
    url, fields = first_form(sam)
    sam.post(url, fields)
    assert graded.cells in [row.cells for row in BENCH.rows.rows(demo, "survey")]


def test_what_came_in_one_go_is_one_line_with_a_way_to_each(demo: str, here: Client) -> None:
    wires = len(BENCH.rows.rows(demo, "wires"))
    assert f"Somebody added {wires} rows to wires" in words(here)
    assert "added wire W01" in words(here, "?table=wires&page=2")


def test_words_and_tables_narrow_the_list(demo: str, sam: Client) -> None:
    type_value(sam, "9.9")
    enter(BENCH, demo, "survey", {"item": "TE", "aspect": "terminal", "grade": "2"})
    assert "changed reading R01" in words(sam, "?find=sam+R01")
    assert "added grade TE terminal" not in words(sam, "?find=sam+R01")
    assert "added grade TE terminal" in words(sam, "?table=survey")
    assert "Nothing was changed that fits." in words(sam, "?find=nowhere")


def test_a_long_list_is_cut_into_pages(demo: str, here: Client) -> None:
    wires = len(BENCH.rows.rows(demo, "wires"))
    assert wires > 50
    assert words(here, "?table=wires").count("added wire") // 2 == 50
    last = words(here, "?table=wires&page=2")
    assert last.count("added wire") // 2 == wires - 50
    assert words(here, "?table=wires&page=99") == last
    assert words(here, "?table=wires&page=x") == words(here, "?table=wires")


def test_the_address_of_an_undo_leads_to_the_history(demo: str, here: Client) -> None:
    number = changes(demo)[0].number
    answer = here.get(reverse("undo", args=[demo, "wires", number]))
    assert (answer.status_code, answer.headers["Location"]) == (302, PAGE)


def test_what_is_not_there_is_not_found(demo: str, here: Client) -> None:
    assert here.get("/jobs/nowhere/history/").status_code == 404
    assert here.post(reverse("undo", args=[demo, "wires", 10**9])).status_code == 404
