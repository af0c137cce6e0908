"""What a change made wrong is told from what was wrong already."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import Problem, Where
from loomwright.services.newly_wrong import newly_wrong

PROBLEMS = st.lists(
    st.builds(
        Problem,
        st.builds(Where, st.just("wires"), st.integers(2, 5), st.sampled_from(["to", None])),
        st.sampled_from(["is blank", "is there twice"]),
        warning=st.booleans(),
    ),
    max_size=6,
)


def problem(row: int, what: str = "is blank") -> Problem:
    return Problem(Where("wires", row, "to"), what)


def test_a_problem_that_only_moved_to_another_row_is_not_new() -> None:
    assert newly_wrong([problem(3)], [problem(4)]) == []


def test_a_second_one_of_the_same_kind_is_new() -> None:
    assert newly_wrong([problem(3)], [problem(3), problem(7)]) == [problem(7)]


@given(PROBLEMS)
def test_from_nothing_all_is_new_and_from_the_same_nothing(found: list[Problem]) -> None:
    assert newly_wrong([], found) == found
    assert newly_wrong(found, found) == []


@given(PROBLEMS, PROBLEMS)
def test_what_was_there_hides_nothing_else(before: list[Problem], more: list[Problem]) -> None:
    assert newly_wrong(before, [*before, *more]) == more
