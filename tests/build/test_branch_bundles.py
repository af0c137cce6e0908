"""Bundles of a new loom: which wires are where, how wide they are, and what they pass through."""

from __future__ import annotations

import attrs
import pytest

from loomwright import standards
from loomwright.build.branch_bundles import BranchBundle, branch_bundles
from loomwright.build.lengths import wire_lengths
from loomwright.build.spots import Spot
from loomwright.build.tree import LoomTree
from loomwright.loom import Job
from sample.new_looms import branch, clip, new_loom, wire

VALUE = standards.values()
LINE = (branch("B1 a b 300"), branch("B2 b c 200"))


def found(job: Job, spots: dict[str, Spot] | None = None) -> dict[str, BranchBundle]:
    tree = LoomTree(job)
    lengths = wire_lengths(tree, spots, value=VALUE)
    return {each.branch: each for each in branch_bundles(tree, lengths.wires, value=VALUE)}


def seven(**more: object) -> Job:
    wires = tuple(wire(f"W{i} A.{i} B.{i} 0.5", outside_mm=2.0) for i in range(1, 8))
    return new_loom(LINE, wires, plugs={"A": "a", "B": "b"}, **more)  # type: ignore[arg-type]


def test_a_branch_holds_the_wires_that_run_through_it() -> None:
    bundles = found(seven())
    assert len(bundles["B1"].wires) == 7
    assert bundles["B2"].wires == ()
    assert (bundles["B2"].across_mm, bundles["B2"].covers) == (None, None)


def test_seven_wires_are_as_wide_as_a_bundle_is_met() -> None:
    """1.25 · √(7 · 2²) = 6.61 mm by the factor of common practice; packed tightly it is 6."""
    across = found(seven())["B1"].across_mm
    assert across is not None
    assert (across.low, across.high) == (pytest.approx(6.614, abs=1e-3),) * 2


def test_a_splice_takes_its_wires_to_its_spot() -> None:
    job = new_loom(LINE, (wire("W1 A.1 S 1.0"), wire("W2 S A.2 1.0")), plugs={"A": "a"},
                   joints={"S": "splice a"})  # fmt: skip
    assert found(job)["B2"].wires == ()
    assert found(job, {"S": Spot("B2", 50.0)})["B2"].wires == ("W1", "W2")


def test_a_wire_of_which_no_diameter_is_known_leaves_the_width_open() -> None:
    job = seven()
    bare = attrs.evolve(job.wires[0], outside_mm=None, section_mm2=None)
    bundle = found(attrs.evolve(job, wires=(bare, *job.wires[1:])))["B1"]
    assert (bundle.unknown, bundle.across_mm) == (("W1",), None)


def test_a_clip_is_held_against_the_taped_bundle() -> None:
    """6.6 mm and tape of 0.3 mm on each side are 7.2 mm: through 8, not through 5."""
    clips = tuple(attrs.evolve(clip(f"C{bore}", "B1", 100.0), bore_mm=float(bore))
                  for bore in (5, 7))  # fmt: skip
    checks = dict(found(seven(fixings=(*clips, clip("C0", "B1", 200.0))))["B1"].fixings)
    assert {name: check.outcome for name, check in checks.items()} == {
        "C5": "does not fit", "C7": "fits", "C0": "not known",
    }  # fmt: skip
