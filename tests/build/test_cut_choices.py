"""Choices of lengths in a drawer: against all of them, few or many."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.build import cut_choices
from loomwright.build.cut_choices import choices, every_choice

DRAWER = st.lists(st.integers(2, 30), max_size=6)


def every(drawer: list[int], need: int, most: int) -> list[int]:
    """Lengths of every choice that will do; a length of n holds n - 1 here."""
    return sorted(
        sum(some)
        for count in range(len(drawer) + 1)
        for some in itertools.combinations(sorted(drawer), count)
        if sum(some) <= most and sum(some) - count >= need
    )


@given(DRAWER, st.integers(0, 60), st.integers(0, 90))
def test_every_choice_that_will_do_comes_the_shortest_first(
    drawer: list[int], need: int, most: int
) -> None:
    held = {each: each - 1 for each in drawer}
    found = [total for total, _ in choices(drawer, held, need_mm=need, most_mm=most)]
    assert found == sorted(found)
    assert set(found) == set(every(drawer, need, most))


@settings(deadline=None)
@given(DRAWER, st.integers(0, 60))
def test_of_many_the_shortest_that_will_do_comes_first(drawer: list[int], need: int) -> None:
    held = {each: each - 1 for each in drawer}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cut_choices, "_MOST", -1)
        assert not every_choice(drawer)
        found = [total for total, _ in choices(drawer, held, need_mm=need, most_mm=999)]
    assert found[:1] == every(drawer, need, 999)[:1]
