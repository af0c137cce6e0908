"""Ticking the work off: a step is begun, then done, passed or failed; the last tick comes back.

Only a step that waits for nothing any more is ticked (`services.work_log`), so nothing is cut
before it is recorded and nothing goes on past a hold point that is not passed.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

import attrs

from loomwright.loom import InputProblems, NotFound, Problem, Where
from loomwright.loom.errors import Conflict, Refused
from loomwright.services.entering import Bench, enter, row_of, take_away
from loomwright.services.job_cards import Work
from loomwright.services.kept_rows import KeptRow
from loomwright.services.moments import moment
from loomwright.services.ports import JobRef
from loomwright.services.wire_use import is_use
from loomwright.services.work_log import LoggedStep, logged

__all__ = ["Tick", "Ticked", "last_tick", "minutes_since", "named", "take_back", "tick"]

MOST_MINUTES = 480
"""A timer that ran longer was forgotten: nobody works a shift at one step."""
_ENDS = {True: ("begun", "passed", "failed"), False: ("begun", "done", "failed")}


@attrs.frozen(kw_only=True)
class Tick:
    """What a person says of a step.

    Attributes
    ----------
    item, step, nth : which step; an empty item is the whole job
    state : `begun`, `done`, `passed` or `failed`
    minutes : as typed [min]; blank is counted from the beginning
    note, by : anything seen, and who says so
    """

    item: str
    step: str
    nth: int
    state: str
    minutes: str = ""
    note: str = ""
    by: str = ""


@attrs.frozen(kw_only=True)
class Ticked:
    """A tick that was taken in.

    Attributes
    ----------
    step : as it stood before
    minutes : kept for it, as text [min]; blank where nothing says how long it took
    fresh : whether it was not said already
    """

    step: LoggedStep
    minutes: str
    fresh: bool = True


def tick(bench: Bench, ref: JobRef, work: Work, said: Tick, *, now: str) -> Ticked:
    """Log what a person says of a step; nothing happens where it is said already.

    Parameters
    ----------
    work : the cards of the offer that is followed
    now : this moment, as a job writes it

    Raises
    ------
    Refused
        when something else has to come first.
    InputProblems
        holding all that is wrong with what was typed.
    NotFound
        when the offer has no such step, or the job is not kept.
    Conflict, StorageFailed
        as `entering.enter`.
    """
    with bench.rows.held(ref):
        step = _step(bench, ref, work, said)
        _see_that_it_may(step, said.state)
        if step.state == said.state:
            return Ticked(step=step, minutes="", fresh=False)
        return _written(bench, ref, step, said, now)


def last_tick(rows: Iterable[KeptRow]) -> KeptRow | None:
    """The row of `tasks` that was ticked last; what only counts wire is none."""
    ticks = [row for row in rows if not is_use(row.cells.get("step", ""))]
    numbered = enumerate(ticks)
    last = max(numbered, key=lambda pair: (_when(pair[1]), pair[0]), default=None)
    return last[1] if last else None


def take_back(bench: Bench, ref: JobRef, key: str) -> KeptRow:
    """Take the last tick back: a step that was begun before is begun again, others are open.

    Raises
    ------
    Conflict
        when that is not the last tick any more.
    InputProblems, NotFound, StorageFailed
        as `entering.take_away`.
    """
    with bench.rows.held(ref):
        last = last_tick(bench.rows.rows(ref, "tasks"))
        if last is None or last.key != key:
            raise Conflict("something else was ticked meanwhile, or this was taken back already")
        if last.cells.get("begun_at") and last.cells.get("state") != "begun":
            open_ = {"state": "begun", "done_at": "", "minutes": ""}
            enter(bench, ref, "tasks", open_, key=key)
        else:
            take_away(bench, ref, "tasks", key)
        return last


def minutes_since(begun_at: str, now: str) -> str:
    """Minutes from a beginning, at least one; blank where no time is told or it ran overnight.

    Examples
    --------
    >>> begun = ("2026-05-14 10:05", "", "2026-05-13 10:05")
    >>> [minutes_since(each, "2026-05-14 10:20") for each in begun]
    ['15', '', '']
    """
    first, last = moment(begun_at), moment(now)
    if first is None or last is None:
        return ""
    minutes = _minutes(first, last)
    return str(max(minutes, 1)) if 0 <= minutes <= MOST_MINUTES else ""


def named(step: str, item: str) -> str:
    """A step as it is spoken of: `“cut” at TE`, `“battery off”`."""
    return f"“{step}” at {item}" if item else f"“{step}”"


def _minutes(first: datetime, last: datetime) -> int:
    return round((last - first).total_seconds() / 60.0)


def _when(row: KeptRow) -> str:
    return row.cells.get("done_at") or row.cells.get("begun_at") or ""


def _step(bench: Bench, ref: JobRef, work: Work, said: Tick) -> LoggedStep:
    known, _ = bench.jobs.inspect(ref)
    for each in logged(work, known.tasks).steps:
        if (each.step.item, each.step.name, each.nth) == (said.item, said.step, said.nth):
            return each
    raise NotFound(
        f"the work has no step {named(said.step, said.item)}",
        expected="look at the work again: the offer that is followed may be another one now",
    )


def _see_that_it_may(step: LoggedStep, state: str) -> None:
    may = _ENDS[step.step.hold]
    if state not in may:
        what = "hold point" if step.step.hold else "step"
        raise InputProblems([
            Problem(
                Where("tasks", column="state"),
                f'"{state}" is not what can be said of a {what}',
                f"say {', '.join(may[:-1])} or {may[-1]}",
            )
        ])  # fmt: skip
    if step.why_not:
        raise Refused(
            f"{named(step.step.name, step.step.item)} may not be ticked yet: {step.why_not}",
            instead="do what comes first, and tick that off",
        )


def _written(bench: Bench, ref: JobRef, step: LoggedStep, said: Tick, now: str) -> Ticked:
    cells = {"state": said.state, "by": said.by, "note": said.note}
    cells = {name: text for name, text in cells.items() if text}
    began = step.task if step.task and step.state == "begun" else None
    if said.state == "begun":
        cells["begun_at"] = now
    else:
        minutes = said.minutes or minutes_since((began and began.begun_at) or "", now)
        cells |= {"done_at": now, "minutes": minutes}
    if began is not None:
        row = row_of(bench.rows.rows(ref, "tasks"), "task", str(began.task))
        enter(bench, ref, "tasks", cells, key=row.key)
    else:
        where = {"item": said.item, "step": said.step, "nth": str(said.nth)}
        enter(bench, ref, "tasks", {**where, **cells})
    return Ticked(step=step, minutes=cells.get("minutes", ""))
