"""Splices of small looms: least copper, the rules kept, and what is told when they cannot be."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
import numpy as np
import pytest
from hypothesis import given, settings

from loomwright import standards
from loomwright.build.splice_rules import Refusal
from loomwright.build.splices import Splice, SplicePlan, place_splices
from loomwright.build.spots import Spot, Spots, stretches
from loomwright.build.tree import LoomTree
from loomwright.loom import Job
from sample.demo import demo_job
from sample.new_looms import branch, clip, new_loom, small_looms, wire, zone

LOOSE = {
    "splice_plug_clearance": 20.0, "splice_fork_clearance": 10.0, "splice_stagger": 30.0,
    "splice_fixing_clearance": 10.0,
}  # fmt: skip


def placed(job: Job, own: Mapping[str, float] | None = None) -> SplicePlan:
    return place_splices(LoomTree(job), value=standards.values(own))


def star(**more: object) -> Job:
    """Three plugs about a fork, 500 mm away each, and a splice of their wires."""
    return new_loom(
        (branch("B1 a x 500"), branch("B2 b x 500"), branch("B3 x c 500")),
        (wire("W1 A.1 S 1.0"), wire("W2 B.1 S 1.0"), wire("W3 C.1 S 2.5")),
        plugs={"A": "a", "B": "b", "C": "c"}, joints={"S": "splice x"},
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


def only(job: Job, own: Mapping[str, float] | None = None) -> Splice:
    (splice,) = placed(job, own).splices
    return splice


def test_the_least_copper_is_at_the_end_of_more_than_half_of_it() -> None:
    """The weighted 1-median of a tree: 2.5 of 4.5 mm² end at c, so the splice wants to be there."""
    splice = only(star(), {"splice_plug_clearance": 0, "splice_fork_clearance": 0})
    assert splice.free == splice.spot == Spot("B3", 500.0)
    assert splice.copper_mm3 == pytest.approx(1000 * 1.0 + 1000 * 1.0)
    assert splice.extra_mm == 0


def test_a_rule_costs_wire_and_is_told() -> None:
    splice = only(star())
    assert splice.spot == Spot("B3", 450.0)
    assert splice.extra_mm == pytest.approx(950 + 950 + 50 - 2000)
    assert splice.copper_mm3 - splice.free_mm3 == pytest.approx(50 * (2.5 - 2.0))
    assert ("B3", 450.0, 500.0, "plug") in stretches_of(splice.refused)


def stretches_of(refused: tuple[Refusal, ...]) -> set[tuple[str, float, float, str]]:
    return {(each.branch, each.from_mm, each.to_mm, each.rule) for each in refused}


def test_the_place_in_the_job_is_held_against_the_rules() -> None:
    splice = only(star())
    assert splice.place == "x"
    assert [each.rule for each in splice.as_built] == ["fork"]


def test_two_splices_are_kept_apart_and_tell_each_other() -> None:
    job = star()
    twin = tuple(attrs.evolve(each, wire=f"V{i}", to_point=attrs.evolve(each.to_point, owner="T"))
                 for i, each in enumerate(job.wires))  # fmt: skip
    job = attrs.evolve(job, wires=(*job.wires, *twin),
                       joints=(*job.joints, attrs.evolve(job.joints[0], joint="T")))  # fmt: skip
    plan = placed(job)
    assert {spot.at_mm for spot in plan.spots.values()} == {450.0, 420.0}
    assert plan.proven
    assert all("neighbour" in {each.rule for each in splice.refused} for splice in plan.splices)


def test_a_rule_that_leaves_no_spot_is_named_and_where_it_would_go() -> None:
    moving = tuple(attrs.evolve(each, moves="yes") for each in star().branches)
    splice = only(attrs.evolve(star(), branches=moving))
    assert splice.spot is None
    assert splice.must_give == ("movement",)
    assert splice.nearest == Spot("B3", 450.0)
    assert splice.copper_mm3 == 0


def test_two_rules_that_must_give_together_are_named_both() -> None:
    moving = tuple(attrs.evolve(each, moves="yes", zone="H") for each in star().branches)
    splice = only(attrs.evolve(star(), branches=moving, zones=(zone("H", 200.0),)))
    assert splice.must_give == ("heat", "movement")


def test_without_room_to_keep_them_apart_the_distance_must_give() -> None:
    job = new_loom(
        (branch("B1 a b 110"),),
        (wire("W1 A.1 S 1.0"), wire("W2 B.1 S 1.0"), wire("W3 A.2 T 1.0"), wire("W4 B.2 T 1.0")),
        plugs={"A": "a", "B": "b"}, joints={"S": "splice", "T": "splice"},
    )  # fmt: skip
    plan = placed(job)
    assert [each.must_give for each in plan.splices] == [("neighbour",), ("neighbour",)]
    assert all(each.spot is None and each.nearest is not None for each in plan.splices)


def test_wires_whose_end_is_not_known_are_left_out_and_named() -> None:
    job = star()
    lost = attrs.evolve(job.plugs[0], place=None)
    splice = only(attrs.evolve(job, plugs=(lost, *job.plugs[1:])))
    assert splice.left_out == ("W1",)
    assert splice.spot is not None


def test_a_splice_of_which_nothing_is_known_is_not_placed() -> None:
    job = star()
    lost = tuple(attrs.evolve(each, place=None) for each in job.plugs)
    splice = only(attrs.evolve(job, plugs=lost))
    assert (splice.spot, splice.free, splice.must_give) == (None, None, ())
    assert splice.left_out == ("W1", "W2", "W3")


def test_a_clip_pushes_a_splice_aside() -> None:
    job = star(fixings=(clip("C1", "B3", 440.0),))
    assert only(job).spot == Spot("B3", 410.0)


def test_splices_with_a_wire_between_them_are_placed_together() -> None:
    """The thick wire between them pulls both to one stretch; the stagger keeps them apart."""
    job = new_loom(
        (branch("B1 a b 1000"),),
        (wire("W1 A.1 S 0.5"), wire("W2 B.1 T 0.5"), wire("W3 S T 2.5")),
        plugs={"A": "a", "B": "b"}, joints={"S": "splice", "T": "splice"},
    )  # fmt: skip
    plan = placed(job)
    one, other = (each.spot for each in plan.splices)
    assert one is not None
    assert other is not None
    assert other.at_mm - one.at_mm == pytest.approx(30.0)
    assert plan.copper_mm3 == pytest.approx(0.5 * 970 + 2.5 * 30)
    assert plan.proven


@settings(deadline=None, max_examples=50)
@given(small_looms(most_places=4, most_splices=3, longest=9))
def test_whatever_the_loom_a_spot_keeps_every_rule(job: Job) -> None:
    tree = LoomTree(job)
    plan = place_splices(tree, value=standards.values(LOOSE))
    spots = Spots(tree, 10.0)
    for splice in plan.splices:
        if splice.spot is None:
            assert splice.must_give
            continue
        index = spots.all.index(splice.spot)
        assert not any(each.holds(spots)[index] for each in splice.refused)
        for name, other in plan.spots.items():
            way = stretches(tree, splice.spot, other)
            assert way is not None
            assert name == splice.splice or sum(each.length_mm for each in way) >= 30.0
    assert plan.free_mm3 <= plan.copper_mm3 + 1e-6 or len(plan.spots) < len(plan.splices)


@settings(deadline=None, max_examples=50)
@given(small_looms(most_places=4, most_splices=1))
def test_one_splice_needs_no_more_copper_than_at_any_spot(job: Job) -> None:
    """Against laying every wire by itself to every spot that no rule refuses."""
    tree = LoomTree(job)
    (splice,) = place_splices(tree, value=standards.values(LOOSE)).splices
    spots = Spots(tree, 10.0)
    refused = [each.holds(spots) for each in splice.refused]

    def copper(spot: Spot) -> float:
        return sum(
            (each.section_mm2 or 0.0) * stretch.length_mm
            for each in job.wires
            for stretch in stretches(tree, spot, tree.place_of(each.from_point) or "") or ()
        )

    assert splice.free_mm3 == pytest.approx(min(copper(spot) for spot in spots.all))
    if splice.spot is not None:
        ends = [tree.place_of(each.from_point) or "" for each in job.wires]
        ways = [stretches(tree, splice.spot, end) or () for end in ends]
        between = {str(stretch.branch.branch) for way in ways for stretch in way}
        allowed = [
            spot for i, spot in enumerate(spots.all)
            if spot.branch in between and not any(flags[i] for flags in refused)
        ]  # fmt: skip
        assert splice.copper_mm3 == pytest.approx(copper(splice.spot))
        assert splice.copper_mm3 <= min(map(copper, allowed), default=np.inf) + 1e-6


def test_the_demo_s_splices_keep_the_rules_and_none_moves_with_the_engine() -> None:
    plan = placed(demo_job())
    moving = {str(each.branch) for each in demo_job().branches if each.moves == "yes"}
    assert len(plan.spots) == len(plan.splices) == 7
    assert plan.proven
    assert not moving & {spot.branch for spot in plan.spots.values()}
    assert all(each.as_built for each in plan.splices)
