"""A job as sheets of text, and back: the one form that files, workbooks and forms share.

Rules: the first row is the header, matched letter case and outer blanks aside; a blank cell is
"not known"; columns and tables we do not know are kept; a missing optional table is empty.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import attrs

from loomwright.loom import schema
from loomwright.loom.cells import Decimal, Value, cell_text, read_cell
from loomwright.loom.errors import InputProblems, Problem, Where
from loomwright.loom.identity import Point
from loomwright.loom.records import RECORD_OF, About, ForeignTable, Job, Record
from loomwright.loom.schema import Column, Table

MOST_PROBLEMS = 500
"""Problems told of one table; a person mends the first ones and asks again."""
FIRST_ROW = 2
"""The row after the header, as a spreadsheet counts."""


@attrs.frozen
class Sheet:
    """One table as text.

    Attributes
    ----------
    name : table name as it stands on the file or sheet
    header : column names as typed
    rows : cells as typed; row n of the spreadsheet is `rows[n - 2]`
    decimal : the decimal mark the sheet is written with
    """

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...] = ()
    decimal: Decimal = "."


@attrs.frozen
class Readout:
    """What could be made of some sheets.

    Attributes
    ----------
    job : the job as far as it could be read
    problems : all that is wrong with single tables and cells, in sheet order
    unread : names that rows which could not be read stand for, so that nobody misses them twice
    mentioned : all names in such rows, so that nobody calls what they reach unreached
    unopened : tables of which no row could be read, because a required column is missing,
        or not all, because there are too many problems
    """

    job: Job
    problems: tuple[Problem, ...] = ()
    unread: frozenset[str] = frozenset()
    mentioned: frozenset[str] = frozenset()
    unopened: frozenset[str] = frozenset()


def read_sheets(sheets: Iterable[Sheet]) -> Readout:
    """Make a job of sheets; never raises, and tells everything wrong at once."""
    problems: list[Problem] = []
    unread: set[str] = set()
    mentioned: set[str] = set()
    unopened: set[str] = set()
    seen: set[str] = set()
    known: dict[str, Sheet] = {}
    foreign: list[ForeignTable] = []
    for sheet in sheets:
        name = sheet.name.strip().casefold()
        if name in seen:
            problems.append(Problem(Where(name), "the table is there twice", "keep one of them"))
        elif name in RECORD_OF:
            known[name] = sheet
        elif sheet.header or sheet.rows:
            foreign.append(_foreign(sheet))
        seen.add(name)
    tables: dict[str, tuple[Record, ...]] = {}
    for table in schema.TABLES:
        if table.name in known:
            reader = _TableReader(table, known[table.name])
            tables[table.name] = reader.records()
            problems += reader.problems
            unread |= reader.unread
            mentioned |= reader.mentioned
            unopened |= {table.name} if reader.headless else set()
    about = _about(tables.pop("job", None), problems)
    job = Job(about=about, foreign=tuple(foreign), **tables)  # type: ignore[arg-type]
    return Readout(
        job,
        tuple(problems),
        unread=frozenset(unread),
        mentioned=frozenset(mentioned),
        unopened=frozenset(unopened),
    )


def write_sheets(job: Job) -> tuple[Sheet, ...]:
    """A job as sheets: every table of the schema, then the tables we do not know."""
    ours = tuple(_sheet(table, job.rows(table.name)) for table in schema.TABLES)
    return ours + tuple(Sheet(each.name, each.header, each.rows) for each in job.foreign)


def read_record(table: Table, texts: dict[str, str], *, row: int = FIRST_ROW) -> Record:
    """One record from the text of its columns by name; unknown columns are kept.

    Raises
    ------
    InputProblems
        holding everything wrong with the row.
    """
    sheet = Sheet(table.name, tuple(texts), (tuple(texts.values()),))
    reader = _TableReader(table, sheet, passes_blank_rows=False)
    records = reader.records()
    if reader.problems or not records:
        raise InputProblems(
            attrs.evolve(each, where=attrs.evolve(each.where, row=row)) for each in reader.problems
        )
    return attrs.evolve(records[0], row=row)


@attrs.define
class _TableReader:
    table: Table
    sheet: Sheet
    problems: list[Problem] = attrs.field(factory=list)
    unread: set[str] = attrs.field(factory=set)
    mentioned: set[str] = attrs.field(factory=set)
    headless: bool = False
    passes_blank_rows: bool = True

    def records(self) -> tuple[Record, ...]:
        """The rows that can be read."""
        places, extras = self._header()
        missing = [column.name for column in self.table.required_columns if column not in places]
        if missing:
            self.headless = True
            names = ", ".join(f'"{name}"' for name in missing)
            self._note(1, None, f"there is no column {names}", "add it to the first row")
            return ()
        found: list[Record] = []
        for row, cells in enumerate(self.sheet.rows, start=FIRST_ROW):
            if len(self.problems) >= MOST_PROBLEMS:
                self._note(row, None, "there may be more after this row", "mend the others first")
                self.headless = True
                break
            blank = not any(cell.strip() for cell in cells)
            if blank and not self.passes_blank_rows and not self.table.required_columns:
                self._note(row, None, "nothing is filled in", "fill in a field")
            elif not blank or not self.passes_blank_rows:
                record = self._record(row, cells, places, extras)
                if record:
                    found.append(record)
        return tuple(found)

    def _header(self) -> tuple[dict[Column, int], list[tuple[str, int]]]:
        ours = {column.name: column for column in self.table.columns}
        places: dict[Column, int] = {}
        extras: list[tuple[str, int]] = []
        seen: set[str] = set()
        for place, typed in enumerate(self.sheet.header):
            name = typed.strip()
            if not name:
                self._nameless(place)
                continue
            if name.casefold() in seen:
                self._note(1, name, "the column is there twice", "keep one of them, or rename one")
                continue
            seen.add(name.casefold())
            column = ours.get(name.casefold())
            if column:
                places[column] = place
            else:
                extras.append((name, place))
        return places, extras

    def _nameless(self, place: int) -> None:
        for row, cells in enumerate(self.sheet.rows, start=FIRST_ROW):
            if place < len(cells) and cells[place].strip():
                what = f'column {place + 1} has no name but holds "{_short(cells[place])}"'
                self._note(row, None, what, "name the column in the first row")
                return

    def _record(
        self,
        row: int,
        cells: Sequence[str],
        places: dict[Column, int],
        extras: list[tuple[str, int]],
    ) -> Record | None:
        for cell in cells[len(self.sheet.header) :]:
            if cell.strip():
                what = f'"{_short(cell)}" stands beyond the last column'
                self._note(row, None, what, "put quotes around a cell that holds a separator")
        values: dict[str, object] = {}
        complete = True
        for column, place in places.items():
            text = cells[place] if place < len(cells) else ""
            value = self._value(column, text, row)
            if value is not None:
                values[column.attribute] = value
            elif column.required:
                complete = False
        if not complete:
            self._remember(values)
            return None
        extra = tuple((name, cells[place] if place < len(cells) else "") for name, place in extras)
        return RECORD_OF[self.table.name](row=row, extra=extra, **values)

    def _value(self, column: Column, text: str, row: int) -> Value | None:
        where = Where(self.table.name, row, column.name)
        try:
            value = read_cell(column, text, where=where, decimal=self.sheet.decimal)
        except InputProblems as refusal:
            self.problems += refusal.problems
            return None
        if value is None and column.required:
            such = f", such as {column.example}" if column.example else ""
            self._note(row, column.name, "the cell is blank", f"it must be filled in{such}")
        return value

    def _remember(self, values: dict[str, object]) -> None:
        first = values.get(self.table.columns[0].attribute)
        if isinstance(first, str):
            self.unread.add(first)
        for value in values.values():
            if isinstance(value, Point):
                self.mentioned |= {value.owner, str(value)}
            elif isinstance(value, str):
                self.mentioned.add(value)

    def _note(self, row: int, column: str | None, what: str, expected: str) -> None:
        self.problems.append(Problem(Where(self.table.name, row, column), what, expected))


def _about(rows: tuple[Record, ...] | None, problems: list[Problem]) -> About:
    where = Where("job")
    if rows is None:
        problems.append(
            Problem(where, "there is no such table", "add it, with one row and a title")
        )
    elif not rows and not any(each.where.table == "job" for each in problems):
        problems.append(Problem(where, "there is no row in it", "add one row with a title"))
    elif rows and len(rows) > 1:
        extra = Where("job", rows[1].row)
        problems.append(Problem(extra, "there is a second row", "keep one row, about this job"))
    first = rows[0] if rows else None
    return first if isinstance(first, About) else About(title="")


def _foreign(sheet: Sheet) -> ForeignTable:
    """Kept as it is, but rectangular and without blank rows and columns at its end."""
    rows = [sheet.header, *sheet.rows]
    while len(rows) > 1 and not any(rows[-1]):
        rows.pop()
    width = max(place for row in rows for place, cell in enumerate(("", *row)) if cell or not place)
    header, *others = ((row + ("",) * width)[:width] for row in rows)
    return ForeignTable(sheet.name, header, tuple(others))


def _sheet(table: Table, records: Sequence[Record]) -> Sheet:
    extras = list(dict.fromkeys(name for record in records for name, _ in record.extra))
    header = tuple(column.name for column in table.columns) + tuple(extras)
    rows = []
    for record in records:
        known = dict(record.extra)
        cells = [cell_text(getattr(record, column.attribute)) for column in table.columns]
        rows.append(tuple(cells + [cell_text(known.get(name)) for name in extras]))
    return Sheet(table.name, header, tuple(rows))


def _short(text: str, limit: int = 40) -> str:
    return text if len(text) <= limit else text[: limit - 1] + "…"
