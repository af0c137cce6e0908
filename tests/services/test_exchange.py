"""A loom for others: the netlist in a state, and the wire list's sheets."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import Face, Part, Plug
from loomwright.loom.errors import OutOfRange
from loomwright.loom.identity import PartId, PlugId
from loomwright.services.exchange import WireSheet, cut_lengths, face_words, spice, wire_list
from loomwright.services.verify import new_lengths
from sample import jobs
from sample.demo import demo_job
from sample.finished import STAR


def sheet(name: str, **more: object) -> tuple[WireSheet, list[dict[str, object]]]:
    made = wire_list(jobs.job(), **more)  # type: ignore[arg-type]
    (found,) = (each for each in made.sheets if each.name == name)
    return found, [dict(zip(found.heads, row, strict=True)) for row in found.rows]


def test_a_wire_stands_with_both_ends_as_the_sheets_say() -> None:
    _, rows = sheet("wires")
    first = rows[0]
    assert (first["wire"], first["colour (IEC 60757)"]) == ("W1", "BN/WH")
    assert first["colour in words"] == "brown with a white tracer"
    assert (first["from: plug or joint"], first["from: cavity"]) == ("CU", "1")
    assert (first["to: plug or joint"], first["to: cavity"]) == ("T1", "1")
    assert first["cut length [mm]"] == 1200
    assert [row["to: terminal"] for row in rows if row["to: plug or joint"] == "E1"] == [
        "eyelet",
        "eyelet",
    ]


def test_cut_lengths_that_are_known_better_are_taken() -> None:
    _, rows = sheet("wires", lengths={"W1": 1333.0})
    assert [row["cut length [mm]"] for row in rows[:2]] == [1333.0, 150]


def test_the_strip_is_the_barrel_and_the_brush_where_the_terminal_is_in_the_catalogue() -> None:
    """A barrel of 5 mm and a brush of 0.5 to 1 mm, common practice."""
    part = Part(part=PartId("REC"), kind="terminal", barrel_mm=5.0)
    plugs = tuple(attrs.evolve(p, terminal="REC" if p.plug == "A" else "other") for p in STAR.plugs)
    made = wire_list(attrs.evolve(STAR, plugs=plugs, catalogue=(part,)))
    wires = made.sheets[0]
    strips = {
        (
            row[wires.heads.index(f"{end}: plug or joint")],
            row[wires.heads.index(f"{end}: strip [mm]")],
        )
        for row in wires.rows
        for end in ("from", "to")
    }
    assert strips == {("A", "5.5 to 6"), ("B", None), ("SP", None), ("E", None)}


def test_splices_name_the_wires_that_meet() -> None:
    _, rows = sheet("splices")
    (only,) = rows
    assert (only["splice"], only["wires"]) == ("S1", "W2 W3 W5")
    assert only["their sections [mm²]"] == "0.75 + 1.5 + 0.75"


def test_plugs_tell_their_faces_and_empty_cavities() -> None:
    _, rows = sheet("plugs")
    told = {row["plug"]: row for row in rows}
    assert told["CU"]["empty cavities"] == "5 and 6"
    assert told["T1"]["seen from"] == "wire side"


@pytest.mark.parametrize(
    ("face", "said"),
    [
        ("1 2", "one row, left to right: 1, 2"),
        ("1 2 / 3 .", "top row, left to right: 1, 2; bottom row: 3, gap"),
        ("1 / 2 / 3", "top row, left to right: 1; row 2: 2; bottom row: 3"),
    ],
)
def test_a_face_is_read_row_by_row(face: str, said: str) -> None:
    assert face_words(Plug(plug=PlugId("P"), face=Face.parse(face))) == said


def test_every_row_has_a_cell_for_each_heading() -> None:
    for job in (demo_job(), jobs.job(), STAR):
        for each in wire_list(job).sheets:
            assert {len(row) for row in each.rows} <= {len(each.heads)}


def test_a_netlist_is_of_the_state_asked_for() -> None:
    assert "* state: key=on; throttle=shut; engine_c=80.0" in spice(
        demo_job(), state="key=on; throttle=shut; engine_c=80"
    )


def test_a_state_that_cannot_be_read_is_told() -> None:
    with pytest.raises(OutOfRange) as failure:
        spice(jobs.job(), state="key is on")
    assert failure.value.where == "state"
    assert '"key is on"' in failure.value.what


def test_a_new_loom_is_cut_a_little_longer_than_it_is_made() -> None:
    made, cut = new_lengths(demo_job()), cut_lengths(demo_job())
    assert made.keys() == cut.keys()
    assert all(0 <= cut[name] - made[name] < 200 for name in made)
