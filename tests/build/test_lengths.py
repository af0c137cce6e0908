"""Lengths of wires, part by part, on small looms reckoned by hand."""

from __future__ import annotations

import math
from collections.abc import Mapping

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright import standards
from loomwright.build.lengths import LoomLengths, WireLength, unlike_old, wire_lengths
from loomwright.build.spots import Spot
from loomwright.build.tree import LoomTree
from loomwright.loom import Job, Part
from loomwright.loom.identity import PartId
from sample.demo import demo_job
from sample.new_looms import branch, new_loom, small_looms, wire

VALUE = {
    **standards.values(), "lay_pitch": 120.0, "strip_length": 5.0, "shell_depth": 20.0,
    "service_loop": 10.0, "hand_allowance": 40.0, "engine_rock": 40.0, "cut_rounding": 5.0,
    "local_length": 250.0, "bundle_least": 1.15, "bundle_most": 1.25,
}  # fmt: skip
LINE = (branch("B1 a b 300"), branch("B2 b c 200"), branch("B3 c d 100"))


def measured(job: Job, spots: Mapping[str, Spot] | None = None, **own: float) -> LoomLengths:
    return wire_lengths(LoomTree(job), spots, value=VALUE | own)


def one(job: Job, spots: Mapping[str, Spot] | None = None, **own: float) -> WireLength:
    return measured(job, spots, **own).wires[0]


def along(*wires: str, **more: object) -> Job:
    plugs = {"A": "a", "B": "b", "D": "d"}
    return new_loom(LINE, tuple(map(wire, wires)), plugs=plugs, **more)  # type: ignore[arg-type]


def test_a_wire_is_its_way_with_what_its_ends_take() -> None:
    found = one(along("W1 A.1 D.1 1.0"))
    assert [str(each.branch.branch) for each in found.way] == ["B1", "B2", "B3"]
    assert found.run_mm == 600
    assert found.lay_mm == 0  # alone in its bundle it winds round nothing
    assert (found.ends_mm, found.loop_mm, found.hand_mm) == (2 * (5 + 20), 2 * 10, 40)
    assert found.cut_mm == 600 + 50 + 20 + 40


def test_an_earth_takes_no_shell_and_no_loop() -> None:
    found = one(along("W1 A.1 E 1.0", joints={"E": "earth d"}))
    assert [(end.strip_mm, end.shell_mm, end.loop_mm) for end in found.ends] == [
        (5, 20, 10), (5, 0, 0),
    ]  # fmt: skip


def test_the_lay_follows_the_bundle_of_each_branch() -> None:
    """Two wires of 2.4 mm side by side are 4.8 mm, the circle of their middles 2.4 mm."""
    job = along("W1 A.1 D.1 1.0", "W2 A.2 B.1 1.0")
    job = attrs.evolve(job, wires=tuple(attrs.evolve(w, outside_mm=2.4) for w in job.wires))
    found = measured(job)
    assert found.bundle_mm == {"B1": pytest.approx(4.8), "B2": 2.4, "B3": 2.4}
    share = math.sqrt(1 + (math.pi * 2.4 / 120) ** 2) - 1
    assert found.wires[0].lay_mm == pytest.approx(300 * share)


def test_a_bundle_of_many_is_as_wide_as_trade_practice_says() -> None:
    """Trade practice: 16 wires of 2.0 mm make 9.2 to 10 mm (1.15 to 1.25 times √Σd²)."""
    job = along(*(f"W{i} A.{i} B.{i} 0.5" for i in range(1, 17)))
    job = attrs.evolve(job, wires=tuple(attrs.evolve(w, outside_mm=2.0) for w in job.wires))
    assert 9.2 <= measured(job).bundle_mm["B1"] <= 10.0


def test_the_terminal_of_the_catalogue_tells_what_is_stripped() -> None:
    """A barrel of 3.5 mm and a brush of 0.5 to 1 mm: at most 4.5 mm come off."""
    part = Part(part=PartId("T28"), kind="terminal", barrel_mm=3.5)
    job = along("W1 A.1 D.1 1.0", catalogue=(part,))
    plugs = tuple(attrs.evolve(each, terminal="T28") for each in job.plugs)
    found = one(attrs.evolve(job, plugs=plugs))
    assert [end.strip_mm for end in found.ends] == [4.5, 4.5]


