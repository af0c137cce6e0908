"""The history of a job, and the way back through it."""

from __future__ import annotations

import pytest

from loomwright.loom import InputProblems, Job, NotFound
from loomwright.loom.errors import Conflict
from loomwright.services.change_words import PICTURE, Change
from loomwright.services.entering import enter, take_away
from loomwright.services.kept_rows import KeptRow
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.changes import change, changes, undo
from loomwright.workshop.models import KeptRow as Row

pytestmark = pytest.mark.django_db


def row(job: str, table: str, column: str, name: str) -> KeptRow:
    return next(r for r in BENCH.rows.rows(job, table) if r.cells.get(column) == name)


def reading(job: str) -> KeptRow:
    return row(job, "readings", "reading", "R02")


def last(job: str) -> Change:
    return changes(job)[0]


def enter_value(job: str, value: str, **more: str) -> Change:
    enter(BENCH, job, "readings", {"value": value, **more}, key=reading(job).key)
    return last(job)


def test_a_change_holds_both_rows_and_only_what_differs(demo: str) -> None:
    was = reading(demo).cells["value"]
    found = enter_value(demo, "0.7")
    assert (found.kind, found.columns) == ("changed", ("value",))
    assert (found.before["value"], found.after["value"]) == (was, "0.7")
    assert change(demo, "readings", found.number) == found


def test_writing_the_same_again_is_no_change(demo: str) -> None:
    before = len(changes(demo))
    enter(BENCH, demo, "readings", reading(demo).cells, key=reading(demo).key)
    assert len(changes(demo)) == before


def test_everything_brought_in_is_there_newest_first(demo: str, demo_job: Job) -> None:
    found = changes(demo)
    assert {each.kind for each in found} == {"added"}
    assert [each.cells["wire"] for each in reversed(found) if each.table == "wires"] == [
        each.wire for each in demo_job.wires
    ]
    times = [each.at for each in found]
    assert times == sorted(times, reverse=True)


def test_another_jobs_history_is_not_in_it(demo: str, demo_job: Job) -> None:
    before = changes(demo)
    BENCH.jobs.write("other", demo_job)
    assert changes(demo) == before
    with pytest.raises(NotFound):
        change(demo, "readings", changes("other")[0].number)


def test_undoing_a_change_brings_the_value_back_and_later_fields_stay(demo: str) -> None:
    was = reading(demo).cells["value"]
    first = enter_value(demo, "0.7")
    enter_value(demo, "0.7", note="looked again")
    undo(demo, first)
    assert (reading(demo).cells["value"], reading(demo).cells["note"]) == (was, "looked again")
    assert last(demo).back


def test_undoing_an_undo_brings_the_change_back(demo: str) -> None:
    was = reading(demo).cells["value"]
    undo(demo, enter_value(demo, "0.7"))
    undo(demo, last(demo))
    assert reading(demo).cells["value"] == "0.7"
    undo(demo, last(demo))
    assert reading(demo).cells["value"] == was


def test_a_later_change_of_the_field_is_a_conflict_with_both_values(demo: str) -> None:
    was = reading(demo).cells["value"]
    first = enter_value(demo, "0.7")
    enter_value(demo, "0.9")
    with pytest.raises(Conflict) as caught:
        undo(demo, first)
    found = caught.value.disputed[0]
    assert (found.column, found.before, found.theirs, found.yours) == ("value", "0.7", "0.9", was)
    assert reading(demo).cells["value"] == "0.9"


def test_the_choice_made_in_a_conflict_is_kept(demo: str) -> None:
    was = reading(demo).cells["value"]
    first = enter_value(demo, "0.7")
    enter_value(demo, "0.9")
    undo(demo, first, typed={"value": was}, seen={"value": "0.9"})
    assert reading(demo).cells["value"] == was


def test_a_row_taken_away_comes_back_to_its_place(demo: str, demo_job: Job) -> None:
    graded = row(demo, "survey", "item", "TE")
    take_away(BENCH, demo, "survey", graded.key)
    undo(demo, last(demo))
    assert BENCH.jobs.read(demo) == demo_job


def test_a_row_is_put_back_once(demo: str) -> None:
    take_away(BENCH, demo, "survey", row(demo, "survey", "item", "TE").key)
    gone = last(demo)
    undo(demo, gone)
    with pytest.raises(Conflict, match="there again already"):
        undo(demo, gone)


def test_a_row_put_back_twice_keeps_its_history(demo: str) -> None:
    changed = enter_value(demo, "0.7")
    was = changed.before["value"]
    for _ in range(2):
        take_away(BENCH, demo, "readings", reading(demo).key)
        undo(demo, last(demo))
    undo(demo, changed)
    assert reading(demo).cells["value"] == was


def test_undoing_the_putting_back_takes_the_row_away(demo: str) -> None:
    graded = row(demo, "survey", "item", "TE")
    take_away(BENCH, demo, "survey", graded.key)
    undo(demo, last(demo))
    undo(demo, last(demo))
    left = BENCH.rows.rows(demo, "survey")
    assert graded.cells not in [each.cells for each in left]
    undo(demo, last(demo))
    assert graded.cells in [each.cells for each in BENCH.rows.rows(demo, "survey")]


def test_a_row_added_goes_unless_it_was_changed_since(demo: str) -> None:
    cells = {"item": "TE", "aspect": "terminal", "grade": "2"}
    kept = enter(BENCH, demo, "survey", cells)
    added = last(demo)
    enter(BENCH, demo, "survey", {"grade": "3"}, key=kept.key)
    with pytest.raises(Conflict, match="undo that first"):
        undo(demo, added)
    undo(demo, last(demo))
    undo(demo, added)
    assert not Row.objects.filter(pk=kept.key).exists()
    with pytest.raises(Conflict, match="not there any more"):
        undo(demo, added)


def test_what_others_speak_of_cannot_be_undone_away(demo: str, demo_job: Job) -> None:
    added = next(each for each in changes(demo) if each.table == "plugs")
    with pytest.raises(InputProblems):
        undo(demo, added)
    assert BENCH.jobs.read(demo) == demo_job


def test_a_change_of_a_row_that_is_gone_is_a_conflict(demo: str) -> None:
    changed = enter_value(demo, "0.7")
    take_away(BENCH, demo, "readings", reading(demo).key)
    with pytest.raises(Conflict, match="took this row away"):
        undo(demo, changed)


def test_a_photo_that_came_goes_and_comes_back(demo: str) -> None:
    PHOTOS.write(demo, "new.jpg", b"one")
    undo(demo, last(demo))
    assert PHOTOS.names(demo) == ()
    undo(demo, last(demo))
    assert PHOTOS.read(demo, "new.jpg") == b"one"


def test_a_photo_that_was_replaced_comes_back(demo: str) -> None:
    PHOTOS.write(demo, "new.jpg", b"one")
    PHOTOS.write(demo, "new.jpg", b"two")
    assert (last(demo).table, last(demo).kind) == (PICTURE, "changed")
    undo(demo, last(demo))
    assert PHOTOS.read(demo, "new.jpg") == b"one"


def test_a_photo_whose_name_another_has_now_stays_away(demo: str) -> None:
    PHOTOS.write(demo, "new.jpg", b"one")
    PHOTOS.remove(demo, "new.jpg")
    gone = last(demo)
    PHOTOS.write(demo, "new.jpg", b"two")
    with pytest.raises(Conflict, match="Another photo has that name"):
        undo(demo, gone)
    assert PHOTOS.read(demo, "new.jpg") == b"two"
