"""Steps ticked off: what may be ticked, what is written down, and the last tick taken back."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import InputProblems, NotFound
from loomwright.loom.errors import Conflict, Refused
from loomwright.repair.order import Task, work_order
from loomwright.services.doing import Tick, last_tick, minutes_since, take_back, tick
from loomwright.services.entering import Bench
from loomwright.services.job_cards import JobCard, Work
from loomwright.services.kept_rows import KeptRow
from loomwright.storage.memory import JobMemory, MemoryRows
from loomwright.storage.memory.rows import Kept
from sample import jobs as sample

JOB, NOW = "a job", "2026-05-14 10:20"


@pytest.fixture
def bench() -> Bench:
    kept: Kept = {}
    made = Bench(JobMemory(kept), MemoryRows(kept))
    made.jobs.write(JOB, attrs.evolve(sample.job(), tasks=()))
    return made


@pytest.fixture
def work() -> Work:
    """A new boot at T1."""
    steps = work_order([Task(item="T1", cure="boot_only")], {})
    card = JobCard(
        item="T1", kind="plug", cures=(), place="", conditions=(), found=(), left=(), ends=(),
        faces=(), parts=(), problems=(), missing=(), crimps=(), ledgers=(), opening="",
        steps=tuple(step for step in steps if step.item),
    )  # fmt: skip
    frame = [step for step in steps if not step.item]
    return Work(offer="everything", before=tuple(frame[:3]), after=tuple(frame[3:]), cards=(card,),
                paint={}, why_none="")  # fmt: skip


def say(bench: Bench, work: Work, item: str, step: str, state: str, **more: str) -> str:
    """Tick a step; the minutes that were kept."""
    now = more.pop("now", NOW)
    said = Tick(item=item, step=step, nth=1, state=state, by="first bench", **more)
    return tick(bench, JOB, work, said, now=now).minutes


def rows(bench: Bench) -> list[dict[str, str]]:
    return [dict(row.cells) for row in bench.rows.rows(JOB, "tasks")]


def test_a_step_is_written_down_with_when_and_who(bench: Bench, work: Work) -> None:
    say(bench, work, "", "photograph", "done", note="bay and earths")
    assert rows(bench) == [{
        "task": "D1", "step": "photograph", "nth": "1", "state": "done", "done_at": NOW,
        "by": "first bench", "note": "bay and earths",
    }]  # fmt: skip


def test_minutes_are_counted_from_the_beginning_in_one_row(bench: Bench, work: Work) -> None:
    say(bench, work, "", "tag", "begun", now="2026-05-14 10:02")
    assert say(bench, work, "", "tag", "done") == "18"
    (row,) = rows(bench)
    assert (row["begun_at"], row["done_at"], row["minutes"]) == ("2026-05-14 10:02", NOW, "18")


def test_typed_minutes_come_before_counted_ones(bench: Bench, work: Work) -> None:
    say(bench, work, "", "tag", "begun", now="2026-05-14 08:00")
    assert say(bench, work, "", "tag", "done", minutes="7") == "7"


@pytest.mark.parametrize(
    ("begun", "minutes"),
    [(NOW, "1"), ("2026-05-14 02:20", "480"), ("2026-05-13 10:20", ""), ("2026-05-14 11:00", ""),
     ("yesterday", "")],
)  # fmt: skip
def test_a_timer_that_cannot_be_right_gives_no_minutes(begun: str, minutes: str) -> None:
    assert minutes_since(begun, NOW) == minutes


def test_what_has_to_come_first_is_told_and_nothing_is_written(bench: Bench, work: Work) -> None:
    for step in ("record", "unpin", "pin"):
        with pytest.raises(Refused, match="battery off"):
            say(bench, work, "T1", step, "done" if step != "pin" else "passed")
    assert rows(bench) == []


def test_nothing_goes_on_past_a_hold_point_that_failed(bench: Bench, work: Work) -> None:
    say(bench, work, "", "battery off", "passed")
    say(bench, work, "", "battery off", "failed", note="strap still on")
    with pytest.raises(Refused, match="strap still on"):
        say(bench, work, "T1", "record", "done")
    say(bench, work, "", "battery off", "passed")
    say(bench, work, "T1", "record", "done")
    assert [row["state"] for row in rows(bench)] == ["passed", "failed", "passed", "done"]


@pytest.mark.parametrize(
    ("step", "state"),
    [("battery off", "done"), ("photograph", "passed"), ("photograph", "well"), ("tag", "")],
)
def test_a_state_that_does_not_fit_the_step_is_refused(
    bench: Bench, work: Work, step: str, state: str
) -> None:
    with pytest.raises(InputProblems) as caught:
        say(bench, work, "", step, state)
    assert "say begun" in caught.value.problems[0].expected
    assert rows(bench) == []


def test_wrong_minutes_are_told_and_nothing_is_written(bench: Bench, work: Work) -> None:
    with pytest.raises(InputProblems) as caught:
        say(bench, work, "", "tag", "done", minutes="long")
    assert caught.value.problems[0].where.column == "minutes"
    assert rows(bench) == []


def test_saying_the_same_twice_writes_it_once(bench: Bench, work: Work) -> None:
    say(bench, work, "", "tag", "done")
    again = Tick(item="", step="tag", nth=1, state="done")
    assert not tick(bench, JOB, work, again, now=NOW).fresh
    assert len(rows(bench)) == 1


@pytest.mark.parametrize(("item", "step", "nth"), [("T9", "record", 1), ("T1", "weld", 1),
                                                   ("T1", "record", 2)])  # fmt: skip
def test_a_step_that_the_offer_has_not_is_not_found(
    bench: Bench, work: Work, item: str, step: str, nth: int
) -> None:
    with pytest.raises(NotFound, match=step):
        tick(bench, JOB, work, Tick(item=item, step=step, nth=nth, state="done"), now=NOW)


def test_the_last_tick_comes_back_and_then_the_one_before(bench: Bench, work: Work) -> None:
    say(bench, work, "", "photograph", "done", now="2026-05-14 10:00")
    say(bench, work, "", "tag", "begun", now="2026-05-14 10:05")
    say(bench, work, "", "tag", "done", now="2026-05-14 10:15")
    take_back_last(bench)
    assert [(row["step"], row["state"], row.get("done_at")) for row in rows(bench)][1] == (
        "tag", "begun", None)  # fmt: skip
    take_back_last(bench)
    assert [row["step"] for row in rows(bench)] == ["photograph"]


def take_back_last(bench: Bench) -> None:
    last = last_tick(bench.rows.rows(JOB, "tasks"))
    assert last is not None
    take_back(bench, JOB, last.key)


def test_a_tick_that_is_not_the_last_any_more_stays(bench: Bench, work: Work) -> None:
    say(bench, work, "", "photograph", "done")
    first = bench.rows.rows(JOB, "tasks")[0].key
    say(bench, work, "", "tag", "done")
    with pytest.raises(Conflict):
        take_back(bench, JOB, first)
    assert len(rows(bench)) == 2


def test_counted_wire_is_no_tick() -> None:
    ticked = KeptRow("1", {"step": "cut", "done_at": "2026-05-14 10:00"})
    wire = KeptRow("2", {"step": "wire used 20 mm", "done_at": "2026-05-14 10:10"})
    assert last_tick([ticked, wire]) == ticked
    assert last_tick([wire]) is None
