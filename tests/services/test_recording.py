"""The record before cutting: said once, taken back only while nothing rests on it."""

from __future__ import annotations

import pytest

from loomwright.loom import InputProblems
from loomwright.services.entering import Bench, enter
from loomwright.services.recording import Recorded, record, recorded, unrecord
from loomwright.storage.memory import JobMemory
from loomwright.storage.memory.rows import Kept, MemoryRows
from sample import jobs as sample

REF = "a job"


@pytest.fixture
def bench() -> Bench:
    kept: Kept = {}
    made = Bench(JobMemory(kept), MemoryRows(kept))
    made.jobs.write(REF, sample.job())
    for row in made.rows.rows(REF, "tasks"):
        made.rows.remove(REF, "tasks", row.key)
    return made


def found(bench: Bench, item: str = "T1") -> Recorded | None:
    return recorded(bench.jobs.read(REF).tasks, item)


def test_a_record_tells_who_made_it_and_when(bench: Bench) -> None:
    assert found(bench) is None
    record(bench, REF, "T1", by="Robin", at="2026-05-14 10:20")
    assert found(bench) == Recorded(by="Robin", at="2026-05-14 10:20", later=())
    assert found(bench, "T2") is None


def test_recording_twice_keeps_the_first(bench: Bench) -> None:
    record(bench, REF, "T1", by="Robin", at="2026-05-14 10:20")
    record(bench, REF, "T1", by="Kim", at="2026-05-15 08:00")
    assert len(bench.rows.rows(REF, "tasks")) == 1
    said = found(bench)
    assert said is not None
    assert said.by == "Robin"


def test_a_record_that_was_begun_is_finished_in_its_row(bench: Bench) -> None:
    enter(bench, REF, "tasks", {"item": "T1", "step": "Record", "state": "begun", "minutes": "5"})
    assert found(bench) is None
    record(bench, REF, "T1", by="Robin", at="2026-05-14 10:20")
    (row,) = bench.rows.rows(REF, "tasks")
    assert (row.cells["state"], row.cells["minutes"]) == ("done", "5")


def test_it_can_be_taken_back(bench: Bench) -> None:
    record(bench, REF, "T1", by="", at="2026-05-14 10:20")
    unrecord(bench, REF, "T1")
    assert found(bench) is None
    unrecord(bench, REF, "T1")  # nothing there: nothing happens


def test_it_stays_once_later_work_rests_on_it(bench: Bench) -> None:
    record(bench, REF, "T1", by="", at="2026-05-14 10:20")
    enter(bench, REF, "tasks", {"item": "T1", "step": "cut", "state": "done"})
    with pytest.raises(InputProblems, match="1 problem") as caught:
        unrecord(bench, REF, "T1")
    assert 'the step "cut" at "T1"' in caught.value.problems[0].sentence
    said = found(bench)
    assert said is not None
    assert said.later == ("cut",)


def test_work_at_another_item_does_not_hold_it(bench: Bench) -> None:
    record(bench, REF, "T1", by="", at="2026-05-14 10:20")
    enter(bench, REF, "tasks", {"item": "T2", "step": "cut", "state": "done"})
    unrecord(bench, REF, "T1")
    assert found(bench) is None
