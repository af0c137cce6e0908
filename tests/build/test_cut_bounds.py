"""Bounds: never above what a way takes, and as high as the books tell."""

from __future__ import annotations

import doctest
import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.build import cut_bounds
from loomwright.build.cut_bounds import by_length, by_shares, by_sizes
from sample.cut_instances import TEXTBOOK, UNIFORM, UNIFORM_LENGTH


def fewest(pieces: list[int], reel: int, drawer: list[int]) -> int:
    """Fewest reels beside a drawer, by trying every place for every piece."""
    best = len(pieces)

    def put(place: int, room: list[int], new: list[int]) -> None:
        nonlocal best
        if len(new) >= best:
            return
        if place == len(pieces):
            best = len(new)
            return
        for rooms in (room, new):
            for at, left in enumerate(rooms):
                if left >= pieces[place]:
                    rooms[at] -= pieces[place]
                    put(place + 1, room, new)
                    rooms[at] += pieces[place]
        put(place + 1, room, [*new, reel - pieces[place]])

    put(0, list(drawer), [])
    return best


CASES = st.lists(st.integers(1, 20), min_size=1, max_size=6)


@settings(max_examples=60, deadline=None)
@given(CASES, st.integers(20, 40), st.lists(st.integers(3, 40), max_size=2))
def test_no_bound_is_above_what_a_way_takes(
    pieces: list[int], reel: int, drawer: list[int]
) -> None:
    truth = fewest(pieces, reel, drawer)
    assert by_length(pieces, reel, drawer) <= truth
    assert by_shares(pieces, reel, drawer, seconds=5.0).least <= truth
    if not drawer:
        assert by_sizes(pieces, reel) <= truth


@settings(max_examples=60, deadline=None)
@given(CASES, st.integers(20, 40))
def test_shares_are_no_weaker_than_plain_length(pieces: list[int], reel: int) -> None:
    """The linear program holds every way to its reel, so it cannot be below the sum of lengths."""
    assert by_shares(pieces, reel, seconds=5.0).least >= -(-sum(pieces) // reel)


@pytest.mark.parametrize(
    ("name", "shares"),
    # Rounded up from the published bounds of the linear program: 72.9167, 20.0, 6.9722, 2.2.
    [("paper mill", 73), ("5950", 20), ("6000", 7), ("10", 3)],
)
def test_the_linear_program_gives_the_published_bound(name: str, shares: int) -> None:
    reel, counts, _ = TEXTBOOK[name]
    pieces = [length for length, count in counts.items() for _ in range(count)]
    assert by_shares(pieces, reel, seconds=20.0).least == shares


@pytest.mark.parametrize("name", UNIFORM)
def test_the_linear_program_is_sharp_on_the_uniform_set(name: str) -> None:
    bins, sizes = UNIFORM[name]
    assert by_shares(sizes, UNIFORM_LENGTH, seconds=20.0).least <= bins


def test_three_thirds_and_a_bit_share_no_reel() -> None:
    """Four pieces of 6 from 10: by sizes 4; 24/10 alone would say 3."""
    assert by_sizes([6, 6, 6, 6], 10) == 4


def test_ways_of_the_program_can_be_cut() -> None:
    pieces = list(itertools.chain([7] * 4, [5] * 6, [3] * 5))
    found = by_shares(pieces, 16, [11], seconds=5.0)
    for length, ways in found.ways.items():
        assert length in (16, 11)
        assert all(sum(size * count for size, count in way) <= length for way in ways)


def test_without_time_the_bound_still_holds() -> None:
    bins, sizes = UNIFORM["u120_00"]
    assert 0 <= by_shares(sizes, UNIFORM_LENGTH, seconds=0.0).least <= bins


def test_the_docstrings_tell_true() -> None:
    assert doctest.testmod(cut_bounds).failed == 0
