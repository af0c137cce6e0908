"""What pasted rows would add and change in a table."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Hashable, Iterator, Sequence

import attrs

from loomwright.loom import InputProblems, Problem, Where, read_cell, read_record, schema
from loomwright.loom.schema import Column, Table
from loomwright.services.entering import NUMBERED, next_name
from loomwright.services.kept_rows import Cells, KeptRow, filled
from loomwright.services.pasted_text import MOST_ROWS, PASTED, Pasted, PastedRow

__all__ = ["CellChange", "ChangedRow", "NewRow", "PastePlan", "planned_paste"]


@attrs.frozen
class CellChange:
    """One cell that would change; blank where nothing stands."""

    column: str
    was: str
    becomes: str


@attrs.frozen
class NewRow:
    """A row that would be added; `number` is its row in the text."""

    number: int
    cells: Cells


@attrs.frozen(kw_only=True)
class ChangedRow:
    """A row that would change.

    Attributes
    ----------
    number : its row in the text
    key : under which it is kept
    name : what it was recognised by
    changes : cell by cell
    cells : the whole row as it would stand
    """

    number: int
    key: str
    name: str
    changes: tuple[CellChange, ...]
    cells: Cells


@attrs.frozen(kw_only=True)
class PastePlan:
    """What pasting would do.

    Attributes
    ----------
    pasted : the text as it was read
    new, changed : in the order of the text
    same : rows that stand there already as they are
    problems : what is wrong with the text itself, by row
    """

    pasted: Pasted
    new: tuple[NewRow, ...]
    changed: tuple[ChangedRow, ...]
    same: int
    problems: tuple[Problem, ...]

    @property
    def table(self) -> str:
        """Name of the table."""
        return self.pasted.table

    @property
    def mark(self) -> str:
        """Another one for every other plan, to notice what others changed meanwhile."""
        told = repr((self.table, self.new, self.changed, self.same))
        return hashlib.sha256(told.encode()).hexdigest()[:16]


def planned_paste(pasted: Pasted, kept_rows: Sequence[KeptRow]) -> PastePlan:
    """What pasting would add and change.

    A row is the one that stands there when both have the same name; in a table without names,
    when all columns that must be filled in are the same. Columns that the text does not have stay
    as they are; a blank cell of the text makes the cell blank.

    Parameters
    ----------
    pasted : the text
    kept_rows : the table's rows as they stand, in their order
    """
    planner = _Planner(schema.table(pasted.table), kept_rows, pasted)
    for row in pasted.rows:
        planner.take(row)
    problems = [*pasted.problems, *planner.problems()]
    return PastePlan(
        pasted=pasted,
        new=tuple(planner.new),
        changed=tuple(planner.changed),
        same=planner.same,
        problems=tuple(sorted(problems, key=lambda each: each.where.row or 0)),
    )


class _Planner:
    """Holds rows against those that stand there, one after the other."""

    def __init__(self, table: Table, kept: Sequence[KeptRow], pasted: Pasted) -> None:
        self.table = table
        self.pasted = pasted
        self.new: list[NewRow] = []
        self.changed: list[ChangedRow] = []
        self.same = 0
        self._columns = {column.name: column for column in table.columns}
        self._kept = len(kept)
        cells = [*(row.cells for row in kept), *(row.cells for row in pasted.rows)]
        self._names = {each.get(table.key, "").strip() for each in cells}
        self._first: dict[Hashable, int] = {}
        self._wrong: list[Problem] = []
        telling = () if table.single_row else table.required_columns
        self._telling = (table.column(table.key),) if table.key else telling
        # The second row of the same name is the second that stands there.
        self._standing: dict[Hashable, list[KeptRow]] = defaultdict(list)
        for row in reversed(kept):
            self._standing[self._told_apart(row.cells)].append(row)

    def take(self, row: PastedRow) -> None:
        """Note what a row would do."""
        identity = self._told_apart(row.cells)
        there = self._standing.get(identity)
        if there:
            self._hold_against(row, there.pop())
        else:
            self._add(row, identity)
        self._first.setdefault(identity, row.number)

    def problems(self) -> list[Problem]:
        """What is wrong with new and changed rows, and with their number."""
        missing = [column.name for column in self._missing()] if self.new else []
        told = {(each.where.row, each.where.column) for each in self.pasted.problems}
        rows: list[NewRow | ChangedRow] = [*self.new, *self.changed]
        blank = [
            each
            for row in rows
            for each in _blank(self.table, row)
            if each.where.column not in missing and (each.where.row, each.where.column) not in told
        ]
        found = [*map(self._told_missing, missing), *blank, *self._wrong]
        if self._kept + len(self.new) > MOST_ROWS:
            what = f"with it, {self.table.name} would have more than {MOST_ROWS} rows"
            found.append(Problem(Where(PASTED), what, "leave out what is not needed"))
        return found

    def _missing(self) -> Iterator[Column]:
        """Columns that new rows need and the text does not have."""
        for column in self.table.required_columns:
            given_out = column.name == self.table.key and self.table.name in NUMBERED
            if column.name not in self.pasted.columns and not given_out:
                yield column

    def _told_missing(self, name: str) -> Problem:
        count = len(self.new)
        rows = "1 row is new" if count == 1 else f"{count} rows are new"
        return Problem(
            Where(PASTED, self.new[0].number),
            f'there is no column "{name}", and {rows}',
            "add the column, with its name at its head",
        )

    def _hold_against(self, row: PastedRow, there: KeptRow) -> None:
        changes = tuple(
            CellChange(name, there.cells.get(name, ""), text)
            for name, text in row.cells.items()
            if not self._alike(name, there.cells.get(name, ""), text)
        )
        if not changes:
            self.same += 1
            return
        becomes = {change.column: change.becomes for change in changes}
        name = " ".join(there.cells.get(column.name, "") for column in self._telling)
        self.changed.append(ChangedRow(
            number=row.number, key=there.key, name=name, changes=changes,
            cells=filled({**there.cells, **becomes}),
        ))  # fmt: skip

    def _add(self, row: PastedRow, identity: Hashable) -> None:
        key = self.table.key
        cells = dict(row.cells)
        if key and not cells.get(key, "").strip():
            if self.table.name in NUMBERED:
                cells = {**cells, key: self._next_name()}
        elif key and identity in self._first:
            what = f'"{cells[key].strip()}" is there twice, first in row {self._first[identity]}'
            where = Where(PASTED, row.number, key)
            self._wrong.append(Problem(where, what, "give each row its own name"))
        self.new.append(NewRow(row.number, cells))

    def _next_name(self) -> str:
        name = next_name(self._names, self.table.column(self.table.key).example)
        self._names = {name}  # the highest of all: the next one is counted from it alone
        return name

    def _told_apart(self, cells: Cells) -> Hashable:
        return tuple(self._value(each.name, cells.get(each.name, "")) for each in self._telling)

    def _alike(self, name: str, was: str, becomes: str) -> bool:
        if was.strip() == becomes.strip():
            return True
        return self._value(name, was) == self._value(name, becomes)

    def _value(self, name: str, text: str) -> Hashable:
        """What the text of a cell means, so that 0.50 and 0.5 are the same."""
        column = self._columns.get(name)
        if column is None or column.kind == "text":
            return text.strip()
        try:
            return read_cell(column, text, where=Where(PASTED))
        except InputProblems:
            return text.strip()


def _blank(table: Table, row: NewRow | ChangedRow) -> Iterator[Problem]:
    """Cells that must be filled in and are not, in the words of every reader of rows."""
    lacking = {c.name for c in table.required_columns if not row.cells.get(c.name, "").strip()}
    if lacking:
        try:
            read_record(table, {**dict.fromkeys(lacking, ""), **row.cells}, row=row.number)
        except InputProblems as refusal:
            for each in refusal.problems:
                if each.where.column in lacking:
                    yield attrs.evolve(each, where=attrs.evolve(each.where, table=PASTED))
