"""Spare wire counted down: what each try at a plug has used up, and how far the rest goes.

A try lowers `plugs.spare_mm` and stands in `tasks` as a step `wire used 20 mm`, so that what was
there before the work can be told: the work goes on as it was planned though its wire gets shorter.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

import attrs

from loomwright.loom import InputProblems, Job, Problem, TaskRow, Where, read_cell, schema
from loomwright.loom.errors import Conflict
from loomwright.loom.sheets import FIRST_ROW
from loomwright.repair.spare_wire import Ledger, rounds_in
from loomwright.services.entering import Bench, enter, row_of, take_away
from loomwright.services.kept_rows import KeptRow
from loomwright.services.ports import JobRef
from loomwright.services.typed import as_cell

__all__ = ["Account", "Count", "Use", "account", "as_planned", "give_back", "is_use", "use_wire"]

CURE = "measure again what can be given up, or extend the wires with a splice"
_USED = re.compile(r"\s*wire used (\d+(?:\.\d+)?) mm\s*\Z")


@attrs.frozen(kw_only=True)
class Use:
    """Wire that one try used up.

    Attributes
    ----------
    task : name of its row
    plug : where
    mm : how much [mm]
    at, by : when, and who said so; empty when not written down
    """

    task: str
    plug: str
    mm: float
    at: str
    by: str


@attrs.frozen
class Count:
    """One line of the account: what it is, what it takes, what is left; lengths as text [mm]."""

    words: str
    amount: str
    left: str


@attrs.frozen(kw_only=True)
class Account:
    """The wire of one plug, counted down.

    Attributes
    ----------
    plug : its name
    rows : from what was there to what stays as a loop
    left_mm : that tries may still use [mm]; None where the spare is not known
    tries : tries there is wire for; None before the first cut, which goes by the copper
    says : how far it goes and when to stop, in sentences
    offers_mm : lengths to count off at a touch, each with what it is [mm]
    """

    plug: str
    rows: tuple[Count, ...]
    left_mm: float | None
    tries: int | None
    says: tuple[str, ...]
    offers_mm: tuple[tuple[str, str], ...]


def is_use(step: str) -> bool:
    """Whether a step of `tasks` counts wire."""
    return _USED.match(step) is not None


def uses(tasks: Iterable[TaskRow], plug: str = "") -> Iterator[Use]:
    """What was used up, in the order of the sheet; of every plug without one."""
    for row in tasks:
        found = _USED.match(row.step)
        if found and row.item and plug in ("", row.item):
            yield Use(task=str(row.task), plug=row.item, mm=float(found[1]), at=row.done_at or "",
                      by=row.by or "")  # fmt: skip


def as_planned(job: Job) -> Job:
    """The job with the spare wire that was there before the work.

    The plan is made of that one: it counts the first cut and its tries already.
    """
    used: dict[str, float] = {}
    for use in uses(job.tasks):
        used[use.plug] = used.get(use.plug, 0.0) + use.mm
    return attrs.evolve(
        job,
        plugs=tuple(
            attrs.evolve(plug, spare_mm=plug.spare_mm + used[plug.plug])
            if plug.plug in used and plug.spare_mm is not None
            else plug
            for plug in job.plugs
        ),
    )


def account(ledger: Ledger, tasks: Iterable[TaskRow]) -> Account:
    """The account of one plug.

    Parameters
    ----------
    ledger : of the wire that was there before the work (`as_planned`)
    tasks : rows of the table `tasks`
    """
    used = tuple(uses(tasks, ledger.plug))
    if ledger.spare_mm is None:
        return Account(plug=ledger.plug, rows=(), left_mm=None, tries=None, says=(ledger.advice,),
                       offers_mm=())  # fmt: skip
    left = ledger.spare_mm - sum(use.mm for use in used)
    tries = _tries(ledger, left) if used else None
    return Account(
        plug=ledger.plug,
        rows=tuple(_rows(ledger, used)),
        left_mm=max(left - ledger.loop_mm, 0.0),
        tries=tries,
        says=tuple(_says(ledger, tries)),
        offers_mm=_offers(ledger, begun=bool(used)),
    )


def use_wire(
    bench: Bench, ref: JobRef, plug: str, text: str, *, saw: str, by: str, now: str
) -> float:
    """Count off what a try used up; what is left [mm].

    Parameters
    ----------
    text : the length as typed [mm]
    saw : the spare wire as it stood on the person's screen [mm]
    by, now : who says so, and the moment

    Raises
    ------
    InputProblems
        when it is no length, or more than there is.
    Conflict
        when somebody else counted wire off meanwhile.
    NotFound, StorageFailed
        when the plug is gone or the job is not kept, or the storage fails.
    """
    with bench.rows.held(ref):
        rows = bench.rows.rows(ref, "plugs")
        row = row_of(rows, "plug", plug)
        spare = row.cells.get("spare_mm", "")
        if spare != saw:
            raise Conflict(f"the spare wire of {plug} is {spare or 'blank'} by now, not {saw} mm")
        place = Where("plugs", FIRST_ROW + rows.index(row), "spare_mm")
        mm, there = _length(text, place), _there(spare, place)
        if mm > there:
            raise InputProblems([
                Problem(place, f"{mm:g} mm is more than the {there:g} mm that are left at {plug}",
                        CURE)
            ])  # fmt: skip
        left = there - mm
        _spare(bench, ref, row, left)
        step = f"wire used {mm:g} mm"
        tasks = bench.rows.rows(ref, "tasks")
        alike = [each for each in tasks
                 if (each.cells.get("item"), each.cells.get("step")) == (plug, step)]  # fmt: skip
        enter(bench, ref, "tasks", {
            "item": plug, "step": step, "nth": str(len(alike) + 1), "state": "done", "done_at": now,
            "by": by,
        })  # fmt: skip
    return left


def give_back(bench: Bench, ref: JobRef, plug: str, task: str) -> float:
    """Take back what was counted off; what is left then [mm].

    Raises
    ------
    NotFound
        when it was taken back already, or the plug is gone.
    InputProblems, StorageFailed
        as `entering.enter`.
    """
    with bench.rows.held(ref):
        rows = bench.rows.rows(ref, "plugs")
        row = row_of(rows, "plug", plug)
        use = row_of(bench.rows.rows(ref, "tasks"), "task", task)
        found = _USED.match(use.cells.get("step", ""))
        if found is None or use.cells.get("item", "") != plug:
            raise InputProblems([
                Problem(Where("tasks", column="step"), f"{task} counts no wire of {plug}",
                        "take back a line of its own account")
            ])  # fmt: skip
        place = Where("plugs", FIRST_ROW + rows.index(row), "spare_mm")
        left = _there(row.cells.get("spare_mm", ""), place) + float(found[1])
        _spare(bench, ref, row, left)
        take_away(bench, ref, "tasks", use.key)
    return left


def _spare(bench: Bench, ref: JobRef, row: KeptRow, left: float) -> None:
    enter(bench, ref, "plugs", {"spare_mm": f"{left:g}"}, key=row.key, before=row.cells)


def _length(text: str, place: Where) -> float:
    mm = _read(text, place)
    if not mm:
        raise InputProblems([
            Problem(place, f'"{text.strip()}" is not a length that was used up',
                    "give in mm what was cut off, such as 15")
        ])  # fmt: skip
    return mm


def _there(text: str, place: Where) -> float:
    there = _read(text, place)
    if there is None:
        raise InputProblems([
            Problem(place, "the spare wire is not known", "measure what can be given up first")
        ])  # fmt: skip
    return there


def _read(text: str, place: Where) -> float | None:
    column = schema.table("plugs").column("spare_mm")
    found = read_cell(column, as_cell(column, text), where=place)
    return found if isinstance(found, float) else None


def _tries(ledger: Ledger, left: float) -> int:
    """Tries after the first cut, each one loss: the crimp that is on stays if it is good."""
    return rounds_in(left, loop_mm=ledger.loop_mm, first_cut_mm=ledger.retry_mm,
                     retry_mm=ledger.retry_mm)  # fmt: skip


def _rows(ledger: Ledger, used: tuple[Use, ...]) -> Iterator[Count]:
    left = ledger.spare_mm or 0.0
    yield Count("Could be given up before the work", "", f"{left:g}")
    for number, use in enumerate(used):
        left -= use.mm
        name = f"Try {number}" if number else "First cut"
        told = ", ".join(each for each in (use.at, use.by) if each)
        yield Count(f"{name}{f' ({told})' if told else ''}", f"{use.mm:g}", f"{left:g}")
    yield Count("Stays as a loop", f"{ledger.loop_mm:g}", f"{max(left - ledger.loop_mm, 0.0):g}")


def _says(ledger: Ledger, tries: int | None) -> Iterator[str]:
    if tries is None:
        yield ledger.advice
    elif tries:
        yield _wire_for(tries)
        yield f"Before the first cut this was said: {ledger.advice}"
    else:
        yield "There is no wire for another try: if this crimp is not good, extend with a splice."
    if ledger.equal and ledger.ends > 1:
        yield "All its wires must end equal: a slip at one costs every wire that length."


def _wire_for(tries: int) -> str:
    return f"There is wire for {tries} more {'try' if tries == 1 else 'tries'}."


def _offers(ledger: Ledger, *, begun: bool) -> tuple[tuple[str, str], ...]:
    if begun:
        return ((f"{ledger.retry_mm:g}", "A try used up"),)
    return tuple(
        (f"{look.first_cut_mm:g}", f"First cut, copper {look.copper}:") for look in ledger.outlooks
    )
