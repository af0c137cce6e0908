"""A board is laid as a board must be, whatever the tree: lengths, room, no crossing."""

from __future__ import annotations

from itertools import pairwise

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from loomwright.build.board import lay_out
from loomwright.build.board_layout import Layout, faults
from loomwright.build.board_lines import along, line_length
from loomwright.build.board_plan import trunk_of
from loomwright.loom import Branch
from sample.boards import BOUNDS, boxes, rows, trees

QUICK = 0.02
"""One or two tries: the laws hold for any of them."""


def laid(branches: tuple[Branch, ...], **more: float) -> Layout:
    bounds = attrs.evolve(BOUNDS, **more)
    return lay_out(branches, copper={}, boxes=boxes(branches), bounds=bounds, effort=QUICK)


@settings(max_examples=25, deadline=None)
@given(trees())
def test_any_tree_lies_at_true_length_without_a_fault(branches: tuple[Branch, ...]) -> None:
    layout = laid(branches)
    assert faults(layout) == []
    assert [run.branch for run in layout.runs] == list(branches)
    for run in layout.runs:
        assert line_length(run.points) == pytest.approx(run.branch.length_mm, abs=1e-6)
    assert {box.place for box in layout.boxes} == set(boxes(branches))


@settings(max_examples=10, deadline=None)
@given(trees(most=7))
def test_points_far_along_the_loom_are_apart_on_the_board(branches: tuple[Branch, ...]) -> None:
    """Every 10 mm, ways along the loom by another library: not the rule's own reckoning."""
    layout = laid(branches)
    number: dict[object, int] = {}
    spots, steps = {}, []
    for run in layout.runs:
        name, long = str(run.branch.branch), run.branch.length_mm or 0.0
        marks = [*np.arange(0.0, long, 10.0), long]
        inner = [(name, n) for n in range(1, len(marks) - 1)]
        nodes = [run.branch.from_place, *inner, run.branch.to_place]
        known = [number.setdefault(node, len(number)) for node in nodes]
        spots |= {node: along(run.points, at)[0] for node, at in zip(known, marks, strict=True)}
        steps += [
            (one, other, high - low)
            for (one, other), (low, high) in zip(pairwise(known), pairwise(marks), strict=True)
        ]
    ones, others, lengths = zip(*steps, strict=True)
    graph = csr_array((lengths, (ones, others)), shape=(len(number), len(number)))
    ways = dijkstra(graph, directed=False)
    at = np.array([spots[n] for n in range(len(number))])
    gaps = np.hypot(*(at[:, None, :] - at[None, :, :]).transpose(2, 0, 1))
    assert (gaps[ways >= layout.fork_mm] >= layout.clear_mm - 1e-6).all()


@settings(max_examples=8, deadline=None)
@given(trees(), st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_nothing_but_their_order(branches, random) -> None:  # type: ignore[no-untyped-def]
    shuffled = list(branches)
    random.shuffle(shuffled)
    one, other = laid(branches), laid(tuple(shuffled))
    assert {run.branch: run.points for run in one.runs} == {
        run.branch: run.points for run in other.runs
    }
    assert faults(other) == []


def test_a_long_trunk_folds_back_within_the_table() -> None:
    branches = rows(("a", "b", 1400.0), ("b", "c", 2200.0), ("c", "d", 900.0), ("b", "e", 300.0))
    layout = lay_out(branches, copper={}, boxes=boxes(branches), bounds=BOUNDS)
    assert layout.wide_mm <= BOUNDS.width_mm
    assert (layout.clear_mm, layout.fan) == (BOUNDS.clear_mm, False)
    assert faults(layout) == []


def test_a_narrower_table_gives_a_narrower_board() -> None:
    branches = rows(("a", "b", 1400.0), ("b", "c", 700.0), ("b", "d", 300.0))
    assert laid(branches, width_mm=1200.0).wide_mm <= 1200.0


def test_more_effort_never_gives_a_larger_board() -> None:
    branches = rows(
        ("a", "b", 700.0), ("b", "c", 500.0), ("c", "d", 400.0), ("b", "e", 300.0),
        ("c", "f", 350.0), ("d", "g", 250.0),
    )  # fmt: skip
    sizes = [
        lay_out(branches, copper={}, boxes=boxes(branches), bounds=BOUNDS, effort=effort)
        for effort in (0.05, 1.0)
    ]
    few, many = (layout.wide_mm * layout.high_mm for layout in sizes)
    assert many <= few + 1e-3


def test_the_trunk_is_the_way_with_the_most_copper() -> None:
    """10 mm² over 300 mm is more than 1 mm² over 900 mm."""
    branches = rows(("a", "b", 500.0), ("b", "c", 900.0), ("b", "d", 300.0))
    copper = {"B1": 10.0, "B2": 1.0, "B3": 10.0}
    assert set(trunk_of(branches, copper)) == {"a", "b", "d"}


def test_with_more_branches_at_a_place_than_angles_it_is_laid_as_a_fan() -> None:
    branches = rows(*(("hub", f"end {n}", 200.0 + n) for n in range(20)))
    layout = laid(branches)
    assert layout.fan
    assert faults(layout) == []
