"""Whole numbers: against trying every choice of rows."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.build.splice_choice import whole_numbers

COSTS = st.lists(st.lists(st.integers(0, 9), min_size=1, max_size=4), min_size=1, max_size=3)


@settings(deadline=None, max_examples=40)
@given(COSTS, st.lists(st.sets(st.integers(0, 11), min_size=2, max_size=4), max_size=3))
def test_the_choice_costs_no_more_than_the_best_of_all(
    costs: list[list[int]], drawn: list[set[int]]
) -> None:
    rows = [(number, spot) for number, own in enumerate(costs) for spot in range(len(own))]
    each = [float(costs[number][spot]) for number, spot in rows]
    crowds = [sorted(i for i in crowd if i < len(rows)) for crowd in drawn]
    own = [[i for i, (number, _) in enumerate(rows) if number == n] for n in range(len(costs))]
    allowed = [sum(each[i] for i in choice) for choice in product(*own)
               if all(len(set(choice) & set(crowd)) <= 1 for crowd in crowds)]  # fmt: skip
    found = whole_numbers(rows, each, crowds)
    if found is None:
        assert allowed == []
    else:
        assert [number for number, _ in found] == list(range(len(costs)))
        total = sum(each[rows.index(row)] for row in found)
        assert total == pytest.approx(min(allowed))
