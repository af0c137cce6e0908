"""Circles in a circle: closed forms, best known packings, bounds, and laws that always hold."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.packing import bound_diameter, pack
from reference.packings import (
    CONSECUTIVE,
    EQUAL,
    EQUAL_LARGE,
    FIVE_CENTRES,
    consecutive,
    deepest_overlap,
    one_start,
)

SIZES = st.floats(0.5, 10.0)
FEW = st.lists(SIZES, min_size=1, max_size=3)
SOME = st.lists(SIZES, min_size=4, max_size=6)
QUICK = 0.1
SLOW = settings(max_examples=6, deadline=None)

# closed forms of equal circles, quoted with the published table; n: outer over inner radius
CLOSED = {
    4: 1 + math.sqrt(2),
    5: 1 + math.sqrt(2 * (1 + 1 / math.sqrt(5))),
    7: 3,
    8: 1 + 1 / math.sin(math.pi / 7),
    9: 1 + math.sqrt(2 * (2 + math.sqrt(2))),
    11: 1 + 1 / math.sin(math.pi / 9),
    13: 2 + math.sqrt(5),
    19: 1 + math.sqrt(2) + math.sqrt(6),
}


def feasible(packing) -> bool:
    return (
        deepest_overlap(packing.diameters, packing.centres, packing.diameter)
        <= 1e-9 * packing.diameter
    )


@pytest.mark.parametrize("count", [1, 2, 3])
def test_equal_circles_with_a_closed_form(count):
    packing = pack([2.0] * count)
    assert packing.diameter == pytest.approx(2 * EQUAL[count], rel=1e-10)
    assert packing.gap == pytest.approx(0, abs=1e-12)
    assert feasible(packing)


@pytest.mark.parametrize("count", CLOSED)
def test_equal_circles_reach_their_closed_form(count):
    packing = pack([2.0] * count, effort=QUICK)
    assert packing.diameter / 2 == pytest.approx(CLOSED[count], rel=1e-7)
    assert feasible(packing)


@pytest.mark.parametrize("count", [6, 10, 12, 17, 22, 26, 31, 37])
def test_equal_circles_are_within_one_percent_of_the_best_known(count):
    packing = pack([2.0] * count, effort=QUICK)
    # below the best known there would be an overlap
    assert -1e-8 < packing.diameter / 2 / EQUAL[count] - 1 < 0.01
    assert feasible(packing)


@pytest.mark.parametrize("count", EQUAL_LARGE)
def test_large_bundles_find_the_curved_hexagonal_packing(count):
    packing = pack([2.0] * count, effort=QUICK)
    assert packing.diameter / 2 == pytest.approx(EQUAL_LARGE[count], rel=0.01)


@pytest.mark.parametrize("count", CONSECUTIVE)
def test_unlike_circles_are_within_one_percent_of_the_best_known(count):
    packing = pack(consecutive(count))
    assert -1e-7 < packing.diameter / 2 / CONSECUTIVE[count] - 1 < 0.01
    assert feasible(packing)


def test_the_judge_of_overlaps_accepts_the_published_centres():
    # places as published, to six decimals
    assert abs(deepest_overlap(consecutive(5), FIVE_CENTRES, 2 * 9.001397746050)) < 2e-6


def test_a_packer_that_shares_nothing_finds_nothing_tighter():
    sizes = [3.4, 2.5, 2.5, 1.9, 1.9, 1.6, 1.6]
    draw = np.random.default_rng(7)
    theirs = min(one_start(sizes, draw) for _ in range(15))
    assert pack(sizes).diameter <= theirs * (1 + 1e-6)


@given(FEW)
def test_three_circles_or_fewer_are_exact(sizes):
    packing = pack(sizes)
    assert feasible(packing)
    assert packing.diameter == pytest.approx(packing.bound, rel=1e-9)


@given(st.tuples(SIZES, SIZES, SIZES))
def test_three_circles_that_touch_obey_descartes(sizes):
    """(Σk)² = 2 Σk² for the curvatures, the outer one's below 0."""
    packing = pack(sizes)
    curvatures = [2 / size for size in sizes]
    largest = sum(sorted(sizes)[1:])
    if packing.diameter > largest * (1 + 1e-6):
        every = [*curvatures, -2 / packing.diameter]
        assert sum(every) ** 2 == pytest.approx(2 * sum(k * k for k in every), rel=1e-6)
    else:
        assert packing.diameter == pytest.approx(largest, rel=1e-6)


@SLOW
@given(SOME)
def test_nothing_overlaps_and_no_bound_is_broken(sizes):
    packing = pack(sizes, effort=QUICK)
    assert feasible(packing)
    assert packing.diameter >= packing.bound * (1 - 1e-9)
    assert packing.diameters == tuple(sizes)


@SLOW
@given(SOME, st.floats(1e-3, 1e3))
def test_another_unit_changes_nothing_but_the_unit(sizes, factor):
    one = pack(sizes, effort=QUICK)
    other = pack([factor * size for size in sizes], effort=QUICK)
    assert other.diameter == pytest.approx(factor * one.diameter, rel=1e-6)


@SLOW
@given(SOME, st.randoms(use_true_random=False))
def test_the_order_changes_nothing(sizes, shuffler):
    mixed = list(sizes)
    shuffler.shuffle(mixed)
    one, other = pack(sizes, effort=QUICK), pack(mixed, effort=QUICK)
    assert other.diameter == pytest.approx(one.diameter, rel=1e-12)
    assert other.diameters == tuple(mixed)


def test_the_same_seed_gives_the_same_packing():
    sizes = [2.0, 1.6, 2.5, 1.9, 3.0, 1.6]
    assert pack(sizes, seed=3, effort=QUICK) == pack(sizes, seed=3, effort=QUICK)


@given(st.lists(SIZES, min_size=1, max_size=40), SIZES)
def test_one_circle_more_never_lowers_the_bound(sizes, more):
    assert bound_diameter([*sizes, more]) >= bound_diameter(sizes) * (1 - 1e-12)


@pytest.mark.parametrize("count", EQUAL)
def test_the_bound_is_below_every_best_known(count):
    bound = bound_diameter([2.0] * count) / 2
    assert bound <= EQUAL[count] * (1 + 1e-9)
    # and says more than the area alone
    assert bound >= math.sqrt(count) * (1 - 1e-12)


def test_thin_wires_beside_two_thick_ones_cost_nothing():
    packing = pack([10.0, 10.0, *[1.0] * 10], effort=QUICK)
    assert packing.diameter == pytest.approx(20.0, rel=1e-9)


def test_very_unlike_circles_are_packed_all_the_same():
    packing = pack([20.0, *[0.5] * 30], effort=QUICK)
    assert feasible(packing)
    # twenty and one thin one beside it at the least, a thin one on each side at the most
    assert 20.5 * (1 - 1e-9) <= packing.diameter <= 21.0 * (1 + 1e-6)


@pytest.mark.parametrize(
    "sizes", [[], [0.0], [1.0, -2.0], [math.nan], [math.inf, 1.0], [1.0] * 301]
)
def test_the_impossible_is_refused(sizes):
    with pytest.raises(OutOfRange):
        pack(sizes)
