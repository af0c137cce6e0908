"""What an open job waits for and the next thing to do, told from what is written down.

No diagnosis is made here: a list of jobs opens at once. What is known from one already sharpens it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

import attrs

from loomwright.loom import Job, Problem, TaskRow
from loomwright.services.finding_words import briefly
from loomwright.services.suspects import SuspectsReport
from loomwright.services.words import sentence
from loomwright.services.work_log import RECORD, LoggedStep, WorkLog, logged
from loomwright.services.workup import WorkUp

__all__ = ["Page", "Standing", "next_worth_taking", "standing", "standing_by", "unsound"]

Page = Literal[
    "job", "loom", "plug", "measure", "suspects", "quote", "work", "proof", "papers"
]  # fmt: skip
"""Where the next thing is done."""


@attrs.frozen(kw_only=True)
class Standing:
    """How far a job is.

    Attributes
    ----------
    waits : what it waits for, a sentence
    do : the next thing to do, without a full stop
    page : where that is done
    plug : the plug it is done at, for page `plug`
    sound : whether the job holds together
    """

    waits: str
    do: str
    page: Page
    plug: str = ""
    sound: bool = True


def unsound(problems: Sequence[Problem]) -> Standing | None:
    """The standing of a job that does not hold together; None where nothing grave is wrong."""
    grave = [each for each in problems if not each.warning]
    if not grave:
        return None
    waits = f"It does not hold together yet: {_counted(len(grave), 'thing')} to mend."
    return Standing(waits=waits, do="Mend the tables", page="loom", sound=False)


def next_worth_taking(report: SuspectsReport) -> str:
    """The next reading in half a line; empty where none is worth its time, or a fault is sure."""
    if report.stop or report.claimed is not None or not report.next_readings:
        return ""
    return briefly(report.next_readings[0])


def standing(job: Job, log: WorkLog | None = None, *, next_reading: str | None = None) -> Standing:
    """How far a job is.

    Parameters
    ----------
    job : all of it
    log : the work with what was logged; None where it is not known without a diagnosis
    next_reading : the next reading in half a line, empty where none is worth it; None where that
        is not known
    """
    asked: tuple[Callable[[], Standing | None], ...] = (
        lambda: _described(job),
        lambda: _going_on(job, log),
        lambda: _proved(job),
        lambda: _complained(job),
        lambda: _read(job, next_reading),
        lambda: _looked(job),
        lambda: _chosen(job, settled=next_reading is not None),
    )
    found = next((told for ask in asked if (told := ask())), None)
    return found or _to_begin(job, log)


def standing_by(job: Job, known: WorkUp | None) -> Standing:
    """The same, sharpened by what is worked out already.

    Parameters
    ----------
    job : all of it
    known : what is worked out of it, without its tasks and photos; None for nothing
    """
    if known is None:
        return standing(job)
    reading = next_worth_taking(known.suspects) if known.has("suspects") else None
    # Where nothing is chosen or begun, the work of the usual offer is none of this job's yet.
    begun = job.about.offer or job.tasks
    log = logged(known.work, job.tasks) if begun and known.has("work") else None
    return standing(job, log, next_reading=reading)


def _described(job: Job) -> Standing | None:
    if job.plugs and job.wires:
        return None
    missing = "wires" if job.plugs else "plugs"
    return Standing(
        waits="The loom is not described yet.", do=f"Describe the loom: its {missing}", page="loom"
    )


def _complained(job: Job) -> Standing | None:
    if job.about.complaint or job.about.symptoms:
        return None
    return Standing(
        waits="What the owner says is not written down.", do="Write down the complaint", page="job"
    )


def _going_on(job: Job, log: WorkLog | None) -> Standing | None:
    rows = _last_rows(job.tasks)
    failed = next((row for row in rows if row.state == "failed"), None)
    if failed is not None:
        at = f" at {failed.item}" if failed.item else ""
        return Standing(
            waits=f"“{failed.step}”{at} has failed: nothing goes on before it is put right.",
            do="Put it right and pass it",
            page="work",
        )
    begun = [row for row in rows if not _is_record(row)]
    if not begun:
        return None
    if log is None:
        waits = f"The work is going on: {_counted(len(begun), 'step')} logged."
        return None if job.proof else Standing(waits=waits, do="Go on with the work", page="work")
    return _next_of(job, log)


def _next_of(job: Job, log: WorkLog) -> Standing | None:
    if log.next_step is not None:
        done, of = log.done_share
        return Standing(
            waits=f"The work is going on: {done} of {of} steps done.",
            do=sentence(_words(log.next_step)),
            page="work",
        )
    if job.proof:
        return None
    return Standing(
        waits="The work is done; no reading shows yet that it helped.",
        do="Take the readings again",
        page="proof",
    )


def _proved(job: Job) -> Standing | None:
    if not job.proof:
        return None
    return Standing(
        waits=f"{sentence(_counted(len(job.proof), 'reading'))} taken after the work.",
        do="Print the papers and close the job",
        page="papers",
    )


def _read(job: Job, next_reading: str | None) -> Standing | None:
    if not job.readings:
        return Standing(
            waits="No reading has been taken yet.", do="Take the first reading", page="measure"
        )
    if not next_reading:
        return None
    taken = "One reading is" if len(job.readings) == 1 else f"{len(job.readings)} readings are"
    return Standing(
        waits=f"{taken} taken; another one tells more.",
        do=f"Measure {next_reading}",
        page="measure",
    )


def _looked(job: Job) -> Standing | None:
    if job.survey:
        return None
    plug = job.plugs[0]
    label = f" ({plug.label})" if plug.label else ""
    return Standing(
        waits="No plug has been looked at yet.",
        do=f"Look at plug {plug.plug}{label} and grade it",
        page="plug",
        plug=str(plug.plug),
    )


def _chosen(job: Job, *, settled: bool) -> Standing | None:
    if job.about.offer:
        return None
    waits = "What is to be done is not chosen yet."
    if settled:
        return Standing(waits=waits, do="Compare the offers and choose one", page="quote")
    return Standing(
        waits=waits, do="See what is wrong, and whether to measure more", page="suspects"
    )


def _to_begin(job: Job, log: WorkLog | None) -> Standing:
    if log is not None and not log.steps:
        return Standing(
            waits=f"The offer “{job.about.offer}” asks for no work.",
            do="Compare the offers",
            page="quote",
        )
    recorded = any(_is_record(row) and row.state == "done" for row in job.tasks)
    first = log.next_step if log is not None else None
    return Standing(
        waits=f"“{job.about.offer}” is chosen; the work has not begun"
        f"{'' if recorded else ', and no plug is recorded'}.",
        do=f"Begin: {_words(first)}" if first is not None else "Begin the work",
        page="work",
    )


def _last_rows(tasks: Sequence[TaskRow]) -> tuple[TaskRow, ...]:
    """Of several rows for one step the last one stands."""
    return tuple({(row.item, row.step.casefold(), row.nth): row for row in tasks}.values())


def _is_record(row: TaskRow) -> bool:
    return row.step.strip().casefold() == RECORD


def _words(each: LoggedStep) -> str:
    return f"{each.step.item}: {each.step.words}" if each.step.item else each.step.words


def _counted(count: int, noun: str) -> str:
    return f"one {noun}" if count == 1 else f"{count} {noun}s"
