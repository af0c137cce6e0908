"""What is at a point: its wires, what it meets, the readings that touched it, suspects."""

from __future__ import annotations

from pathlib import Path

import attrs
import pytest

from loomwright.loom import Job, NotFound, Point
from loomwright.services.draw import WireEnd
from loomwright.services.labels import Labels
from loomwright.services.plug_view import (
    at_point,
    cavity_words,
    ends_of,
    kind_of_item,
    points_of,
    readings_at,
    suspects_at,
)
from loomwright.services.suspects import Suspect
from loomwright.storage.job_folder import JobFolder

DEMO = JobFolder().read(Path(__file__).parents[2] / "examples" / "tarn-2300")


def suspect(*items: str, at: tuple[str, ...] = (), probability: float = 0.5) -> Suspect:
    return Suspect(
        items=items, kind="open", kinds=(), at=at, probability=probability, ohm=None, because=(),
        against=(), rests_on=(), apart="",
    )  # fmt: skip


def test_a_cavity_tells_its_wire_and_the_pin_it_meets() -> None:
    found = at_point(DEMO, Point("TE", "1"))
    (wire,) = found.wires
    assert (wire.wire, wire.letters, wire.colour) == ("W32", "GN/WH", "green with a white tracer")
    assert wire.size == "0.75 mm², 24 strands"
    assert wire.far_end == Point("CU", "6")
    assert found.meets == Point("ETS", "1")
    assert "pin 1" in found.meets_words


@pytest.mark.parametrize("wire", DEMO.wires, ids=lambda wire: str(wire.wire))
def test_both_ends_of_a_wire_lead_to_each_other(wire: object) -> None:
    assert isinstance(wire, type(DEMO.wires[0]))
    for here, far in ((wire.from_point, wire.to_point), (wire.to_point, wire.from_point)):
        found = {each.wire: each.far_end for each in at_point(DEMO, here).wires}
        assert found[wire.wire] == far
    assert {each.far_end for each in ends_of(DEMO, wire.wire)} == {wire.from_point, wire.to_point}


def test_a_wire_of_which_nothing_is_known_is_told_so() -> None:
    bare = attrs.evolve(DEMO.wires[0], colour=None, section_mm2=None, strands=None)
    job = attrs.evolve(DEMO, wires=(bare,))
    (wire,) = at_point(job, bare.from_point).wires
    assert (wire.letters, wire.colour, wire.size) == ("", "colour not said", "")


def test_readings_at_the_cavity_and_at_its_pin_are_found_those_after_the_work_last() -> None:
    found = at_point(DEMO, Point("TE", "1")).readings
    assert {"R12", "R13"} <= {each.reading for each in found if not each.after}
    assert [each.after for each in found] == sorted(each.after for each in found)
    at_pin = next(each for each in found if each.reading == "R13")
    assert at_pin.value == "319 Ω"
    assert "red ETS.1, black ETS.2; unplugged: CU TE" in at_pin.words


def test_no_other_reading_is_told() -> None:
    points = set(points_of(DEMO, "TA"))
    for each in readings_at(DEMO, points):
        rows = DEMO.proof if each.after else DEMO.readings
        row = next(one for one in rows if one.reading == each.reading)
        assert row.plus in points or row.minus in points


@pytest.mark.parametrize(
    ("item", "kind", "points"),
    [
        ("TE", "plug", ("TE.1", "TE.2")),
        ("GE", "joint", ("GE",)),
        ("ETS", "device", ("ETS.1", "ETS.2")),
        ("W32", "wire", ("CU.6", "TE.1")),
    ],
)
def test_an_item_is_known_by_its_name_and_has_its_points(
    item: str, kind: str, points: tuple[str, ...]
) -> None:
    assert kind_of_item(DEMO, item) == kind
    assert tuple(map(str, points_of(DEMO, item))) == points


def test_what_is_not_there_is_told_with_the_nearest_name() -> None:
    with pytest.raises(NotFound, match='Did you mean "W32"'):
        kind_of_item(DEMO, "W322")
    with pytest.raises(NotFound, match=r"TE\.9"):
        at_point(DEMO, Point("TE", "9"))


def test_suspects_here_are_those_that_name_the_point_or_what_is_at_it() -> None:
    here = at_point(DEMO, Point("TE", "1"))
    found = suspects_at(
        [suspect("W32"), suspect("W01"), suspect("TE", at=("TE.1",)), suspect("ETS.1")],
        here.names,
        Labels(DEMO),
    )
    assert [each.words.partition(":")[0] for each in found] == [
        "wire W32 (CU.6 to TE.1)",
        "plug TE (Engine temperature sensor plug)",
        "device ETS (Engine temperature sensor), pin 1",
    ]
    assert {each.sure for each in found} == {"50 %"}


def test_a_cavity_with_two_wires_names_both() -> None:
    ends = [
        WireEnd(wire=name, letters="BN", section_mm2=None, far_end="GE") for name in ("W1", "W2")
    ]
    assert cavity_words("3", ends) == "Cavity 3, wire W1 brown, to GE; wire W2 brown, to GE"
    assert cavity_words("4", []) == "Cavity 4, empty"


def test_a_job_without_anything_has_no_items() -> None:
    with pytest.raises(NotFound):
        points_of(Job(about=DEMO.about), "TE")
