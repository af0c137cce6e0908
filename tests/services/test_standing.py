"""What a job waits for, from an empty one to one that is proved."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import Job, Problem, TaskRow, Where
from loomwright.loom.identity import TaskId
from loomwright.repair.order import Step
from loomwright.services.standing import next_worth_taking, standing, standing_by, unsound
from loomwright.services.work_log import LoggedStep, WorkLog, logged
from loomwright.services.workup import WorkUp
from sample.jobs import job as small_job


def described() -> Job:
    """A loom with a complaint, and nothing done yet."""
    whole = small_job()
    return attrs.evolve(
        whole, about=attrs.evolve(whole.about, complaint="Floods when hot"), readings=(), proof=(),
        survey=(), tasks=(),
    )  # fmt: skip


def read_and_looked() -> Job:
    whole = small_job()
    return attrs.evolve(described(), readings=whole.readings, survey=whole.survey)


def chosen() -> Job:
    found = read_and_looked()
    return attrs.evolve(found, about=attrs.evolve(found.about, offer="everything"))


def task(step: str, state: str, item: str | None = None) -> TaskRow:
    return TaskRow(task=TaskId("D1"), item=item, step=step, state=state)


def log(*states: str) -> WorkLog:
    """A log of steps, each with its state; a blank one is not begun."""
    steps = tuple(
        LoggedStep(
            step=Step(item="T1", name=f"s{n}", words=f"do {n}", hold=False, caution=""),
            nth=1,
            task=task(f"s{n}", state, "T1") if state else None,
        )
        for n, state in enumerate(states, start=1)
    )
    return WorkLog(steps=steps, minutes=0.0, minutes_at={}, stray=())


def test_a_job_without_a_loom_asks_for_it_and_names_what_is_missing() -> None:
    whole = described()
    assert standing(attrs.evolve(whole, plugs=(), wires=())).do == "Describe the loom: its plugs"
    assert standing(attrs.evolve(whole, wires=())).do == "Describe the loom: its wires"


@pytest.mark.parametrize(
    ("job", "page", "words"),
    [
        (attrs.evolve(described(), about=small_job().about), "job", "complaint"),
        (described(), "measure", "first reading"),
        (attrs.evolve(described(), readings=small_job().readings), "plug", "plug CU"),
        (read_and_looked(), "suspects", "wrong"),
        (chosen(), "work", "Begin"),
        (attrs.evolve(chosen(), tasks=(task("s1", "done"),)), "work", "Go on"),
        (attrs.evolve(chosen(), proof=small_job().proof), "papers", "papers"),
    ],
)
def test_each_step_of_a_job_leads_to_the_next(job: Job, page: str, words: str) -> None:
    found = standing(job)
    assert found.page == page
    assert words in found.do


def test_what_is_known_of_the_readings_says_whether_to_measure_or_to_choose() -> None:
    more = standing(read_and_looked(), next_reading="ohms, red CU.1, black CU.4")
    assert (more.page, more.do) == ("measure", "Measure ohms, red CU.1, black CU.4")
    assert standing(read_and_looked(), next_reading="").page == "quote"


def test_a_plug_recorded_beforehand_is_not_yet_work() -> None:
    recorded = attrs.evolve(chosen(), tasks=(task("record", "done", "T1"),))
    assert standing(recorded).do == "Begin the work"
    assert "no plug is recorded" not in standing(recorded).waits
    assert "no plug is recorded" in standing(chosen()).waits


def test_a_failed_step_comes_before_all_else_until_it_is_done_again() -> None:
    failed = (task("pull", "failed", "T1"),)
    job = attrs.evolve(chosen(), tasks=failed, proof=small_job().proof)
    assert "“pull” at T1 has failed" in standing(job).waits
    again = attrs.evolve(job, tasks=(*failed, task("pull", "passed", "T1")))
    assert standing(again).page == "papers"


def test_the_log_gives_the_next_step_then_asks_for_the_proof() -> None:
    begun = attrs.evolve(chosen(), tasks=(task("s1", "done", "T1"),))
    assert standing(begun, log("done", "")).do == "T1: do 2"
    assert "1 of 2 steps" in standing(begun, log("done", "")).waits
    assert standing(begun, log("done", "done")).page == "proof"
    assert standing(chosen(), log("", "")).do == "Begin: T1: do 1"


def test_an_offer_that_asks_for_no_work_leads_back_to_the_offers() -> None:
    assert standing(chosen(), log()).page == "quote"


def test_what_is_worked_out_sharpens_it_and_the_rest_is_not_worked_out() -> None:
    job = small_job()
    known = WorkUp(attrs.evolve(job, tasks=(), photos=()))
    assert standing_by(job, None) == standing(job)
    assert standing_by(job, known) == standing(job)
    assert not known.has("suspects")
    told = next_worth_taking(known.suspects)
    assert standing_by(job, known) == standing(job, next_reading=told)
    assert not known.has("work")
    steps = logged(known.work, job.tasks) if job.about.offer or job.tasks else None
    assert standing_by(job, known) == standing(job, steps, next_reading=told)


def test_only_what_is_grave_makes_a_job_unsound() -> None:
    grave = Problem(Where("wires"), "W1 leads nowhere")
    hint = attrs.evolve(grave, warning=True)
    assert unsound((hint,)) is None
    found = unsound((hint, grave))
    assert found is not None
    assert (found.page, found.sound) == ("loom", False)
    assert "one thing to mend" in found.waits


def test_no_next_reading_is_named_where_a_fault_is_sure_or_nothing_is_worth_it() -> None:
    report = WorkUp(small_job()).suspects
    open_ = attrs.evolve(report, stop=False, claimed=None)
    assert next_worth_taking(open_).startswith(("ohms", "volts"))
    assert next_worth_taking(attrs.evolve(open_, stop=True)) == ""
    assert next_worth_taking(attrs.evolve(open_, claimed=0)) == ""
    assert next_worth_taking(attrs.evolve(open_, next_readings=())) == ""
