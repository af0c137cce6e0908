"""The loom as a tree: every place and branch once, nothing on top of another."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings.tree import layout, measure, tree_svg
from loomwright.loom import Branch, Joint, Plug
from loomwright.loom.face import Face
from loomwright.services.draw import LoomPlan, loom_plan
from loomwright.storage.job_folder import JobFolder

DEMO = JobFolder().read(Path(__file__).parents[2] / "examples" / "tarn-2300")


def branches(*pairs: tuple[str, str]) -> tuple[Branch, ...]:
    return tuple(
        Branch(branch=f"B{n}", from_place=one, to_place=other)
        for n, (one, other) in enumerate(pairs, start=1)
    )


places = st.sampled_from([f"place {n}" for n in range(12)])
any_branches = st.lists(st.tuples(places, places), min_size=1, max_size=20).map(
    lambda pairs: branches(*pairs)
)


@given(any_branches)
def test_every_place_and_every_branch_has_one_place(found: tuple[Branch, ...]) -> None:
    made = layout(found)
    assert set(made.spots) == {p for b in found for p in (b.from_place, b.to_place)}
    assert len({(spot.step, spot.row) for spot in made.spots.values()}) == len(made.spots)
    ways = [spot.by.branch for spot in made.spots.values() if spot.by is not None]
    assert sorted([*ways, *(loop.branch for loop in made.loops)]) == sorted(
        branch.branch for branch in found
    )


@given(any_branches)
def test_no_way_runs_through_another_place(found: tuple[Branch, ...]) -> None:
    """A way leaves its parent downwards in the parent's column, then goes one step right."""
    spots = layout(found).spots
    for spot in spots.values():
        if spot.parent is None:
            assert spot.step == 0
            continue
        parent = spots[spot.parent]
        assert spot.step == parent.step + 1
        assert spot.row >= parent.row
        between = [
            each.name
            for each in spots.values()
            if each.step == parent.step and parent.row < each.row <= spot.row
        ]
        assert between == []


def test_the_longest_way_runs_straight_on() -> None:
    spots = layout(branches(("a", "x"), ("a", "b"), ("b", "y"), ("b", "c"), ("c", "d"))).spots
    assert {name for name, spot in spots.items() if spot.row == 0} == {"a", "b", "c", "d"}


def test_a_ring_is_closed_by_a_broken_line() -> None:
    made = layout(branches(("a", "b"), ("b", "c"), ("c", "a")))
    assert [loop.branch for loop in made.loops] == ["B2"]


def test_a_chain_of_any_length_is_drawn() -> None:
    long = branches(*((f"p{n}", f"p{n + 1}") for n in range(3000)))
    assert {spot.row for spot in layout(long).spots.values()} == {0}


def words(plan: LoomPlan) -> list[str]:
    root = ElementTree.fromstring(tree_svg(plan).encode())
    return [node.text or "" for node in root.iter() if node.tag.endswith("}text")]


def test_the_demo_loom_shows_everything() -> None:
    said = words(loom_plan(DEMO))
    for branch in DEMO.branches:
        assert f"{branch.branch}: {branch.length_mm:g} mm, {branch.zone}" in said
        assert branch.to_place in said
    for plug in DEMO.plugs:
        assert sum(each.startswith(f"{plug.plug}: ") for each in said) == 1
    for joint in DEMO.joints:
        assert sum(each.startswith(f"{joint.joint}: ") for each in said) == 1


def test_the_same_sheet_gives_the_same_drawing() -> None:
    assert tree_svg(loom_plan(DEMO)) == tree_svg(loom_plan(DEMO))


def test_what_cannot_be_placed_is_told() -> None:
    plan = LoomPlan(
        job="<b>&",
        branches=branches(("a", "b"), ("a", "b")),
        plugs=(Plug(plug="P", face=Face.parse("1")),),
        joints=(Joint(joint="E", kind="battery_minus", place="nowhere"),),
    )
    said = " ".join(words(plan))
    assert "Place not recorded: P." in said
    assert '"nowhere", which no branch reaches: E: battery minus.' in said
    assert "Broken line: B2 also joins a and b, length not recorded." in said
    assert "<b>&" in said


def test_length_and_zone_in_words() -> None:
    branch = Branch(branch="B", from_place="a", to_place="b", length_mm=620.5, zone="BAY")
    assert measure(branch) == "620.5 mm, BAY"
