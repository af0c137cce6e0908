"""Isolation: every pair is parted, no smaller plan parts them, and halving finds the pair."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, product
from math import ceil, log2

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.build.isolation import (
    Split,
    group_tests,
    halvings,
    hand_tests,
    joined_pair,
    parted,
    sides,
)


def parts_all(tests: Sequence[Split], count: int) -> bool:
    """Pair by pair, by membership alone."""
    return all(
        any((a in t.red and b in t.black) or (b in t.red and a in t.black) for t in tests)
        for a, b in combinations(range(count), 2)
    )


@given(st.integers(0, 70))
def test_both_plans_part_every_pair(count: int) -> None:
    for plan in (group_tests(count), hand_tests(count)):
        assert parts_all(plan, count)
        told = sides(plan, count)
        assert all(parted(told, a, b) for a, b in combinations(range(count), 2))


@pytest.mark.parametrize(("nets", "fixture", "hand"), [(24, 5, 23), (60, 6, 59), (1, 0, 0)])
def test_they_are_as_short_as_the_trade_has_it(nets: int, fixture: int, hand: int) -> None:
    """24 and 60 nets: 5 to 6 measurements with a fixture against 276 and 1770 pairs."""
    assert (len(group_tests(nets)), len(hand_tests(nets))) == (fixture, hand)


@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_no_smaller_plan_parts_every_pair(count: int) -> None:
    """Every way to put the nets on two sides, in all sets of one test fewer."""
    every = [
        Split(
            tuple(n for n in range(count) if row[n]), tuple(n for n in range(count) if not row[n])
        )
        for row in product((False, True), repeat=count)
    ]
    fewer = len(group_tests(count)) - 1
    assert not any(parts_all(some, count) for some in combinations(every, fewer))


@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_by_hand_no_smaller_plan_of_one_against_others_parts_every_pair(count: int) -> None:
    """One net against any others: a net that was never the one needs the rest to be it."""
    every = [Split((one,), tuple(n for n in range(count) if n != one)) for one in range(count)]
    fewer = len(hand_tests(count)) - 1
    assert not any(parts_all(some, count) for some in combinations(every, fewer))


@given(st.integers(1, 10_000))
def test_halvings_are_the_logarithm_rounded_up(count: int) -> None:
    assert halvings(count) == ceil(log2(count))


@pytest.mark.parametrize("count", [2, 3, 5, 8, 13])
def test_halving_finds_every_pair_within_its_bound(count: int) -> None:
    for plan in (group_tests(count), hand_tests(count)):
        for pair in combinations(range(count), 2):
            made = 0

            def joins(
                one: Sequence[int], other: Sequence[int], pair: tuple[int, int] = pair
            ) -> bool:
                nonlocal made
                made += 1
                a, b = pair
                return (a in one and b in other) or (b in one and a in other)

            failing = next(test for test in plan if joins(test.red, test.black))
            made = 0
            found = joined_pair(failing.red, failing.black, joins)
            assert set(found) == set(pair)
            assert made <= failing.more


@given(st.data())
def test_with_several_bridges_halving_still_finds_one_of_them(data: st.DataObject) -> None:
    red, black = list(range(data.draw(st.integers(1, 9)))), list(range(20, 30))
    pairs = data.draw(st.sets(st.tuples(st.sampled_from(red), st.sampled_from(black)), min_size=1))
    found = joined_pair(
        red, black, lambda some, others: any(a in some and b in others for a, b in pairs)
    )
    assert found in pairs
