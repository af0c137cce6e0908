"""What was really done: cures that are finished, hold points, who and when, and what is open."""

from __future__ import annotations

from functools import cache

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import TaskRow
from loomwright.loom.identity import TaskId
from loomwright.services.job_cards import Work
from loomwright.services.work_done import ItemDone, WorkDone, spent, work_done
from loomwright.services.work_log import logged
from loomwright.services.workup import WorkUp
from sample import jobs as sample

ITEM, SECOND = "T1", "tag"


@cache
def known() -> WorkUp:
    found = WorkUp(attrs.evolve(sample.job(), tasks=()), offer="everything")
    assert ITEM in [card.item for card in found.work.cards]
    return found


def work() -> Work:
    return known().work


def done(*rows: TaskRow) -> WorkDone:
    job = attrs.evolve(known().job, tasks=rows)
    return work_done(job, logged(work(), rows), work=work(), likely_minutes=60.0)


def row(
    step: str,
    state: str = "done",
    item: str | None = ITEM,
    *,
    nth: int = 1,
    at: str = "2026-05-15 09:10",
    by: str | None = "first bench",
    note: str | None = None,
    minutes: float | None = None,
) -> TaskRow:
    return TaskRow(
        task=TaskId(f"D-{item}-{step}-{nth}-{state}"), item=item, step=step, nth=nth, state=state,
        done_at=at, by=by, note=note, minutes=minutes,
    )  # fmt: skip


def all_of(item: str) -> list[TaskRow]:
    """A row for each step of an item, so that all are finished."""
    return [
        row(each.step.name, "passed" if each.step.hold else "done", item or None, nth=each.nth)
        for each in logged(work(), ()).at(item)
    ]


def at(found: WorkDone, item: str = ITEM) -> ItemDone:
    (one,) = (each for each in found.items if each.item == item)
    return one


def test_nothing_logged_is_nothing_told() -> None:
    assert done() == WorkDone()
    assert not done().begun


def test_a_cure_is_done_when_all_its_steps_are() -> None:
    rows = all_of(ITEM)
    card = next(card for card in work().cards if card.item == ITEM)
    assert at(done(*rows)).cures == tuple(kind.short for kind in card.cures)
    assert ITEM not in [each.item for each in done(*rows).open]
    lacking = done(*rows[:-1])
    assert len(at(lacking).cures) < len(card.cures)
    (open_,) = (each for each in lacking.open if each.item == ITEM)
    assert open_.words.endswith(f"{rows[-1].step} left to do")


def test_steps_of_cures_that_are_done_are_not_told_again() -> None:
    assert at(done(*all_of(ITEM))).steps == ()
    assert at(done(row("record"))).steps == ("record",)


def test_a_hold_point_tells_its_end_and_how_often_it_failed_before() -> None:
    first = row("battery off", "failed", None, note="clamp stuck")
    later = row("battery off", "passed", None, at="2026-05-15 09:30", note="clamp freed")
    (hold,) = at(done(first, later), "").holds
    assert hold.passed
    assert hold.told == "2026-05-15 09:30, first bench; clamp freed; failed once before"
    failed = done(later, first)
    assert not at(failed, "").holds[0].passed
    assert failed.failed == ("“battery off”",)


def test_a_hold_that_is_done_and_not_passed_stays_open() -> None:
    found = done(row("battery off", "done", None))
    assert at(found, "").holds == ()
    (whole,) = (each for each in found.open if not each.item)
    assert "battery off (done, but neither passed nor failed)" in whole.words


def test_who_when_how_long_and_how_much_wire_are_summed() -> None:
    found = done(
        row("record", minutes=10.0, note="both sides"),
        row(SECOND, by="second bench", at="2026-05-16 08:00", minutes=2.5),
        row("wire used 20 mm"),
        row("wire used 15 mm"),
    )
    item = at(found)
    assert (item.minutes, item.wire_mm, item.notes) == (12.5, 35.0, ("record: both sides",))
    assert item.days == ("2026-05-15", "2026-05-16")
    assert item.people == ("first bench", "second bench")
    assert found.also == ()
    assert spent(found) == "12 min of work are logged, about 60 min are likely for all of it"
    assert spent(done(row("record"))) == "no time was logged"


def test_what_nothing_was_logged_at_is_not_begun() -> None:
    found = done(*all_of(ITEM))
    others = [each for each in found.open if each.item]
    assert others
    assert all(each.words.endswith(": not begun") for each in others)


def test_what_is_no_step_of_the_offer_is_told_apart() -> None:
    found = done(row("polish", item="X9", note="by hand"), row("wire used 5 mm", item="X9"))
    assert found.items == ()
    assert found.begun
    assert found.also == (
        "“polish” at X9: done, 2026-05-15 09:10, first bench, by hand", "wire used 5 mm at X9",
    )  # fmt: skip


def test_capitals_and_spaces_make_no_other_step() -> None:
    found = done(row("RECORD ", note="seen"))
    assert at(found).steps == ("record",)


@pytest.mark.parametrize("when", ["", "last week", "2026-05-15"])
def test_a_day_is_told_as_it_was_written(when: str) -> None:
    assert at(done(row("record", at=when))).days == ((when,) if when else ())


@st.composite
def some_rows(draw: st.DrawFn) -> list[TaskRow]:
    rows = [one for card in work().cards for one in all_of(card.item)] + all_of("")
    kept = draw(st.lists(st.sampled_from(rows), unique_by=lambda each: each.task, max_size=12))
    states = st.sampled_from(("begun", "done", "passed", "failed"))
    return [attrs.evolve(each, state=draw(states)) for each in kept]


@given(some_rows())
def test_every_item_of_the_offer_is_finished_or_open(rows: list[TaskRow]) -> None:
    found = done(*rows)
    if not rows:
        assert found == WorkDone()
        return
    log = logged(work(), tuple(rows))
    open_ = {each.item for each in found.open}
    for item in {each.step.item for each in log.steps}:
        assert (item in open_) == (not all(each.finished for each in log.at(item)))
    assert {each.item for each in found.items} == {row.item or "" for row in rows}
    assert found.finished == log.done_share[0]
    failed = sum(each.state == "failed" for each in log.steps)
    assert len(found.failed) == failed
