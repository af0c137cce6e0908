"""Spare wire counted down: what tries use, what is left, and never below nothing."""

from __future__ import annotations

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.loom import InputProblems, Job, NotFound, TaskRow
from loomwright.loom.errors import Conflict
from loomwright.loom.identity import TaskId
from loomwright.services.crimps import Ledger, crimps
from loomwright.services.entering import Bench
from loomwright.services.wire_use import account, as_planned, give_back, is_use, use_wire, uses
from loomwright.storage.memory import JobMemory, MemoryRows
from loomwright.storage.memory.rows import Kept
from sample import jobs as sample

JOB, NOW = "a job", "2026-05-14 10:20"


def bench_with(spare: float | None) -> Bench:
    kept: Kept = {}
    made = Bench(JobMemory(kept), MemoryRows(kept))
    job = attrs.evolve(sample.job(), tasks=())
    plugs = tuple(
        attrs.evolve(plug, spare_mm=spare) if plug.plug == "T1" else plug for plug in job.plugs
    )
    made.jobs.write(JOB, attrs.evolve(job, plugs=plugs))
    return made


@pytest.fixture
def bench() -> Bench:
    return bench_with(55.0)


def spare(bench: Bench) -> float | None:
    return next(plug.spare_mm for plug in bench.jobs.read(JOB).plugs if plug.plug == "T1")


def use(bench: Bench, text: str, saw: str = "") -> float:
    there = saw or f"{spare(bench):g}"
    return use_wire(bench, JOB, "T1", text, saw=there, by="first bench", now=NOW)


def ledger(job: Job) -> Ledger:
    return next(each for each in crimps(as_planned(job)).ledgers if each.plug == "T1")


def test_a_try_lowers_the_spare_and_is_written_down(bench: Bench) -> None:
    assert use(bench, "20") == 35.0
    assert spare(bench) == 35.0
    (row,) = bench.jobs.read(JOB).tasks
    assert (row.item, row.step, row.state) == ("T1", "wire used 20 mm", "done")
    assert (row.done_at, row.by) == (NOW, "first bench")


def test_a_decimal_comma_is_read(bench: Bench) -> None:
    assert use(bench, "2,5") == 52.5
    assert [each.mm for each in uses(bench.jobs.read(JOB).tasks)] == [2.5]


def test_what_was_there_before_the_work_can_be_told(bench: Bench) -> None:
    before = bench.jobs.read(JOB)
    for text in ("20", "15", "15"):
        use(bench, text)
    after = bench.jobs.read(JOB)
    assert spare(bench) == 5.0
    assert as_planned(after).plugs == before.plugs
    assert [each.nth for each in after.tasks] == [1, 1, 2]


@pytest.mark.parametrize("text", ["56", "55.1", "1000"])
def test_more_than_there_is_is_refused_with_the_way_out(bench: Bench, text: str) -> None:
    with pytest.raises(InputProblems) as caught:
        use(bench, text)
    (problem,) = caught.value.problems
    assert "55 mm" in problem.what
    assert "extend" in problem.expected
    assert spare(bench) == 55.0
    assert bench.jobs.read(JOB).tasks == ()


@pytest.mark.parametrize("text", ["", "much", "0", "-5", "nan", "inf", "1k2k"])
def test_what_is_no_length_is_refused(bench: Bench, text: str) -> None:
    with pytest.raises(InputProblems, match="1 problem"):
        use(bench, text)
    assert spare(bench) == 55.0


def test_all_that_is_left_may_be_used(bench: Bench) -> None:
    assert use(bench, "55") == 0.0


def test_a_spare_that_nobody_measured_is_measured_first() -> None:
    with pytest.raises(InputProblems) as caught:
        use_wire(bench_with(None), JOB, "T1", "20", saw="", by="", now=NOW)
    assert "measure" in caught.value.problems[0].expected


def test_two_who_count_at_the_same_time_do_not_count_as_one(bench: Bench) -> None:
    use(bench, "20", saw="55")
    with pytest.raises(Conflict, match="35 by now"):
        use(bench, "20", saw="55")
    assert spare(bench) == 35.0


@settings(max_examples=15, deadline=None)  # each entry reads the whole job
@given(st.lists(st.integers(1, 60), max_size=3))
def test_what_is_taken_back_is_there_again(lengths: list[int]) -> None:
    bench = bench_with(200.0)
    for length in lengths:
        use(bench, str(length))
    assert spare(bench) == 200.0 - sum(lengths)
    for each in reversed(list(uses(bench.jobs.read(JOB).tasks, "T1"))):
        give_back(bench, JOB, "T1", each.task)
    assert spare(bench) == 200.0
    assert bench.jobs.read(JOB).tasks == ()


def test_only_a_line_of_its_own_account_comes_back(bench: Bench) -> None:
    use(bench, "20")
    with pytest.raises(InputProblems):
        give_back(bench, JOB, "T2", "D1")
    with pytest.raises(NotFound):
        give_back(bench, JOB, "T1", "D9")


def test_the_account_counts_down_to_the_loop(bench: Bench) -> None:
    for text in ("20", "15"):
        use(bench, text)
    job = bench.jobs.read(JOB)
    found = account(ledger(job), job.tasks)
    assert [(row.amount, row.left) for row in found.rows] == [
        ("", "55"), ("20", "35"), ("15", "20"), ("10", "10"),
    ]  # fmt: skip
    assert found.rows[2].words == f"Try 1 ({NOW}, first bench)"
    assert (found.left_mm, found.tries) == (10.0, 0)
    assert found.says[0].startswith("There is no wire for another try")


def test_tries_after_the_first_cut_are_those_the_plan_counted(bench: Bench) -> None:
    """55 mm, loop 10, first cut 20, retry 15: two crimps in all, so one more after the first."""
    planned = ledger(bench.jobs.read(JOB))
    (bright,) = (each for each in planned.outlooks if each.copper == "bright")
    use(bench, f"{bright.first_cut_mm:g}")
    job = bench.jobs.read(JOB)
    assert account(ledger(job), job.tasks).tries == bright.rounds - 1 == 1


def test_before_the_first_cut_the_copper_decides(bench: Bench) -> None:
    job = bench.jobs.read(JOB)
    found = account(ledger(job), ())
    assert found.tries is None
    assert found.says[0] == ledger(job).advice
    assert [mm for mm, _ in found.offers_mm] == ["20", "50"]


def test_without_a_known_spare_there_is_no_account() -> None:
    job = bench_with(None).jobs.read(JOB)
    found = account(ledger(job), ())
    assert found.left_mm is None
    assert "measure" in found.says[0]


@pytest.mark.parametrize(
    ("step", "counts"), [("wire used 20 mm", True), ("wire used 2.5 mm", True), ("cut", False),
                         ("wire used up", False), ("wire used -3 mm", False)],
)  # fmt: skip
def test_only_such_steps_count_wire(step: str, counts: bool) -> None:
    assert is_use(step) is counts
    row = TaskRow(task=TaskId("D1"), item="T1", step=step, state="done")
    assert bool(list(uses([row]))) is counts
