"""Bundles of branches: which wires, which diameters, what is not known."""

from __future__ import annotations

import math

import attrs
import pytest

from loomwright import standards
from loomwright.build.bundle import bundle, bundles, met_mm, packed, wires_of_branches
from loomwright.loom import Job
from loomwright.repair.needs import Needs
from sample.demo import demo_job

VALUE = standards.values()


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


def in_branch(job: Job, name: str) -> list[str]:
    return [str(wire.wire) for wire in wires_of_branches(job)[name]]


def test_a_branch_holds_the_wires_that_name_it(job: Job) -> None:
    named = [str(wire.wire) for wire in job.wires if "B8" in wire.branches]
    assert named
    assert in_branch(job, "B8") == named


def test_wires_that_name_no_branch_are_found_by_their_ends(job: Job) -> None:
    bare = attrs.evolve(job, wires=tuple(attrs.evolve(each, branches=()) for each in job.wires))
    found = wires_of_branches(bare)
    assert set(found["B8"]) == {attrs.evolve(each, branches=())
                                for each in wires_of_branches(job)["B8"]}  # fmt: skip


def test_branches_without_lengths_still_hold_the_wires_that_name_them(job: Job) -> None:
    blank = tuple(attrs.evolve(each, length_mm=None) for each in job.branches)
    assert in_branch(attrs.evolve(job, branches=blank), "B8") == in_branch(job, "B8")


def test_measured_wires_have_one_diameter(job: Job) -> None:
    """Two wires of the demo's B8 are measured, 2.4 and 2.5 mm: side by side they are 4.9."""
    wires = wires_of_branches(job)["B8"]
    found = bundle("B8", wires, Needs(job, VALUE))
    assert [wire.outside_mm for wire in wires] == [2.4, 2.5]
    assert found.tight_mm is not None
    assert found.met_mm is not None
    assert (found.tight_mm.low, found.tight_mm.high) == pytest.approx((4.9, 4.9))
    assert (found.met_mm.low, found.met_mm.high) == pytest.approx((4.9, 4.9))


def test_wires_of_unknown_wall_give_a_span(job: Job) -> None:
    found = bundle("B7", wires_of_branches(job)["B7"], Needs(job, VALUE))
    assert found.tight_mm is not None
    assert found.met_mm is not None
    assert found.tight_mm.low < found.tight_mm.high
    assert found.met_mm.high >= found.tight_mm.high
    assert "ISO 6722-1" in found.tight_mm.origin


def test_a_wire_that_nothing_tells_leaves_the_bundle_open(job: Job) -> None:
    wires = wires_of_branches(job)["B7"]
    blank = attrs.evolve(wires[0], section_mm2=None, outside_mm=None)
    found = bundle("B7", (blank, *wires[1:]), Needs(job, VALUE))
    assert found.unknown == (str(blank.wire),)
    assert found.tight_mm is None
    assert found.packing is None


def test_every_branch_with_wires_has_its_bundle(job: Job) -> None:
    few = attrs.evolve(job, branches=job.branches[5:8])
    assert set(bundles(few, VALUE)) == {"B6", "B7", "B8"}


def test_seven_wires_as_they_are_usually_met() -> None:
    # by hand: 3 diameters packed, 1.25 · √(7 · 2²) as met
    seven = packed((2.0,) * 7, effort=0.1)
    assert seven.diameter == pytest.approx(6.0, rel=1e-6)
    assert met_mm(seven, most=1.25) == pytest.approx(1.25 * math.sqrt(28))


def test_a_bundle_is_never_met_thinner_than_packed() -> None:
    # four of 1 mm: 1 + √2 packed is more than 1.15 · √4
    four = packed((1.0,) * 4, effort=0.1)
    assert met_mm(four, most=1.15) == four.diameter
