"""The form of one row."""

from __future__ import annotations

import pytest
from django.test import Client

from loomwright.loom import schema
from loomwright.workshop.bench import BENCH
from loomwright.workshop.naming import ONE_ROW

WIRES = "/jobs/tarn-2300/rows/wires/"


def first_wire() -> tuple[str, dict[str, str]]:
    row = BENCH.rows.rows("tarn-2300", "wires")[0]
    return row.key, dict(row.cells)


def posted(cells: dict[str, str], **typed: str) -> dict[str, str]:
    """A form as a browser sends it: every field, and what stood in it."""
    return {**cells, **{f"was.{name}": text for name, text in cells.items()}, **typed}


def test_every_table_has_a_name_for_its_row() -> None:
    assert set(ONE_ROW) == {table.name for table in schema.TABLES}


@pytest.mark.parametrize("table", sorted(ONE_ROW))
def test_every_table_has_a_form_with_every_column(demo: str, here: Client, table: str) -> None:
    page = here.get(f"/jobs/tarn-2300/rows/{table}/").content.decode()
    for column in schema.table(table).columns:
        assert f'name="{column.name}"' in page


def test_a_change_is_kept_and_the_rest_stays(demo: str, here: Client) -> None:
    key, cells = first_wire()
    answer = here.post(f"{WIRES}{key}/", posted(cells, length_mm="777"))
    assert answer.status_code == 303
    assert first_wire() == (key, {**cells, "length_mm": "777"})


def test_problems_stand_beside_their_fields_with_what_was_typed(demo: str, here: Client) -> None:
    key, cells = first_wire()
    answer = here.post(f"{WIRES}{key}/", posted(cells, length_mm="long", section_mm2="-1"))
    page = answer.content.decode()
    assert answer.status_code == 400
    assert "&quot;long&quot; is not a number" in page
    assert 'value="long"' in page
    assert 'value="-1"' in page
    assert page.count('aria-invalid="true"') == 2
    assert first_wire() == (key, cells)


def test_the_second_of_two_people_chooses_between_both_values(demo: str, here: Client) -> None:
    key, cells = first_wire()
    here.post(f"{WIRES}{key}/", posted(cells, length_mm="777"))
    answer = here.post(f"{WIRES}{key}/", posted(cells, length_mm="888", insulation="PVC2"))
    page = answer.content.decode()
    assert answer.status_code == 409
    assert 'value="777"' in page
    assert 'value="888"' in page
    # The choice, as that page's form sends it.
    chosen = posted(cells, length_mm="888", insulation="PVC2")
    chosen["was.length_mm"] = "777"
    assert here.post(f"{WIRES}{key}/", chosen).status_code == 303
    assert first_wire()[1] == {**cells, "length_mm": "888", "insulation": "PVC2"}


def test_both_changes_are_kept_where_they_do_not_meet(demo: str, here: Client) -> None:
    key, cells = first_wire()
    here.post(f"{WIRES}{key}/", posted(cells, length_mm="777"))
    assert here.post(f"{WIRES}{key}/", posted(cells, insulation="PVC2")).status_code == 303
    assert first_wire()[1] == {**cells, "length_mm": "777", "insulation": "PVC2"}


def test_line_ends_as_a_browser_sends_them_are_no_change(demo: str, here: Client) -> None:
    row = BENCH.rows.rows("tarn-2300", "readings")[0]
    cells = {**row.cells, "note": "one\ntwo"}
    BENCH.rows.put("tarn-2300", "readings", row.key, cells)
    sent = {name: text.replace("\n", "\r\n") for name, text in posted(cells).items()}
    BENCH.rows.put("tarn-2300", "readings", row.key, {**cells, "note": "one\nthree"})
    url = f"/jobs/tarn-2300/rows/readings/{row.key}/"
    assert here.post(url, sent).status_code == 303
    assert BENCH.rows.rows("tarn-2300", "readings")[0].cells["note"] == "one\nthree"


def test_what_does_not_fit_yet_may_be_kept_all_the_same(demo: str, here: Client) -> None:
    key, cells = first_wire()
    typed = posted(cells, to="NOPLUG.1")
    answer = here.post(f"{WIRES}{key}/", typed)
    assert answer.status_code == 400
    assert 'name="anyhow"' in answer.content.decode()
    assert here.post(f"{WIRES}{key}/", {**typed, "anyhow": "1"}).status_code == 303
    assert first_wire()[1]["to"] == "NOPLUG.1"


def test_a_row_is_taken_away(demo: str, here: Client) -> None:
    count = len(BENCH.rows.rows("tarn-2300", "stock"))
    key = BENCH.rows.rows("tarn-2300", "stock")[0].key
    assert here.post(f"/jobs/tarn-2300/rows/stock/{key}/", {"take_away": "1"}).status_code == 303
    assert len(BENCH.rows.rows("tarn-2300", "stock")) == count - 1
    assert here.get(f"/jobs/tarn-2300/rows/stock/{key}/").status_code == 404


@pytest.mark.parametrize("back", ["//evil.example/", "https://evil.example/", "javascript:1"])
def test_the_way_back_stays_on_this_site(demo: str, here: Client, back: str) -> None:
    key, cells = first_wire()
    answer = here.post(f"{WIRES}{key}/", posted(cells, back=back))
    assert answer["Location"] == "/jobs/tarn-2300/loom/"


def test_no_such_table_row_or_job(demo: str, here: Client) -> None:
    for address in (
        f"{WIRES}999999/",
        f"{WIRES}x/",
        "/jobs/tarn-2300/rows/none/",
        "/jobs/no/rows/wires/",
    ):
        answer = here.get(address)
        assert answer.status_code == 404, address
        assert "Traceback" not in answer.content.decode()


def test_an_empty_form_is_told_what_it_needs(demo: str, here: Client) -> None:
    answer = here.post("/jobs/tarn-2300/rows/plugs/", {"plug": " ", "face": "", "note": ""})
    assert answer.status_code == 400
    said = answer.content.decode()
    assert said.count("The cell is blank. It must be filled in") >= 2
    assert "Put this right first" in said
