"""What fits a column of a form."""

from __future__ import annotations

from loomwright.loom import schema
from loomwright.services.suggesting import suggested
from sample import jobs as sample


def words(table: str, column: str) -> tuple[str, ...]:
    return suggested(table, schema.table(table).column(column), sample.job())


def test_a_wire_may_end_in_any_cavity_and_at_joints_but_in_no_device() -> None:
    found = words("wires", "to")
    assert {"CU.5", "T1.1", "S1"} <= set(found)
    assert "NTC1.1" not in found


def test_a_probe_reaches_wired_cavities_pins_and_joints() -> None:
    found = words("readings", "plus")
    assert {"T1.1", "NTC1.1", "E1"} <= set(found)
    assert "CU.5" not in found


def test_names_places_and_colours_come_from_the_job_once_each() -> None:
    assert words("plugs", "mates_with") == ("ECU", "NTC1", "TS", "CU", "T1", "T2", "X1", "X2")
    assert words("plugs", "place") == ("bulkhead", "engine")
    assert words("wires", "colour") == ("BN/WH", "BN", "GN", "RD")
    assert words("wires", "length_mm") == ()
