"""Lines on a board: against sampling, and what follows from geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from loomwright.build.board_lines import (
    along,
    apart,
    bend_length,
    crosses,
    drawn,
    line_length,
    outline,
    rect_gap,
)

numbers = st.integers(-200, 200).map(float)
spots = st.tuples(numbers, numbers)
stretches = st.tuples(spots, spots).filter(lambda ends: ends[0] != ends[1])
moves = st.lists(
    st.tuples(st.integers(0, 500).map(float), st.sampled_from([0.0, 45.0, -45.0, 90.0, -90.0])),
    min_size=1, max_size=4,
)  # fmt: skip


def sampled(ends: tuple[tuple[float, float], tuple[float, float]], count: int = 201):  # type: ignore[no-untyped-def]
    share = np.linspace(0.0, 1.0, count)[:, None]
    return np.array(ends[0]) + share * (np.array(ends[1]) - np.array(ends[0])), share[:, 0]


@given(stretches, stretches, st.floats(0, 500), st.floats(0, 100), st.floats(0, 100))
def test_the_least_distance_far_along_the_loom_is_that_of_samples(one, other, least, s, t) -> None:  # type: ignore[no-untyped-def]
    found = apart(one, other, from_mm=(s, t), least=least)
    (p, u), (q, v) = sampled(one), sampled(other)
    way = s + u[:, None] * math.dist(*one) + t + v[None, :] * math.dist(*other)
    gaps = np.hypot(*(p[:, None, :] - q[None, :, :]).transpose(2, 0, 1))
    far = np.where(way >= least, gaps, np.inf).min()
    # Samples are at most 3 mm apart along each stretch.
    assert found <= far + 1e-9
    if math.isfinite(found):
        near = np.where(way >= least - 6.0, gaps, np.inf).min()
        assert near <= found + 6.0


@given(stretches, st.tuples(numbers, numbers, st.floats(1, 200), st.floats(1, 200)))
def test_the_gap_to_a_rectangle_is_that_of_samples(one, corner) -> None:  # type: ignore[no-untyped-def]
    left, top, wide, high = corner
    rect = (left, top, left + wide, top + high)
    points, _ = sampled(one)
    dx = np.maximum(np.maximum(left - points[:, 0], points[:, 0] - rect[2]), 0)
    dy = np.maximum(np.maximum(top - points[:, 1], points[:, 1] - rect[3]), 0)
    least = np.hypot(dx, dy).min()
    assert rect_gap(*one, rect) <= least + 1e-9
    assert rect_gap(*one, rect) >= least - 3.0


@given(stretches, stretches)
def test_crossing_is_mutual(one, other) -> None:  # type: ignore[no-untyped-def]
    assert crosses(*one, *other) == crosses(*other, *one)


@given(stretches, stretches, st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_stretches_through_one_point_cross(one, other, s, t) -> None:  # type: ignore[no-untyped-def]
    a, b = (np.array(end) for end in one)
    c, d = (np.array(end) for end in other)
    assume(abs(np.linalg.det(np.stack([b - a, d - c]))) > 1)
    shift = a + s * (b - a) - c - t * (d - c)
    assert crosses(tuple(a), tuple(b), tuple(c + shift), tuple(d + shift))


@given(spots, st.integers(0, 23), moves)
def test_pieces_and_bends_add_up(start, eighths, moves) -> None:  # type: ignore[no-untyped-def]
    points = drawn(start, 15.0 * eighths, moves, 60.0)
    wanted = sum(ahead + bend_length(turn, 60.0) for ahead, turn in moves)
    assert line_length(points) == pytest.approx(wanted, abs=1e-9)
    ends = outline(start, 15.0 * eighths, moves, 60.0)
    assert ends[-1] == pytest.approx(points[-1], abs=1e-9)


def test_a_bend_lies_on_its_arc() -> None:
    """A quarter of a circle of 60 mm about (0, 60): every corner is 60 mm from there."""
    points = drawn((0.0, 0.0), 0.0, ((0.0, 90.0),), 60.0)
    assert [math.dist(p, (0.0, 60.0)) for p in points] == pytest.approx([60.0] * 5)
    assert points[-1] == pytest.approx((60.0, 60.0))


def test_a_point_along_a_line() -> None:
    points = ((0.0, 0.0), (30.0, 0.0), (30.0, 40.0))
    assert along(points, 50.0) == ((30.0, 20.0), 90.0)
    assert along(points, 0.0)[0] == (0.0, 0.0)
    assert along(points, 70.0)[0] == pytest.approx((30.0, 40.0))
