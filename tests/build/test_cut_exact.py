"""The solver's way: its cost against trying every choice, and what it may claim."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.build import cut_exact
from loomwright.build.cut_exact import Group, Length, cheapest


def least_cost(pieces: list[int], lengths: list[int]) -> int | None:
    """Least length opened, by trying every place for every piece."""
    best: list[int] = []

    def put(place: int, room: list[int]) -> None:
        if place == len(pieces):
            used = [length for length, left in zip(lengths, room, strict=True) if left < length]
            best.append(sum(used))
            return
        for at, left in enumerate(room):
            if left >= pieces[place]:
                room[at] -= pieces[place]
                put(place + 1, room)
                room[at] += pieces[place]

    put(0, list(lengths))
    return min(best, default=None)


def groups(lengths: list[int]) -> list[Group]:
    return [
        Group(length=Length(length_mm=length), count=count, cost=length)
        for length, count in Counter(lengths).items()
    ]


CASES = given(
    st.lists(st.integers(1, 20), min_size=1, max_size=5),
    st.lists(st.integers(5, 40), min_size=1, max_size=4),
)


@settings(max_examples=40, deadline=None)
@CASES
def test_no_choice_of_lengths_is_cheaper(pieces: list[int], lengths: list[int]) -> None:
    found = cheapest(Counter(pieces), groups(lengths), seconds=20.0)
    truth = least_cost(pieces, lengths)
    assert found.impossible == (truth is None)
    if truth is not None:
        assert found.cost == found.least == truth


@pytest.mark.parametrize("one_by_one", [False, True])
@settings(max_examples=25, deadline=None)
@CASES
def test_both_ways_of_writing_it_down_agree(
    one_by_one: bool, pieces: list[int], lengths: list[int]
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        if one_by_one:
            patch.setattr(cut_exact, "_MOST_WAYS", 0)
        found = cheapest(Counter(pieces), groups(lengths), seconds=20.0)
    truth = least_cost(pieces, lengths)
    assert found.impossible == (truth is None)
    if found.opened is not None:
        assert found.cost == truth
        assert Counter(cut for _, cuts in found.opened for cut in cuts) == Counter(pieces)
        assert all(sum(cuts) <= length.length_mm for length, cuts in found.opened)


def test_few_ways_prove_nothing() -> None:
    """Three pieces of 3 come out of 10; the one way that is given cuts a single one."""
    some = cheapest({3: 3}, groups([10]), seconds=5.0, ways={10: (((3, 1),),)})
    assert some.opened is None
    assert not some.impossible
    assert some.least == 0


def test_without_time_nothing_is_claimed() -> None:
    found = cheapest({3: 3}, groups([10]), seconds=0.0)
    assert (found.opened, found.impossible, found.least) == (None, False, 0)


def test_too_many_places_are_not_tried() -> None:
    wanted = dict.fromkeys(range(300, 400), 9)
    long = [Group(length=Length(length_mm=90_000, new=True), count=200)]
    assert cheapest(wanted, long, seconds=5.0) == cut_exact.Cheapest()
