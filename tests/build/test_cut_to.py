"""What wires are cut to: by their way, else by the old wire; how far their ends are stripped."""

from __future__ import annotations

import attrs
import pytest

from loomwright import standards
from loomwright.build.cut_to import Strips, cut_to
from loomwright.loom import Job, Point
from loomwright.services.build import build
from sample.demo import demo_job

VALUE = standards.values({})


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


def test_lengths_are_those_the_loom_is_built_by(job: Job) -> None:
    assert cut_to(job, VALUE).cut_mm == {each.wire: each.cut_mm for each in build(job).wires}


def test_without_branches_the_old_lengths_are_taken_with_a_spare(job: Job) -> None:
    """300 mm to trim, the default `wire_spare`."""
    found = cut_to(attrs.evolve(job, branches=(), fixings=()), VALUE)
    old = {str(wire.wire): wire.length_mm for wire in job.wires if wire.length_mm}
    assert found.cut_mm == {name: length + 300 for name, length in old.items()}
    assert found.notes == (
        "no length is taken from the branches: there is no branch",
        f"lengths: {len(old)} of the wires by the old wire and 300 mm to trim",
    )


def test_a_wire_without_a_way_is_cut_by_its_old_length(job: Job) -> None:
    plugs = tuple(attrs.evolve(each, place=None) if each.plug == "TH" else each
                  for each in job.plugs)  # fmt: skip
    found = cut_to(attrs.evolve(job, plugs=plugs), VALUE)
    wire = next(each for each in job.wires if "TH" in (each.from_point.owner, each.to_point.owner))
    assert wire.length_mm is not None
    assert found.cut_mm[str(wire.wire)] == wire.length_mm + 300
    assert found.notes[0].endswith("the others by their way along the branches")


def test_what_nothing_is_known_of_has_no_length(job: Job) -> None:
    wires = tuple(attrs.evolve(each, length_mm=None) for each in job.wires)
    assert cut_to(attrs.evolve(job, branches=(), fixings=(), wires=wires), VALUE).cut_mm == {}


def test_strips_are_those_of_the_terminal_there(job: Job) -> None:
    """A receptacle with a barrel of 3.5 mm, and 0.5 to 1 mm more: trade practice, strip length."""
    strips = Strips(job, VALUE)
    assert strips.at(Point("TH", "2")) == (4.0, 4.5)
    assert strips.at(Point("GE")) is None
