"""Changes in words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from loomwright.services.change_words import (
    PICTURE,
    Change,
    Kind,
    did,
    did_at_once,
    differences,
    gathered,
    matching,
    said,
    said_of_all,
)
from loomwright.services.kept_rows import Cells

CALLED = {"readings": "reading", "wires": "wire", "survey": "grade"}
START = datetime(2026, 5, 14, 10, 20, tzinfo=UTC)


def change(
    kind: Kind, table: str, before: Cells, after: Cells, *,
    by: str = "Sam", back: bool = False, after_s: float = 0.0,
) -> Change:  # fmt: skip
    return Change(
        number=1, table=table, key="1", kind=kind, at=START + timedelta(seconds=after_s), by=by,
        before=before, after=after, back=back,
    )  # fmt: skip


VALUE = change(
    "changed", "readings", {"reading": "R12", "value": "1.2"}, {"reading": "R12", "value": "1.3"}
)


def test_a_changed_field_is_told_with_both_values() -> None:
    assert said(VALUE, CALLED) == "Sam changed reading R12: value 1.2 → 1.3"


def test_a_field_that_was_or_becomes_blank_says_so() -> None:
    noted = change("changed", "wires", {"wire": "W1"}, {"wire": "W1", "note": "new"}, by="")
    assert said(noted, CALLED) == "Somebody changed wire W1: note blank → new"


@pytest.mark.parametrize(
    ("kind", "back", "words"),
    [
        ("added", False, "added wire W7"),
        ("added", True, "put back wire W7"),
        ("taken away", False, "took away wire W7"),
        ("taken away", True, "took away again wire W7"),
    ],
)
def test_what_came_and_went(kind: Kind, back: bool, words: str) -> None:
    cells = {"wire": "W7", "from": "CU.1"}
    before, after = ({}, cells) if kind == "added" else (cells, {})
    assert did(change(kind, "wires", before, after, back=back), CALLED) == words


def test_a_row_without_a_name_is_told_by_what_tells_it_apart() -> None:
    graded = change("added", "survey", {}, {"grade": "3", "aspect": "boot", "item": "TE"})
    assert did(graded, CALLED) == "added grade TE boot"
    assert [each.column for each in differences(graded)] == ["grade"]


def test_the_job_itself_and_a_photos_file() -> None:
    about = change("changed", "job", {"title": "a"}, {"title": "b"})
    assert said(about, CALLED) == "Sam changed the job: title a → b"
    photo = change("added", PICTURE, {}, {"name": "t1.jpg", "digest": "0f"})
    assert said(photo, CALLED) == "Sam added the file of photo t1.jpg"


def test_differences_stand_in_the_order_of_the_table_own_columns_last() -> None:
    cells = {"mine": "x", "length_mm": "9", "colour": "BN", "wire": "W1"}
    found = differences(change("changed", "wires", {"wire": "W1"}, cells))
    assert [each.column for each in found] == ["colour", "length_mm", "mine"]


def test_every_word_must_stand_somewhere_capitals_aside() -> None:
    assert matching(VALUE, "sam R12 1.3", CALLED)
    assert matching(VALUE, "READING", CALLED)
    assert not matching(VALUE, "R12 W7", CALLED)


def came(number: int, *, by: str = "Sam", after_s: float = 0.0) -> Change:
    return change("added", "wires", {}, {"wire": f"W{number}"}, by=by, after_s=after_s)


def test_rows_that_came_in_one_go_go_together() -> None:
    groups = gathered([VALUE, *(came(each, after_s=each / 100) for each in range(6)), VALUE])
    assert [len(group) for group in groups] == [1, 6, 1]
    assert did_at_once(groups[1]) == "added 6 rows to wires"
    assert said_of_all(groups[1], CALLED) == "Sam added 6 rows to wires"
    assert said_of_all(groups[0], CALLED) == said(VALUE, CALLED)


def test_a_few_rows_and_rows_of_several_people_or_moments_stand_alone() -> None:
    assert [len(group) for group in gathered([came(1), came(2)])] == [1, 1]
    slow = [came(each, after_s=each * 60) for each in range(6)]
    assert all(len(group) == 1 for group in gathered(slow))
    mixed = [came(each, by="Sam" if each % 2 else "Kim") for each in range(8)]
    assert all(len(group) == 1 for group in gathered(mixed))
