"""The loom as a tree: against trying all ways on small trees, and the demo's own columns."""

from __future__ import annotations

from itertools import combinations

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.build.tree import LoomTree
from loomwright.loom import About, Branch, InputProblems, Job, Joint, Point, Wire
from loomwright.loom.identity import BranchId, JointId, WireId
from sample.demo import demo_job


def branch(number: int, start: int, end: int, length: float | None = 100.0) -> Branch:
    return Branch(
        branch=BranchId(f"B{number}"), from_place=f"p{start}", to_place=f"p{end}",
        length_mm=length, row=number + 1,
    )  # fmt: skip


@st.composite
def trees(draw: st.DrawFn) -> Job:
    """Each place hangs on an earlier one, either way round."""
    size = draw(st.integers(1, 12))
    rows = []
    for place in range(1, size + 1):
        above = draw(st.integers(0, place - 1))
        ends = (above, place) if draw(st.booleans()) else (place, above)
        rows.append(branch(place, *ends, length=draw(st.floats(1, 3000))))
    return Job(about=About(title="A tree"), branches=tuple(draw(st.permutations(rows))))


def all_ways(tree: LoomTree, start: str, end: str, seen: tuple[str, ...] = ()) -> list[list[str]]:
    """Every way without a place twice, by trying all."""
    if start == end:
        return [[]]
    return [
        [str(branch.branch), *rest]
        for branch, there in tree.neighbours[start]
        if there not in (*seen, start)
        for rest in all_ways(tree, there, end, (*seen, start))
    ]


@given(trees())
def test_the_way_is_the_only_one_that_trying_all_finds(job: Job) -> None:
    tree = LoomTree(job)
    for start, end in combinations(tree.neighbours, 2):
        way = tree.way(start, end)
        assert way is not None
        assert [[str(each.branch) for each in way.branches]] == all_ways(tree, start, end)
        assert (way.places[0], way.places[-1]) == (start, end)
        back = tree.way(end, start)
        assert back is not None
        assert back.places == way.places[::-1]
        assert back.length_mm == pytest.approx(way.length_mm)


def test_the_demo_s_wires_run_as_its_table_says() -> None:
    tree = LoomTree(demo_job())
    for wire in demo_job().wires:
        way = tree.ways[str(wire.wire)]
        assert way is not None
        assert tuple(each.branch for each in way.branches) == wire.branches


def test_the_demo_s_pump_loom_is_a_piece_of_its_own() -> None:
    pieces = LoomTree(demo_job()).pieces
    assert [[str(each.branch) for each in piece.branches] for piece in pieces[1:]] == [["B15"]]


def test_a_splice_joins_two_pieces_and_an_earth_point_does_not() -> None:
    branches = (branch(1, 0, 1), branch(2, 1, 2))
    wires = tuple(
        Wire(wire=WireId(name), from_point=Point(start), to_point=Point(end))
        for name, start, end in (("W1", "E0", "MID"), ("W2", "MID", "E2"))
    )
    ends = (
        Joint(joint=JointId("E0"), kind="stud", place="p0"),
        Joint(joint=JointId("E2"), kind="stud", place="p2"),
    )
    for kind, count in (("splice", 1), ("earth", 2)):
        middle = Joint(joint=JointId("MID"), kind=kind, place="p1")
        job = Job(about=About(title="Two"), branches=branches, wires=wires, joints=(*ends, middle))
        assert len(LoomTree(job).pieces) == count


def test_all_that_makes_no_tree_is_told_at_once() -> None:
    rows = (
        branch(1, 0, 1),
        branch(2, 1, 2),
        branch(3, 2, 0),
        branch(4, 3, 3),
        branch(5, 3, 4, None),
    )
    with pytest.raises(InputProblems) as raised:
        LoomTree(Job(about=About(title="A ring"), branches=rows))
    told = [(problem.where.row, problem.where.column) for problem in raised.value.problems]
    assert told == [(5, "to_place"), (6, "length_mm"), (4, "to_place")]
    assert 'closes a ring: "p2" and "p0"' in raised.value.problems[-1].what


def test_a_job_without_branches_is_told_what_to_write() -> None:
    with pytest.raises(InputProblems) as raised:
        LoomTree(Job(about=About(title="None")))
    assert [problem.what for problem in raised.value.problems] == ["there is no branch"]


def test_a_place_that_no_branch_reaches_has_no_way() -> None:
    job = attrs.evolve(demo_job(), branches=demo_job().branches[:3])
    tree = LoomTree(job)
    assert tree.way("control unit", "wing") is None
    assert tree.way("nowhere", "wing") is None
    assert tree.way("wing", "wing") is not None
