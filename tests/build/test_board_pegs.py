"""Pegs hold forks, bends, ends, and the way between them."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from hypothesis import given, settings

from loomwright.build.board import lay_out
from loomwright.build.board_layout import Layout, Run
from loomwright.build.board_lines import drawn, line_length
from loomwright.build.board_pegs import BEND, END, FORK, WAY, stations
from loomwright.loom import Branch
from sample.boards import BOUNDS, rows, trees

(STRAIGHT,) = rows(("a", "b", 1000.0))


def board(run: Run) -> Layout:
    return Layout(
        runs=(run,), boxes=(), wide_mm=2000.0, high_mm=2000.0, clear_mm=40.0, fork_mm=160.0,
        bend_mm=60.0,
    )  # fmt: skip


def test_a_straight_branch_has_pegs_on_both_sides_every_250_mm() -> None:
    run = Run(STRAIGHT, ((0.0, 100.0), (1000.0, 100.0)))
    found = stations(board(run), across_mm={"B1": 12.0}, gap_mm=10.0, step_mm=250.0)
    assert [each.why for each in found] == [END, END, WAY, WAY, WAY]
    assert [each.pegs[0][0] for each in found] == pytest.approx([0.0, 1000.0, 250.0, 500.0, 750.0])
    # Half of 12 mm and 10 mm beside it.
    assert {round(y, 9) for each in found for _, y in each.pegs} == {84.0, 116.0}


def test_a_bend_has_pegs_at_its_middle() -> None:
    points = tuple(drawn((100.0, 100.0), 0.0, ((300.0, 90.0), (300.0, 0.0)), 60.0))
    (branch,) = rows(("a", "b", line_length(points)))
    found = stations(board(Run(branch, points)), across_mm={}, gap_mm=10.0, step_mm=250.0)
    (bend,) = (each for each in found if each.why == BEND)
    # The middle of the arc about (400, 160), 60 mm from it at -45 degrees.
    middle = (400.0 + 60.0 * math.sqrt(0.5), 160.0 - 60.0 * math.sqrt(0.5))
    assert [math.dist(peg, middle) for peg in bend.pegs] == pytest.approx([10.0, 10.0])


@settings(max_examples=15, deadline=None)
@given(trees())
def test_every_fork_and_end_is_held_and_no_way_is_longer_than_a_step(
    branches: tuple[Branch, ...],
) -> None:
    layout = lay_out(branches, copper={}, boxes={}, bounds=BOUNDS, effort=0.02)
    found = stations(layout, across_mm={}, gap_mm=10.0, step_mm=250.0)
    degree = Counter(p for b in branches for p in (b.from_place, b.to_place))
    whys = Counter(each.why for each in found)
    assert whys[END] == sum(n == 1 for n in degree.values())
    assert whys[FORK] == sum(n > 1 for n in degree.values())
    assert sum(len(each.pegs) for each in found if each.why == FORK) == sum(
        n for n in degree.values() if n > 1
    )
    long = sum(b.length_mm or 0.0 for b in branches)
    pieces = whys[WAY] + whys[BEND] + len(branches)
    assert pieces * 250.0 >= long - 1e-6
    assert [each.number for each in found] == list(range(1, len(found) + 1))
