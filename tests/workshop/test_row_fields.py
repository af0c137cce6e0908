"""Long forms: what stands first, what is behind More, what comes after keeping."""

from __future__ import annotations

import pytest
from django.test import Client

from loomwright.loom import schema
from loomwright.workshop.bench import BENCH
from loomwright.workshop.row_fields import FIRST

WIRES = "/jobs/tarn-2300/rows/wires/"
NEW = {"from": "CU.12", "to": "GE", "colour": "BN"}


def parts(here: Client, address: str) -> tuple[str, str]:
    """What stands first, and what stands behind More."""
    text = here.get(address).content.decode().split('<main id="main"')[1]
    first, _, more = text.partition("<summary>More")
    return first, more


@pytest.mark.parametrize("table", sorted(FIRST))
def test_columns_that_stand_first_are_columns_of_the_table(table: str) -> None:
    names = {column.name for column in schema.table(table).columns}
    assert set(FIRST[table]) < names


def test_needed_columns_stand_first_and_rare_ones_behind_more(demo: str, here: Client) -> None:
    first, more = parts(here, WIRES)
    assert 'name="from"' in first
    assert 'name="colour"' in first
    assert 'name="strand_mm"' in more
    assert "<details" not in parts(here, "/jobs/tarn-2300/rows/zones/")[0]


def test_a_new_wire_needs_no_name_but_a_plug_does(demo: str, here: Client) -> None:
    assert "The wire&#x27;s own name; left blank, the next free one" in parts(here, WIRES)[0]
    plug = parts(here, "/jobs/tarn-2300/rows/plugs/")[0]
    assert 'Plug <span class="needed">needed</span>' in plug
    assert 'Wire <span class="needed">' not in parts(here, WIRES)[0]


def test_more_is_open_when_something_in_it_is_wrong(demo: str, here: Client) -> None:
    answer = here.post(WIRES, {**NEW, "strand_mm": "thick"})
    assert answer.status_code == 400
    assert '<details class="fold" open>' in answer.content.decode()
    assert 'href="#f-strand_mm"' in answer.content.decode()


def test_points_places_and_faces_are_helped_along(demo: str, here: Client) -> None:
    assert '<option value="CU.12"></option>' in parts(here, WIRES)[0]
    first, _ = parts(here, "/jobs/tarn-2300/rows/plugs/")
    assert "For example 1 2 3 / 4 5 6" in first
    assert '<option value="thermostat"></option>' in first


def test_the_colour_that_stands_there_is_said_in_words(demo: str, here: Client) -> None:
    assert "BN/WH is brown with a white tracer" in parts(here, f"{WIRES}?colour=BN/WH")[0]
    assert "XX is" not in parts(here, f"{WIRES}?colour=XX")[0]


def test_the_way_back_is_no_field(demo: str, here: Client) -> None:
    text = here.get(
        f"{WIRES}?back=/jobs/tarn-2300/tables/wires/&colour=BN&other=x"
    ).content.decode()
    assert text.count('name="back"') == 1
    assert 'name="other"' not in text
    assert 'value="BN"' in text


def test_keep_and_add_another_shows_an_empty_form_with_the_same_way_back(
    demo: str, here: Client
) -> None:
    back = "/jobs/tarn-2300/tables/wires/"
    answer = here.post(WIRES, {**NEW, "back": back, "another": "1"})
    assert answer["Location"].startswith(f"{WIRES}?back=")
    text = here.get(answer["Location"]).content.decode()
    assert f'name="back" value="{back}"' in text
    assert "Kept: wire W65." in text
    assert here.post(WIRES, {**NEW, "back": back})["Location"] == back


def test_a_plug_that_others_speak_of_is_taken_away_only_when_asked_twice(
    demo: str, here: Client
) -> None:
    key = next(r.key for r in BENCH.rows.rows(demo, "plugs") if r.cells["plug"] == "TE")
    address = f"/jobs/tarn-2300/rows/plugs/{key}/"
    answer = here.post(address, {"take_away": "1", "back": "/jobs/tarn-2300/plugs/TE/"})
    text = answer.content.decode()
    assert answer.status_code == 400
    assert 'value="Engine temperature sensor plug"' in text
    assert "Keep it all the same" not in text
    again = here.post(address, {"take_away": "anyhow", "back": "/jobs/tarn-2300/plugs/TE/"})
    assert again["Location"] == "/jobs/tarn-2300/tables/plugs/"
    assert "TE" not in {row.cells["plug"] for row in BENCH.rows.rows(demo, "plugs")}
