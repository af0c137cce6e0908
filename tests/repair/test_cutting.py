"""Cutting reels: published instances with their proven optima, and small cases tried out whole."""

from __future__ import annotations

import doctest
import itertools
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.repair import cutting
from loomwright.repair.cutting import alike, fewest_reels, patterns

ROLLS = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12,
    2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip


@pytest.mark.parametrize(
    ("length", "pieces", "reels"),
    [
        # The paper-mill example that many public texts on cutting stock share: 73 rolls of 5600.
        (5600, ROLLS, 73),
        # Teaching instances; optimum by hand: 15 x [2,0,2] and 5 x [0,4,0].
        (5950, {1520: 30, 1250: 20, 1420: 30}, 20),
        (6000, {1500: 9, 1250: 8, 1080: 7, 1000: 6, 950: 5}, 7),
        (10, {6: 1, 5: 1, 4: 1, 3: 1, 2: 2}, 3),
    ],
)
def test_published_instances_are_solved_to_their_optimum(
    length: int, pieces: dict[int, int], reels: int
) -> None:
    found = fewest_reels(pieces, length)
    assert len(found.cuts) == reels
    assert Counter(itertools.chain(*found.cuts)) == pieces
    assert all(sum(cut) <= length for cut in found.cuts)
    used = sum(size * count for size, count in pieces.items())
    assert found.waste_mm == reels * length - used


def test_the_paper_mill_wastes_four_tenths_of_a_percent() -> None:
    """0.401 % of 73 rolls, as the public copies of the example tell."""
    assert fewest_reels(ROLLS, 5600).waste_mm / (73 * 5600) == pytest.approx(0.00401, abs=5e-6)


def tried(pieces: list[int], length: int) -> int:
    """Fewest reels by putting the pieces, in every order, into the first reel with room."""
    best = len(pieces)
    for order in set(itertools.permutations(pieces)):
        reels: list[int] = []
        for piece in order:
            place = next((n for n, used in enumerate(reels) if used + piece <= length), None)
            if place is None:
                reels.append(piece)
            else:
                reels[place] += piece
        best = min(best, len(reels))
    return best


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(1, 20), min_size=1, max_size=6), st.integers(20, 40))
def test_no_way_of_cutting_takes_fewer_reels(pieces: list[int], length: int) -> None:
    assert len(fewest_reels(Counter(pieces), length).cuts) == tried(pieces, length)


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(st.integers(1, 12), st.integers(1, 3), min_size=1, max_size=4),
    st.integers(1, 30),
)
def test_patterns_are_all_maximal_ones(pieces: dict[int, int], length: int) -> None:
    sizes = sorted(pieces, reverse=True)
    every = [
        dict(zip(sizes, counts, strict=True))
        for counts in itertools.product(*(range(pieces[size] + 1) for size in sizes))
    ]
    fitting = [way for way in every if sum(size * n for size, n in way.items()) <= length]
    maximal = {
        tuple((size, n) for size, n in way.items() if n)
        for way in fitting
        if all(
            n == pieces[size] or sum(s * k for s, k in way.items()) + size > length
            for size, n in way.items()
        )
    }
    assert set(patterns(pieces, length)) == maximal - {()}


def test_nothing_wanted_takes_no_reel() -> None:
    assert fewest_reels({500: 0}, 1000).cuts == ()


def test_a_piece_longer_than_the_reel_is_named() -> None:
    with pytest.raises(OutOfRange, match="a piece of 1200 mm cannot be cut from 1000 mm"):
        fewest_reels({1200: 1}, 1000)


def test_no_length_at_all_is_refused() -> None:
    with pytest.raises(OutOfRange, match="0 mm is not possible"):
        patterns({0: 1}, 1000)


def test_too_many_ways_are_not_tried() -> None:
    with pytest.raises(OutOfRange, match="30 different lengths"):
        patterns(dict.fromkeys(range(100, 130), 9), 5000)


def test_many_lengths_are_made_alike_until_there_are_few_ways() -> None:
    pieces = dict.fromkeys(range(1501, 1541), 3)
    rounded = alike(pieces, [5000], most=500)
    assert all(0 <= rounded[size] - size < 50 for size in pieces)
    assert len(set(rounded.values())) < len(pieces)


def test_few_lengths_stay_as_they_are() -> None:
    assert alike({1501: 2, 777: 1}, [5000]) == {1501: 1501, 777: 777}


def test_no_piece_is_made_too_long_for_the_longest_reel() -> None:
    pieces = dict.fromkeys([*range(101, 140), 1990], 1)
    rounded = alike(pieces, [139, 1995], most=100)
    assert rounded[1990] == 1990
    assert all(size <= rounded[size] <= 1995 for size in pieces)


def test_the_docstring_tells_true() -> None:
    assert doctest.testmod(cutting).failed == 0
