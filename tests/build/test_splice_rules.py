"""The rules for splices, one by one, on a line of branches; distances are reckoned by hand."""

from __future__ import annotations

import attrs
import numpy as np
import pytest

from loomwright import standards
from loomwright.build.splice_rules import (
    RULES,
    Refusal,
    barrel,
    broken_at,
    near_splice,
    refusals,
)
from loomwright.build.spots import Spot, Spots
from loomwright.build.tree import LoomTree
from loomwright.loom import Job
from sample.new_looms import branch, clip, new_loom, splice_part, wire, zone

VALUE = {
    **standards.values(), "splice_plug_clearance": 50.0, "splice_fork_clearance": 40.0,
    "splice_fixing_clearance": 30.0, "splice_soak_most": 120.0, "splice_heat_clearance": 100.0,
}  # fmt: skip
LINE = (branch("B1 a b 300"), branch("B2 b c 200"))


def reaches(job: Job, rule: str) -> set[tuple[str, float, float]]:
    found = refusals(LoomTree(job), value=VALUE)
    return {(each.branch, each.from_mm, each.to_mm) for each in found if each.rule == rule}


def test_a_splice_keeps_away_from_a_plug_on_every_branch_there() -> None:
    job = new_loom(LINE, (), plugs={"P": "b"})
    assert reaches(job, "plug") == {("B1", 250.0, 300.0), ("B2", 0.0, 50.0)}
    assert reaches(job, "fork") == set()


def test_a_short_branch_does_not_shield_the_next_one() -> None:
    job = new_loom((branch("B1 a b 20"), branch("B2 b c 200")), (), plugs={"P": "a"})
    assert reaches(job, "plug") == {("B1", 0.0, 20.0), ("B2", 0.0, 30.0)}


def test_a_fork_is_where_three_branches_meet_or_wires_leave_to_an_earth() -> None:
    fork = new_loom((*LINE, branch("B3 d b 100")), ())
    assert reaches(fork, "fork") == {("B1", 260.0, 300.0), ("B2", 0.0, 40.0), ("B3", 60.0, 100.0)}
    earth = new_loom(LINE, (), joints={"E": "earth a", "S": "splice c"})
    assert reaches(earth, "fork") == {("B1", 0.0, 40.0)}


def test_hot_zones_are_refused_and_what_is_near_them() -> None:
    hot = (attrs.evolve(LINE[0], zone="HOT"), attrs.evolve(LINE[1], zone="COOL"))
    job = new_loom(hot, (), zones=(zone("HOT", 121.0), zone("COOL", 120.0)))
    assert reaches(job, "heat") == {("B1", 0.0, 300.0), ("B2", 0.0, 100.0)}


@pytest.mark.parametrize("soak", [None, 120.0])
def test_a_zone_that_is_cool_enough_or_not_known_is_free(soak: float | None) -> None:
    job = new_loom((attrs.evolve(LINE[0], zone="Z"), LINE[1]), (), zones=(zone("Z", soak),))
    assert reaches(job, "heat") == set()


def test_what_bends_with_the_engine_is_refused_all_along() -> None:
    job = new_loom((LINE[0], attrs.evolve(LINE[1], moves="yes")), ())
    assert reaches(job, "movement") == {("B2", 0.0, 200.0)}


def test_clips_and_grommets_are_kept_clear_of_also_over_a_place() -> None:
    job = new_loom(LINE, (), fixings=(clip("C1", "B1", 100.0), clip("G1", "B1", 280.0, "grommet")))
    assert reaches(job, "fixing") == {("B1", 70.0, 130.0), ("B1", 250.0, 300.0), ("B2", 0.0, 10.0)}
    words = {each.words for each in refusals(LoomTree(job), value=VALUE)}
    assert words == {"within 30 mm of clip C1", "within 30 mm of grommet G1"}


def test_a_clip_whose_distance_is_not_known_or_off_the_branch_refuses_nothing() -> None:
    job = new_loom(LINE, (), fixings=(clip("C1", "B1", None), clip("C2", "B1", 900.0)))
    assert reaches(job, "fixing") == set()


def test_a_splice_refuses_its_neighbours() -> None:
    tree = LoomTree(new_loom(LINE, ()))
    found = {(each.branch, each.from_mm, each.to_mm)
             for each in near_splice(tree, "S1", Spot("B1", 290.0), apart_mm=30.0)}  # fmt: skip
    assert found == {("B1", 260.0, 300.0), ("B2", 0.0, 20.0)}


@pytest.mark.parametrize(
    ("stretch", "free"),
    [
        ((0.0, 20.0), [20, 30, 40, 50]),  # the end of the branch is refused, the far end free
        ((30.0, 50.0), [0, 10, 20, 30]),
        ((10.0, 30.0), [0, 10, 30, 40, 50]),
        ((0.0, 50.0), []),
    ],
)
def test_a_refusal_holds_inside_and_at_the_branch_ends(
    stretch: tuple[float, float], free: list[int]
) -> None:
    spots = Spots(LoomTree(new_loom((branch("B1 a b 50"), branch("B2 b c 50")), ())), 10.0)
    refusal = Refusal(branch="B1", from_mm=stretch[0], to_mm=stretch[1], rule="plug", words="so")
    held = refusal.holds(spots)
    assert list(spots.at_mm[~held][: len(free)]) == free
    assert not held[spots.number == 1].any()


def test_a_place_breaks_the_rules_that_reach_it() -> None:
    job = new_loom((*LINE, branch("B3 d b 100", moves="yes")), (), plugs={"P": "a"})
    tree = LoomTree(job)
    known = refusals(tree, value=VALUE)
    assert {each.rule for each in broken_at(tree, "a", known)} == {"plug"}
    assert {each.rule for each in broken_at(tree, "b", known)} == {"fork", "movement"}
    assert broken_at(tree, "c", known) == ()


def test_the_copper_of_all_wires_must_fit_one_barrel() -> None:
    wires = (wire("W1 P.1 S 1.0"), wire("W2 P.2 S 1.5"))
    parts = (splice_part("SMALL", 0.5, 1.5), splice_part("RIGHT", 1.5, 4.0))
    tree = LoomTree(new_loom(LINE, wires, catalogue=parts))
    found = barrel(tree, wires)
    assert (found.total_mm2, found.parts) == (2.5, ("RIGHT",))
    none = barrel(LoomTree(new_loom(LINE, wires, catalogue=parts[:1])), wires)
    assert none.words == "2.5 mm² of copper together: no splice of the catalogue takes that"
    bare = barrel(LoomTree(new_loom(LINE, wires)), wires)
    assert bare.words.endswith("the catalogue has no splice")


def test_without_a_section_nothing_is_said_of_the_barrel() -> None:
    wires = (wire("W1 P.1 S 1.0"), attrs.evolve(wire("W2 P.2 S 1.5"), section_mm2=None))
    found = barrel(LoomTree(new_loom(LINE, wires)), wires)
    assert (found.total_mm2, found.words) == (None, "no section is written down for W2")


def test_every_figure_of_a_rule_is_a_default() -> None:
    assert {name for name in RULES.values() if name} <= set(standards.defaults())
    assert np.isfinite([VALUE[name] for name in RULES.values() if name]).all()
