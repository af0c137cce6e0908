"""Names of jobs in the workshop."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import InputProblems
from loomwright.services import job_names
from loomwright.services.job_names import (
    MOST_LETTERS,
    NOT_FREE,
    SHELF,
    checked_name,
    job_name,
    slug,
)


@given(st.text(max_size=200))
def test_a_slug_is_blank_or_a_name_that_may_be_given(text: str) -> None:
    found = slug(text)
    assert len(found) <= MOST_LETTERS
    if found and found not in NOT_FREE:
        assert checked_name(found, where="name") == found
        assert slug(found) == found


def test_accents_go_and_other_scripts_leave_nothing() -> None:
    assert slug("Übler Geruch, 2.3 l") == "ubler-geruch-2-3-l"
    assert slug("温度") == ""


@pytest.mark.parametrize("name", ["", "a/b", "../x", "a b", "x" * 81, "kühler", "a\n"])
def test_what_no_address_can_hold_is_refused_with_the_field(name: str) -> None:
    with pytest.raises(InputProblems) as caught:
        checked_name(name, where="--as")
    assert caught.value.problems[0].where.table == "--as"
    assert "engine-runs-rich" in caught.value.problems[0].expected


@pytest.mark.parametrize("name", [SHELF, "start", "bring"])
def test_names_with_a_use_of_their_own_are_refused(name: str) -> None:
    with pytest.raises(InputProblems) as caught:
        checked_name(name, where="name")
    assert "use of its own" in caught.value.problems[0].what


@pytest.mark.parametrize(
    ("title", "taken", "name"),
    [
        ("Engine runs rich", (), "engine-runs-rich"),
        ("Engine runs rich", ("engine-runs-rich", "engine-runs-rich-2"), "engine-runs-rich-3"),
        ("Start", (), "start-2"),
        ("Workshop shelf", (), "workshop-shelf-2"),
        ("ΩΩΩ", ("job",), "job-2"),
    ],
)
def test_a_name_is_made_of_the_title_and_is_not_taken(
    title: str, taken: tuple[str, ...], name: str
) -> None:
    assert job_name(title, taken) == name


@given(st.text(max_size=200), st.lists(st.text(max_size=5), max_size=3))
def test_any_title_gives_a_name_that_an_address_can_hold(title: str, others: list[str]) -> None:
    taken = {job_name(each, ()) for each in others} | {job_name(title, ())}
    name = job_name(title, taken)
    assert checked_name(name, where="name") == name
    assert name not in taken
    assert name not in NOT_FREE


def test_the_examples_hold() -> None:
    assert doctest.testmod(job_names).failed == 0
