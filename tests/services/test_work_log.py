"""The work as it goes: what may be begun, what was done, and what nothing asks for any more."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import TaskRow
from loomwright.loom.identity import TaskId
from loomwright.repair.order import Step, Task, work_order
from loomwright.services.job_cards import JobCard, Work
from loomwright.services.work_log import LoggedStep, WorkLog, logged
from loomwright.standards.cures import cure_kinds

CURES = sorted(name for name in cure_kinds() if name != "leave")


def card(item: str, steps: Sequence[Step]) -> JobCard:
    return JobCard(
        item=item, kind="plug", cures=(), place="", conditions=(), found=(), left=(), ends=(),
        faces=(), parts=(), problems=(), missing=(), crimps=(), ledgers=(), opening="",
        steps=tuple(step for step in steps if step.item == item),
    )  # fmt: skip


def work(*cures: tuple[str, str]) -> Work:
    """The cards of these cures, each an item and its kind of cure."""
    steps = work_order([Task(item=item, cure=cure) for item, cure in cures], {})
    items = dict.fromkeys(item for item, _ in cures)
    frame = [step for step in steps if not step.item]
    after = frame.index(next(step for step in frame if step.name == "polarity"))
    return Work(
        offer="everything", before=tuple(frame[:after]), after=tuple(frame[after:]),
        cards=tuple(card(item, steps) for item in items), paint={}, why_none="",
    )  # fmt: skip


def row(
    step: str,
    state: str,
    item: str | None = None,
    *,
    nth: int = 1,
    minutes: float | None = None,
    note: str | None = None,
) -> TaskRow:
    return TaskRow(
        task=TaskId(f"D-{item}-{nth}-{state}"), item=item, step=step, nth=nth, state=state,
        minutes=minutes, note=note,
    )  # fmt: skip


def step(log: WorkLog, item: str, name: str, nth: int = 1) -> LoggedStep:
    (found,) = (each for each in log.at(item) if (each.step.name, each.nth) == (name, nth))
    return found


BATTERY = row("battery off", "passed")
RECORDED = row("record", "done", "T1")


def test_all_steps_stand_in_the_order_of_the_cards() -> None:
    known = work(("T1", "boot_only"), ("T2", "clean_contact"))
    log = logged(known, ())
    cards = [each for one in known.cards for each in one.steps]
    assert [each.step for each in log.steps] == [*known.before, *cards, *known.after]
    assert {each.state for each in log.steps} == {""}
    assert log.done_share == (0, len(log.steps))
    assert log.next_step is log.steps[0]


def test_no_item_is_begun_before_the_battery_is_off() -> None:
    log = logged(work(("T1", "boot_only")), ())
    assert step(log, "", "battery off").may_begin
    record = step(log, "T1", "record")
    assert not record.may_begin
    assert record.why_not == 'hold point "battery off" is not passed yet'


def test_a_battery_that_is_only_done_is_not_passed() -> None:
    log = logged(work(("T1", "boot_only")), (row("battery off", "done"),))
    told = 'hold point "battery off" was done but not passed or failed: say which'
    assert step(log, "T1", "record").why_not == told


def test_nothing_is_cut_or_opened_before_it_is_recorded() -> None:
    log = logged(work(("T1", "boot_only"), ("T2", "boot_only")), (BATTERY, RECORDED))
    assert step(log, "T1", "unpin").may_begin
    waiting = step(log, "T2", "unpin")
    assert waiting.why_not.startswith('"record" at T2 comes before anything is cut or opened')
    assert step(log, "T2", "record").may_begin


@pytest.mark.parametrize("state", ["begun", "failed"])
def test_a_record_that_is_not_finished_is_no_record(state: str) -> None:
    log = logged(work(("T1", "boot_only")), (BATTERY, row("record", state, "T1")))
    assert not step(log, "T1", "unpin").may_begin
    assert step(log, "T1", "record").may_begin


def test_what_stands_before_its_record_waits_for_it_and_the_record_for_nothing_there() -> None:
    plain = {"words": "", "caution": ""}
    steps = [Step(item="T1", name="trial", hold=True, **plain),
             Step(item="T1", name="record", hold=False, **plain)]  # fmt: skip
    known = Work(offer="", before=(), after=(), cards=(card("T1", steps),), paint={}, why_none="")
    log = logged(known, ())
    assert [each.may_begin for each in log.steps] == [False, True]


def test_a_hold_point_is_passed_before_what_comes_after_it_at_its_item() -> None:
    known = work(("T1", "re_terminate"), ("T2", "re_terminate"))
    done = (BATTERY, RECORDED, row("record", "done", "T2"), row("trial", "passed", "T2"))
    log = logged(known, done)
    assert step(log, "T1", "cut").why_not == 'hold point "trial" at T1 is not passed yet'
    assert step(log, "T2", "cut").may_begin
    assert step(log, "T1", "crimp").why_not.endswith("; 2 more come first, too")


def test_a_failed_hold_point_is_told_before_all_else_and_may_be_tried_again() -> None:
    failed = row("cut", "failed", "T1", note="copper dark")
    log = logged(work(("T1", "re_terminate")), (BATTERY, RECORDED, failed))
    told = 'hold point "cut" at T1 has failed (copper dark): put it right and pass it'
    assert step(log, "T1", "crimp").why_not.startswith(told)
    again = logged(
        work(("T1", "re_terminate")), (BATTERY, RECORDED, row("trial", "passed", "T1"), failed)
    )
    assert step(again, "T1", "cut").may_begin


def test_power_comes_when_all_cards_are_done_and_polarity_is_passed() -> None:
    known = work(("T1", "clean_contact"))
    rows = (BATTERY, RECORDED, row("clean", "done", "T1"))
    early = step(logged(known, rows), "", "polarity")
    assert early.why_not == 'hold point "look" at T1 is not passed yet'
    late = logged(known, (*rows, row("look", "passed", "T1")))
    assert step(late, "", "polarity").may_begin
    assert step(late, "", "power").why_not == 'hold point "polarity" is not passed yet'


def test_a_battery_found_connected_again_stops_what_comes_after_the_cards_too() -> None:
    rows = (RECORDED, row("clean", "done", "T1"), row("look", "passed", "T1"))
    log = logged(work(("T1", "clean_contact")), (BATTERY, *rows, row("battery off", "failed")))
    assert step(log, "", "polarity").why_not.startswith('hold point "battery off" has failed')


def test_the_last_row_of_a_step_stands_and_all_minutes_count() -> None:
    rows = (
        BATTERY,
        row("record", "failed", "T1", minutes=10.0),
        row("record", "done", "T1", minutes=5.0),
        row("tag", "done", minutes=20.0),
        row("cut", "done", "GONE", minutes=2.5),
    )
    log = logged(work(("T1", "boot_only")), rows)
    record = step(log, "T1", "record")
    assert (record.state, record.task) == ("done", rows[2])
    assert log.minutes == 37.5
    assert log.minutes_at == {"T1": 15.0, "": 20.0, "GONE": 2.5}
    assert log.stray == (rows[4],)


def test_steps_of_one_name_are_told_apart_by_their_number() -> None:
    known = work(("T1", "clean_contact"), ("T1", "boot_only"))
    log = logged(known, (BATTERY, row("record", "done", "T1", nth=2), row("clean", "done", "T1")))
    assert [each.nth for each in log.at("T1") if each.step.name == "record"] == [1, 2]
    assert step(log, "T1", "record").state == ""
    assert step(log, "T1", "record", 2).finished
    third = logged(known, (row("record", "done", "T1", nth=3),))
    assert [each.nth for each in third.stray] == [3]


def test_a_second_cure_is_not_opened_before_its_own_record() -> None:
    known = work(("T1", "clean_contact"), ("T1", "boot_only"))
    log = logged(known, (BATTERY, RECORDED, row("look", "passed", "T1")))
    assert step(log, "T1", "clean").may_begin
    assert not step(log, "T1", "unpin").may_begin


def test_capitals_and_spaces_in_a_step_do_not_matter() -> None:
    log = logged(work(("T1", "boot_only")), (row(" Battery  OFF ", "passed"),))
    assert step(log, "", "battery off").finished
    assert log.stray == ()


def test_without_work_every_row_is_stray() -> None:
    nothing = Work(offer="", before=(), after=(), cards=(), paint={}, why_none="nothing to do")
    log = logged(nothing, (BATTERY,))
    assert (log.steps, log.next_step, log.done_share) == ((), None, (0, 0))
    assert log.stray == (BATTERY,)


@given(
    st.lists(
        st.tuples(st.sampled_from(["T1", "T2", "B1"]), st.sampled_from(CURES)),
        min_size=1, max_size=4, unique=True,
    )
)  # fmt: skip
def test_going_on_at_the_next_step_ends_with_all_done(cures: list[tuple[str, str]]) -> None:
    known = work(*cures)
    rows: list[TaskRow] = []
    log = logged(known, ())
    for count in range(len(log.steps)):
        assert log.done_share == (count, len(log.steps))
        here = log.next_step
        assert here is not None
        state = "passed" if here.step.hold else "done"
        rows.append(row(here.step.name, state, here.step.item or None, nth=here.nth))
        log = logged(known, tuple(rows))
    assert log.next_step is None
    assert log.stray == ()
    assert all(each.may_begin and each.finished for each in log.steps)