@pytest.mark.parametrize(
    ("moves", "rock"),
    [("no no no", 0), ("no yes no", 40), ("yes yes no", 40), ("yes no yes", 80)],
)
def test_the_engine_s_rock_counts_once_for_branches_in_a_row(moves: str, rock: float) -> None:
    job = along("W1 A.1 D.1 1.0")
    rows = tuple(attrs.evolve(row, moves=each)
                 for row, each in zip(job.branches, moves.split(), strict=True))  # fmt: skip
    assert one(attrs.evolve(job, branches=rows)).rock_mm == rock


def test_lengths_are_rounded_up() -> None:
    assert one(along("W1 A.1 D.1 1.0"), shell_depth=20.2).cut_mm == 715
    assert one(along("W1 A.1 D.1 1.0"), cut_rounding=50).cut_mm == 750


def test_at_one_place_the_old_length_counts_and_then_a_default() -> None:
    job = new_loom(LINE, (wire("W1 A.1 C.1 1.0", length_mm=200.0), wire("W2 A.2 C.2 1.0")),
                   plugs={"A": "a", "C": "a"})  # fmt: skip
    known, guessed = measured(job).wires
    assert (known.local, known.made_mm, known.cut_mm) == ("measured", 200, 240)
    assert (guessed.local, guessed.run_mm) == ("default", 250)


def test_a_wire_to_a_splice_ends_at_its_spot() -> None:
    job = along("W1 A.1 S 1.0", "W2 S D.1 1.0", joints={"S": "splice b"})
    at_place = measured(job).wires
    moved = measured(job, {"S": Spot("B2", 150.0)}).wires
    assert [each.run_mm for each in at_place] == [300, 300]
    assert [each.run_mm for each in moved] == [450, 150]
    back = measured(job, {"S": Spot("B1", 100.0)}).wires
    assert [each.run_mm for each in back] == [100, 500]


def test_what_is_not_known_is_named_and_not_guessed() -> None:
    job = along("W1 A.1 D.1 1.0", "W2 A.2 X.1 1.0", "W3 A.3 F.1 1.0")
    lone = new_loom(LINE, (), plugs={"X": "", "F": "far away"}).plugs
    found = measured(attrs.evolve(job, plugs=(*job.plugs, *lone)))
    assert [each.wire for each in found.wires] == ["W1"]
    assert {each.wire: each.words for each in found.not_known} == {
        "W2": "no place is written down for X",
        "W3": 'no branch leads from "a" to "far away"',
    }


def test_wires_unlike_the_old_loom_are_told_but_not_those_of_moved_splices() -> None:
    job = along("W1 A.1 D.1 1.0", "W2 A.2 D.2 1.0", "W3 A.3 S 1.0", joints={"S": "splice b"})
    old = (670.0, 600.0, 900.0)
    rows = zip(job.wires, old, strict=True)
    job = attrs.evolve(job, wires=tuple(attrs.evolve(row, length_mm=mm) for row, mm in rows))
    spots = {"S": Spot("B2", 100.0)}
    found = unlike_old(measured(job, spots), spots, tolerance_mm=20)
    assert [each.wire for each in found] == ["W2"]  # made 670 mm and some for the lay


@given(small_looms(most_places=4), st.floats(1, 50))
def test_a_wire_is_never_cut_shorter_than_its_parts_nor_a_step_longer(
    job: Job, step: float
) -> None:
    for each in wire_lengths(LoomTree(job), value=VALUE | {"cut_rounding": step}).wires:
        parts = each.made_mm + each.hand_mm
        assert parts - 1e-6 <= each.cut_mm < parts + step + 1e-6
        assert each.cut_mm / step == pytest.approx(round(each.cut_mm / step))
        assert each.lay_mm >= 0


def test_the_demo_s_runs_are_the_branches_its_wires_name() -> None:
    """The column `branches` of its wires was written by hand."""
    job = demo_job()
    length = {each.branch: each.length_mm or 0.0 for each in job.branches}
    named = {str(each.wire): sum(length[name] for name in each.branches) for each in job.wires}
    for found in measured(job).wires:
        if found.way:
            assert found.run_mm == named[found.wire]
        else:
            assert named[found.wire] == 0
