"""A sort of steps: none is lost, and each comes after what it waits for."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from loomwright.build.step_order import Asked, sorted_steps


@given(st.dictionaries(st.integers(0, 9), st.sets(st.integers(0, 9), max_size=4)))
def test_a_sort_keeps_every_step_and_what_must_come_before(before: dict[int, set[int]]) -> None:
    """Steps wait for smaller ones only, so there is no ring."""
    asked = tuple(
        Asked(key=("do", str(n)), order=(-float(n),), what="", wires=(), why="",
              after=frozenset(("do", str(m)) for m in waits if m < n))
        for n, waits in before.items()
    )  # fmt: skip
    found = sorted_steps(asked)
    at = {each.item: each.number for each in found}
    assert set(at) == {str(n) for n in before}
    for n, waits in before.items():
        assert all(at[str(m)] < at[str(n)] for m in waits if m < n and m in before)


def test_a_ring_of_steps_loses_none() -> None:
    asked = tuple(
        Asked(key=("do", one), order=(0.0,), what="", wires=(), why="",
              after=frozenset({("do", other)}))
        for one, other in ("ab", "ba")
    )  # fmt: skip
    assert {each.item for each in sorted_steps(asked)} == {"a", "b"}
