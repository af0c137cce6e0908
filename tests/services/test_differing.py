"""What differs between two looms, cell by cell."""

from __future__ import annotations

import attrs
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import Job
from loomwright.services.differing import Changed, Difference, differences
from sample.jobs import job as small_job


def test_a_job_does_not_differ_from_itself() -> None:
    assert differences(small_job(), small_job()) == ()


def test_a_changed_cell_is_told_with_both_values() -> None:
    other = small_job({"wires": ("W1,CU.1,T1.1,BN/WH", "W1,CU.1,T1.1,GN")})
    assert differences(small_job(), other) == (
        Difference(
            table="wires", name="W1", kind="changed", cells=(Changed("colour", "BN/WH", "GN"),)
        ),
    )


def test_a_row_on_one_side_is_told_with_all_that_it_holds() -> None:
    here = small_job()
    there = attrs.evolve(here, joints=here.joints[1:])
    (only_here,) = differences(here, there)
    assert (only_here.table, only_here.name, only_here.kind) == ("joints", "E1", "only here")
    assert Changed("kind", "earth", "") in only_here.cells
    (only_there,) = differences(there, here)
    assert only_there.kind == "only there"
    assert Changed("kind", "", "earth") in only_there.cells


def test_points_of_a_curve_are_matched_by_their_temperature() -> None:
    other = small_job({"curves": ("NTC,20,2500,10", "NTC,20,2400,10")})
    assert differences(small_job(), other) == (
        Difference(
            table="curves", name="NTC 20", kind="changed", cells=(Changed("ohm", "2500", "2400"),)
        ),
    )


def test_what_was_done_is_not_compared() -> None:
    here = small_job()
    other = attrs.evolve(here, readings=(), survey=(), tasks=(), photos=(), stock=(), meters=())
    assert differences(here, other) == ()


def test_a_name_that_is_there_twice_is_told_twice() -> None:
    here = small_job()
    twice = attrs.evolve(here, joints=(*here.joints, here.joints[0]))
    assert [each.name for each in differences(twice, here)] == ["E1 (2)"]


@given(st.sets(st.integers(0, 7)), st.sets(st.integers(0, 7)))
def test_the_other_way_round_says_the_same_turned_about(mine: set[int], theirs: set[int]) -> None:
    def part(kept: set[int]) -> Job:
        whole = small_job()
        return attrs.evolve(whole, wires=tuple(whole.wires[n] for n in sorted(kept)))

    turned = {"only here": "only there", "only there": "only here", "changed": "changed"}
    there = {(each.name, turned[each.kind]) for each in differences(part(theirs), part(mine))}
    assert {(each.name, each.kind) for each in differences(part(mine), part(theirs))} == there
    assert len(there) == len(mine ^ theirs)
