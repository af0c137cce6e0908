"""Filling lengths: subset sums against trying them all, and what a quick way must hold to."""

from __future__ import annotations

import doctest
import itertools
from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from loomwright.build import cut_fill
from loomwright.build.cut_fill import fullest, fullest_mm, placed, reachable

PIECES = st.lists(st.integers(1, 30), min_size=1, max_size=8)


def sums(pieces: list[int]) -> set[int]:
    """Every length that some of the pieces have together, by trying them all."""
    return {
        sum(some)
        for count in range(len(pieces) + 1)
        for some in itertools.combinations(pieces, count)
    }


@given(PIECES, st.integers(1, 120))
def test_reachable_lengths_are_those_of_every_choice(pieces: list[int], most: int) -> None:
    found = reachable(pieces, most)
    assert {n for n in range(most + 1) if found >> n & 1} == {n for n in sums(pieces) if n <= most}


@given(PIECES, st.integers(1, 120))
def test_nothing_fills_a_length_further(pieces: list[int], length: int) -> None:
    best = max(each for each in sums(pieces) if each <= length)
    taken = fullest(pieces, length)
    assert sum(taken) == best == fullest_mm(reachable(pieces, length), length)
    assert Counter(taken) <= Counter(pieces)


@given(PIECES, st.lists(st.integers(10, 60), min_size=1, max_size=5))
def test_a_way_cuts_each_piece_once_and_no_length_too_far(
    pieces: list[int], lengths: list[int]
) -> None:
    for way in placed(pieces, lengths):
        assert Counter(itertools.chain(*way)) == Counter(pieces)
        assert len(way) == len(lengths)
        assert all(sum(cuts) <= length for cuts, length in zip(way, lengths, strict=True))


def test_what_cannot_come_out_gives_no_way() -> None:
    assert list(placed([6, 6], [10])) == []


def test_the_docstrings_tell_true() -> None:
    assert doctest.testmod(cut_fill).failed == 0
