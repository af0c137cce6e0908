"""What meets what in the small job."""

from __future__ import annotations

from loomwright.loom import Point, Topology
from sample import jobs

LOOM = Topology(jobs.job())


def point(text: str) -> Point:
    return Point.parse(text)


def test_a_cavity_meets_the_pin_of_its_number() -> None:
    assert LOOM.across(point("T1.2")) == point("NTC1.2")
    assert LOOM.across(point("CU.5")) is None
    assert LOOM.across(point("X1.1")) == point("X2.1")
    assert LOOM.across(point("E1")) is None


def test_wires_end_on_the_loom_side() -> None:
    assert LOOM.is_loom_side(point("CU.6"))
    assert LOOM.is_loom_side(point("E1"))
    assert not LOOM.is_loom_side(point("ECU.1"))
    assert not LOOM.is_loom_side(point("CU.7"))
    assert not LOOM.is_loom_side(point("CU"))


def test_probes_reach_the_device_side_and_its_body_too() -> None:
    assert LOOM.exists(point("ECU.4"))
    assert LOOM.exists(point("TS.case"))
    assert not LOOM.exists(point("ECU.9"))
    assert not LOOM.exists(point("ECU"))
    assert not LOOM.exists(point("NOWHERE"))


def test_look_ups() -> None:
    assert [wire.wire for wire in LOOM.wires_at[point("S1")]] == ["W2", "W3", "W5"]
    assert LOOM.pins["ECU"] == ["1", "4", "2", "3"]
    assert [plug.plug for plug in LOOM.mated_by["TS"]] == ["T2"]
