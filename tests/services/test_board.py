"""The board of a loom: every wire on one board, at both its ends; what is not known is told."""

from __future__ import annotations

import json
import math
from collections import Counter
from itertools import pairwise

import attrs
import pytest

from loomwright.build.tree import LoomTree
from loomwright.loom import Branch, Fixing, InputProblems, NotFound, OwnFigure
from loomwright.loom.errors import OutOfRange
from loomwright.services.board import BoardReport, board
from loomwright.services.board_ends import wires_of
from sample.boards import small_job
from sample.demo import demo_job, demo_known


@pytest.fixture(scope="module")
def report() -> BoardReport:
    return board(demo_job())


def test_every_wire_of_the_demo_is_listed_at_both_ends(report: BoardReport) -> None:
    listed = Counter(
        wire.wire
        for each in report.boards
        for end in each.ends.values()
        for item in end.items
        for wire in item.wires
    )
    assert listed == {str(wire.wire): 2 for wire in demo_job().wires}


def test_every_branch_is_on_one_board_and_fits_the_table(report: BoardReport) -> None:
    names = [str(run.branch.branch) for each in report.boards for run in each.layout.runs]
    assert sorted(names) == sorted(str(branch.branch) for branch in demo_job().branches)
    assert [each.fits_table for each in report.boards] == [True, True]
    assert [each.layout.clear_mm for each in report.boards] == [40.0, 40.0]


def test_a_wire_between_things_of_one_place_goes_with_what_it_meets() -> None:
    """X2A and GR are at the rear seat on the cabin side: W29 between them is no pump wire."""
    tree = LoomTree(demo_job())
    pieces = [[str(wire.wire) for wire in wires] for wires in wires_of(tree)]
    assert ["W29" in piece for piece in pieces] == [True, False]
    assert sorted(name for piece in pieces for name in piece) == sorted(
        str(wire.wire) for wire in demo_job().wires
    )


def test_one_piece_and_a_width_can_be_asked_for(report: BoardReport) -> None:
    (second,) = board(demo_job(), piece=2).boards
    assert second == report.boards[1]
    (narrow,) = board(demo_job(), piece=2, width_mm=900.0).boards
    assert narrow.layout.wide_mm <= 900.0


def test_an_own_figure_counts() -> None:
    own = (OwnFigure(name="board_clear", value=30.0),)
    (made,) = board(attrs.evolve(small_job(), settings=own)).boards
    assert made.layout.clear_mm == 30.0


def test_what_is_not_known_is_told() -> None:
    job = small_job()
    fixings = (
        *job.fixings,
        Fixing(fixing="C2", kind="clip", branch="B1"),
        Fixing(fixing="C3", kind="clip", branch="B1", at_mm=500.0),
    )
    lost = attrs.evolve(job.plugs[0], plug="C", place=None)
    wire = attrs.evolve(
        job.wires[0], wire="W9", from_point=attrs.evolve(job.wires[0].from_point, owner="C")
    )
    job = attrs.evolve(job, fixings=fixings, plugs=(*job.plugs, lost), wires=(*job.wires, wire))
    (made,) = board(job).boards
    assert made.notes == (
        "Bundle width not known: B2 and B3. Only their middle line is drawn.",
        "Not on any board, as an end has no place on a branch: wires W9.",
        "Not drawn, as it is not known where on the branch: C2.",
        "Not drawn, as they lie beyond the end of their branch: C3.",
    )
    assert [(mark.kind, mark.name) for mark in made.marks] == [("splice", "S"), ("clip", "CLIP1")]


def test_a_clip_sits_as_far_from_the_branchs_beginning_as_written() -> None:
    (made,) = board(small_job()).boards
    (clip,) = (mark for mark in made.marks if mark.kind == "clip")
    first = next(run for run in made.layout.runs if run.branch.branch == "B1")
    # The branch is straight: 60 mm along it is 60 mm from where it begins.
    (ax, ay), (bx, by) = first.points[0], first.points[-1]
    assert len(first.points) == 2
    assert clip.at == pytest.approx((ax + (bx - ax) * 60 / 180, ay + (by - ay) * 60 / 180))


def test_splices_are_marked_where_the_new_loom_has_them(report: BoardReport) -> None:
    spots = demo_known().build.plan.spots
    marked = {mark.name: mark.at for each in report.boards for mark in each.marks
              if mark.kind == "splice"}  # fmt: skip
    assert marked.keys() == spots.keys()
    runs = {str(run.branch.branch): run for each in report.boards for run in each.layout.runs}
    for name, spot in spots.items():
        # Walked along the drawn line to the mark, by its straight stretches.
        left, points = spot.at_mm, runs[spot.branch].points
        for start, end in pairwise(points):
            long = math.dist(start, end)
            if left <= long:
                share = left / long
                there = [a + share * (b - a) for a, b in zip(start, end, strict=True)]
                assert marked[name] == pytest.approx(there, abs=1e-6)
                break
            left -= long


def test_the_json_holds_every_branch(report: BoardReport) -> None:
    told = json.loads(json.dumps(report.json()))
    assert [len(each["branches"]) for each in told["boards"]] == [14, 1]
    assert told["pieces"] == 2


@pytest.mark.parametrize(
    ("asked", "what"),
    [({"piece": 3}, "the loom has no piece 3"), ({"width_mm": 20.0}, "a table 20 mm wide is not")],
)
def test_what_there_is_not_is_refused(asked: dict[str, int], what: str) -> None:
    with pytest.raises((NotFound, OutOfRange)) as refusal:
        board(demo_job(), **asked)
    assert refusal.value.what.startswith(what)


def test_branches_that_are_no_tree_are_refused_all_at_once() -> None:
    job = small_job()
    ring = Branch(branch="B9", from_place="left", to_place="right", length_mm=100.0)
    short = Branch(branch="B8", from_place="left", to_place="far")
    with pytest.raises(InputProblems) as refusal:
        board(attrs.evolve(job, branches=(*job.branches, ring, short)))
    assert len(refusal.value.problems) == 2
