"""What hangs together, against a search from every thing along every pair."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from loomwright.build.hanging import Hanging

PAIRS = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), max_size=15)


def reached(start: int, pairs: list[tuple[int, int]]) -> set[int]:
    found, grown = {start}, True
    while grown:
        more = {b for a, b in pairs if a in found} | {a for a, b in pairs if b in found}
        grown = not more <= found
        found |= more
    return found


@given(PAIRS)
def test_groups_are_what_a_search_reaches(pairs: list[tuple[int, int]]) -> None:
    hanging: Hanging[int] = Hanging()
    apart = [hanging.join(one, other) for one, other in pairs]
    groups = hanging.groups()
    assert all(set(group) == reached(group[0], pairs) for group in groups)
    assert sum(map(len, groups)) == len({each for pair in pairs for each in pair})
    assert sum(apart) == sum(len(group) - 1 for group in groups)


@given(st.lists(st.integers(0, 9)))
def test_all_that_is_joined_at_once_is_one_group(things: list[int]) -> None:
    hanging: Hanging[int] = Hanging()
    hanging.join_all(things)
    assert hanging.groups() == ([list(dict.fromkeys(things))] if things else [])
