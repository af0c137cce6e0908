"""The order of laying: every wire once, everything after what it needs, the same each time."""

from __future__ import annotations

from collections import Counter
from random import Random

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright import standards
from loomwright.build.laying import laying_order
from loomwright.build.lengths import wire_lengths
from loomwright.build.step_order import BOOT, CHECK, CRIMP, LAY, SPLICE, TRIM, LayStep
from loomwright.build.tree import LoomTree
from loomwright.loom import Job
from sample.demo import demo_job
from sample.new_looms import branch, clip, new_loom, small_looms, wire

ENDS = (CRIMP, TRIM)


def steps(job: Job) -> tuple[LayStep, ...]:
    tree = LoomTree(job)
    return laying_order(tree, wire_lengths(tree, value=standards.values()).wires)


def number(found: tuple[LayStep, ...], kind: str, item: str) -> int:
    (step,) = (each for each in found if (each.kind, each.item) == (kind, item))
    return step.number


@given(small_looms(most_splices=3))
def test_every_wire_is_laid_once_and_nothing_waits_for_what_comes_later(job: Job) -> None:
    found = steps(job)
    laid = Counter(name for each in found if each.kind == LAY for name in each.wires)
    assert laid == Counter(str(each.wire) for each in job.wires)
    assert [each.number for each in found] == list(range(1, len(found) + 1))
    assert all(other < each.number for each in found for other in each.after)


@given(small_looms(most_splices=3))
def test_a_splice_is_made_and_checked_before_its_wires_are_laid(job: Job) -> None:
    found = steps(job)
    lay = {name: each.number for each in found if each.kind == LAY for name in each.wires}
    for each in found:
        if each.kind == CHECK:
            assert number(found, SPLICE, each.item) < each.number
            assert all(each.number < lay[name] for name in each.wires)


@given(small_looms(most_splices=2))
def test_an_end_is_made_once_after_its_boot_and_far_ends_after_laying(job: Job) -> None:
    booted = tuple(attrs.evolve(each, boot="straight 2-way") for each in job.plugs)
    found = steps(attrs.evolve(job, plugs=booted))
    lay = {name: each.number for each in found if each.kind == LAY for name in each.wires}
    ends = Counter((each.item, name) for each in found if each.kind in ENDS for name in each.wires)
    expected = {(point.owner, str(row.wire)) for row in job.wires
                for point in (row.from_point, row.to_point) if point.terminal}  # fmt: skip
    assert ends == Counter(expected)
    for each in found:
        if each.kind in ENDS:
            assert number(found, BOOT, each.item) < each.number
        if each.kind == TRIM:
            assert all(lay[name] < each.number for name in each.wires)


@given(small_looms(), st.randoms())
def test_the_order_hangs_on_no_order_of_the_catalogue_or_the_fixings(
    job: Job, shuffled: Random
) -> None:
    clips = [clip(f"C{i}", str(job.branches[0].branch), 5.0) for i in range(3)]
    other = shuffled.sample(clips, 3)
    assert steps(attrs.evolve(job, fixings=tuple(clips))) == steps(
        attrs.evolve(job, fixings=tuple(other))
    )


def trunk() -> Job:
    """A trunk with a short and a long way through it, and a branch of its own beside."""
    return new_loom(
        (branch("B1 u x 900"), branch("B2 x a 100"), branch("B3 x b 700"), branch("B4 a c 300")),
        (wire("W1 U.1 A.1 1.0"), wire("W2 U.2 A.2 1.0"), wire("W3 U.3 B.1 1.0"),
         wire("W4 A.3 C.1 1.0")),
        plugs={"U": "u", "A": "a", "B": "b", "C": "c"},
    )  # fmt: skip


def test_the_trunk_comes_first_longest_wires_at_the_bottom_then_branches() -> None:
    laid = [each.wires for each in steps(trunk()) if each.kind == LAY]
    assert laid == [("W3",), ("W1", "W2"), ("W4",)]


def test_the_plug_with_most_wires_is_made_first_where_no_control_unit_is_known() -> None:
    found = steps(trunk())
    assert number(found, CRIMP, "U") < min(each.number for each in found if each.kind == LAY)
    assert {each.item for each in found if each.kind == TRIM} == {"A", "B", "C"}


def test_a_plug_without_a_boot_waits_for_none() -> None:
    assert not any(each.kind == BOOT for each in steps(trunk()))


@pytest.fixture(scope="module")
def demo() -> tuple[LayStep, ...]:
    return steps(demo_job())


def test_the_demo_s_control_unit_is_made_first_and_sensors_lie_on_top(
    demo: tuple[LayStep, ...],
) -> None:
    assert [each.item for each in demo if each.kind == CRIMP] == ["CU"]
    *_, spliced, last = [each for each in demo if each.kind == LAY]
    assert (spliced.item, last.wires) == ("splice SPS", ("W32", "W35"))


def test_hold_points_stand_where_nothing_can_be_undone(demo: tuple[LayStep, ...]) -> None:
    assert {each.kind for each in demo if each.hold} == {CHECK, BOOT, "test"}
    assert [each.kind for each in demo[-2:]] == ["test", "test"]
    assert all(each.why for each in demo)


def test_spliced_wires_of_the_first_plug_are_measured_from_their_splice(
    demo: tuple[LayStep, ...],
) -> None:
    (crimp,) = (each for each in demo if each.kind == CRIMP)
    assert "measure W14, W17, W18, W34 from the splice first" in crimp.what


def test_no_wires_need_no_steps() -> None:
    assert steps(new_loom((branch("B1 a b 100"),), ())) == ()
