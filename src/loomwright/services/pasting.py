"""Pasting rows into a table of a job: what it would do, what would come of it, and doing it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import attrs

from loomwright.loom import (
    InputProblems,
    Job,
    Problem,
    Sheet,
    Where,
    inconsistencies,
    read_sheets,
    schema,
    write_sheets,
)
from loomwright.loom.errors import Conflict
from loomwright.loom.sheets import FIRST_ROW
from loomwright.services.entering import Bench
from loomwright.services.kept_rows import KeptRow
from loomwright.services.newly_wrong import newly_wrong
from loomwright.services.paste_plan import ChangedRow, NewRow, PastePlan, planned_paste
from loomwright.services.pasted_text import PASTED, Pasted, read_pasted
from loomwright.services.ports import JobRef

__all__ = ["PastePlan", "Pasted", "foreseen", "paste", "planned_paste", "read_pasted"]

_Row = KeptRow | ChangedRow | NewRow


def foreseen(job: Job, plan: PastePlan, kept_rows: Sequence[KeptRow]) -> tuple[Problem, ...]:
    """What would newly be wrong between the job's tables, warnings included.

    Parameters
    ----------
    job : as far as it can be read
    plan : made of the same rows
    kept_rows : the table's rows as they stand
    """
    others = [sheet for sheet in write_sheets(job) if sheet.name != plan.table]
    changed = {row.key: row for row in plan.changed}
    after: list[_Row] = [
        *(changed.get(row.key, row) for row in kept_rows), *plan.new
    ]  # fmt: skip
    found = newly_wrong(_told(others, plan.table, kept_rows), _told(others, plan.table, after))
    return tuple(_as_pasted(problem, plan.table, after) for problem in found)


def paste(
    bench: Bench, ref: JobRef, plan: PastePlan, *, anyhow: bool = False
) -> tuple[Problem, ...]:
    """Do what the plan says, all of it or nothing; the warnings that come with it.

    Parameters
    ----------
    anyhow : also when the job does not hold together with it yet

    Raises
    ------
    InputProblems
        holding what is wrong with the text, or what would no longer hold together.
    Conflict
        when the table was changed since the plan was made.
    NotFound, StorageFailed
        when the job is not kept, or the storage fails.
    """
    with bench.rows.held(ref):
        kept = bench.rows.rows(ref, plan.table)
        if planned_paste(plan.pasted, kept) != plan:
            raise Conflict("somebody else changed this table meanwhile", where=plan.table)
        job, _ = bench.jobs.inspect(ref)
        told = foreseen(job, plan, kept)
        grave = [*plan.problems, *(each for each in told if not each.warning)]
        if plan.problems or (grave and not anyhow):
            raise InputProblems(grave)
        for row in plan.changed:
            bench.rows.put(ref, plan.table, row.key, row.cells)
        for added in plan.new:
            bench.rows.put(ref, plan.table, None, added.cells)
    return tuple(each for each in told if each.warning)


def _told(others: Iterable[Sheet], table: str, rows: Sequence[_Row]) -> list[Problem]:
    """All that is wrong with the job when the table has these rows."""
    ours = [column.name for column in schema.table(table).columns]
    header = tuple(dict.fromkeys([*ours, *(name for row in rows for name in row.cells)]))
    cells = tuple(tuple(row.cells.get(name, "") for name in header) for row in rows)
    readout = read_sheets([*others, Sheet(table, header, cells)])
    told = {each.where for each in readout.problems}
    between = inconsistencies(readout.job, unread=readout.unread, mentioned=readout.mentioned)
    return [*readout.problems, *(each for each in between if each.where not in told)]


def _as_pasted(problem: Problem, table: str, after: Sequence[_Row]) -> Problem:
    """The same with its row in the text, where it comes from there."""
    where = problem.where
    if where.table != table or where.row is None or where.row - FIRST_ROW >= len(after):
        return problem
    row = after[where.row - FIRST_ROW]
    if isinstance(row, KeptRow):
        return problem
    return attrs.evolve(problem, where=Where(PASTED, row.number, where.column))
