"""Enter one row of a job: read it, settle it with what others wrote, see that the job holds."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

import attrs

from loomwright.loom import InputProblems, NotFound, Problem, read_record, schema
from loomwright.loom.errors import Conflict
from loomwright.loom.sheets import FIRST_ROW
from loomwright.services.kept_rows import Cells, KeptRow, Rows, merged
from loomwright.services.newly_wrong import newly_wrong
from loomwright.services.ports import JobRef, Jobs

NUMBERED = ("wires", "readings", "proof", "crimps", "tasks", "offers")
"""Tables whose rows get the next free name when they come without one."""

_WITH_NUMBER = re.compile(r"(.*?)(\d+)\Z")


@attrs.frozen
class Bench:
    """Where jobs are kept, as a whole and row by row: two sides of one storage."""

    jobs: Jobs
    rows: Rows


@attrs.frozen
class Entered:
    """A row that was kept.

    Attributes
    ----------
    key : under which it is kept
    cells : as it stands now
    warnings : what deserves a look since then
    """

    key: str
    cells: Cells
    warnings: tuple[Problem, ...] = ()


def enter(
    bench: Bench,
    ref: JobRef,
    table: str,
    typed: Cells,
    *,
    key: str | None = None,
    before: Cells | None = None,
    anyhow: bool = False,
) -> Entered:
    """Add a row, or change the one of that key.

    A row without its own name gets the next free one. With `key`, `before` is what the person had
    on the screen: other fields that somebody changed meanwhile stay.

    Parameters
    ----------
    typed : text by column; columns that are not mentioned stay as they are
    anyhow : keep it although the job does not hold together with it yet

    Raises
    ------
    InputProblems
        holding all that is wrong with the row, or what would no longer hold together.
    Conflict
        when another changed the same field, or took the row away.
    NotFound, StorageFailed
        when the job is not kept, or the storage fails.
    """
    with bench.rows.held(ref):
        kept = bench.rows.rows(ref, table)
        if key is None:
            cells = dict(_named(kept, table, typed))
        else:
            now = _standing(kept, table, key)
            cells = merged(
                before=now if before is None else before, now=now, typed=typed, where=table
            )
        numbers = [row.key for row in kept]
        place = numbers.index(key) if key in numbers else len(kept)
        read_record(schema.table(table), dict(cells), row=FIRST_ROW + place)
        _, told = bench.jobs.inspect(ref)
        found = bench.rows.put(ref, table, key, cells)
        warnings = _held_together(bench.jobs, ref, told, anyhow=anyhow)
    return Entered(found, cells, warnings)


def enter_all(bench: Bench, ref: JobRef, table: str, rows: Sequence[Cells]) -> tuple[Problem, ...]:
    """Add rows that belong together, all of them or none; what deserves a look since then.

    Raises
    ------
    InputProblems
        holding all that is wrong with any row, or what would no longer hold together.
    NotFound, StorageFailed
        when the job is not kept, or the storage fails.
    """
    with bench.rows.held(ref):
        first = FIRST_ROW + len(bench.rows.rows(ref, table))
        problems: list[Problem] = []
        for number, cells in enumerate(rows, start=first):
            try:
                read_record(schema.table(table), dict(cells), row=number)
            except InputProblems as refusal:
                problems += refusal.problems
        if problems:
            raise InputProblems(problems)
        _, told = bench.jobs.inspect(ref)
        for cells in rows:
            bench.rows.put(ref, table, None, cells)
        return _held_together(bench.jobs, ref, told, anyhow=False)


def take_away(bench: Bench, ref: JobRef, table: str, key: str, *, anyhow: bool = False) -> None:
    """Take a row away.

    Raises
    ------
    InputProblems
        when other rows speak of it, unless `anyhow`.
    NotFound
        when the row is gone already, or the job is not kept.
    """
    with bench.rows.held(ref):
        _, told = bench.jobs.inspect(ref)
        bench.rows.remove(ref, table, key)
        _held_together(bench.jobs, ref, told, anyhow=anyhow)


def next_name(names: Iterable[str], first: str) -> str:
    """The name after the highest number that names like `first` carry: `R12` after `R11`."""
    stem = _parts(first)[0]
    numbers = [
        int(number) for name, number in map(_parts, names) if name == stem and number.isdigit()
    ]
    return f"{stem}{max(numbers) + 1}" if numbers else first


def row_of(rows: Iterable[KeptRow], column: str, name: str) -> KeptRow:
    """The first row whose column holds that name.

    Raises
    ------
    NotFound
        when none does.
    """
    for row in rows:
        if row.cells.get(column, "").strip() == name:
            return row
    raise NotFound(f'there is no {column} "{name}"')


def _parts(name: str) -> tuple[str, str]:
    found = _WITH_NUMBER.match(name)
    return (found.group(1), found.group(2)) if found else (name, "")


def _named(kept: tuple[KeptRow, ...], table: str, typed: Cells) -> Mapping[str, str]:
    key = schema.table(table).key
    if table not in NUMBERED or typed.get(key, "").strip():
        return typed
    names = [row.cells.get(key, "") for row in kept]
    return {**typed, key: next_name(names, schema.table(table).column(key).example)}


def _standing(kept: tuple[KeptRow, ...], table: str, key: str) -> Cells:
    for row in kept:
        if row.key == key:
            return row.cells
    raise Conflict("somebody else took this row away meanwhile", where=table)


def _held_together(
    jobs: Jobs, ref: JobRef, told: tuple[Problem, ...], *, anyhow: bool
) -> tuple[Problem, ...]:
    """What is new among the warnings.

    Raises
    ------
    InputProblems
        holding what is newly wrong, unless `anyhow`.
    """
    _, found = jobs.inspect(ref)
    new = newly_wrong(told, found)
    grave = [each for each in new if not each.warning]
    if grave and not anyhow:
        raise InputProblems(grave)
    return tuple(new)
