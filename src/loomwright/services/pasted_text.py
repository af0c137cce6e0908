"""Text copied out of a spreadsheet, as rows of a table: separator, heads and decimal mark found."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence

import attrs

from loomwright.loom import InputProblems, Problem, Where, cell_text, read_cell, schema
from loomwright.loom.cells import Decimal
from loomwright.loom.schema import Column, Table
from loomwright.services.kept_rows import Cells

__all__ = ["MOST_ROWS", "PASTED", "Pasted", "PastedRow", "read_pasted"]

PASTED = "pasted text"
"""How problems call it; its rows count from 1, blank ones included."""
MOST_ROWS = 5_000
"""Rows in one table."""
SEPARATORS = {"\t": "tabs", ";": "semicolons", ",": "commas"}

_NUMERIC = ("number", "integer", "measured", "temperature")
_DECIMAL_COMMA = re.compile(r"\s*[+-]?\d+,\d+\s*\Z", re.ASCII)
_GROUPED = re.compile(r"\s*[+-]?[1-9]\d{0,2},\d{3}\s*\Z", re.ASCII)
_Row = tuple[int, tuple[str, ...]]


@attrs.frozen
class PastedRow:
    """One row; its cells are written as a job writes them, each column of the text among them."""

    number: int
    cells: Cells


@attrs.frozen(kw_only=True)
class Pasted:
    """What could be made of the text.

    Attributes
    ----------
    table : that it was pasted for
    separator : `tabs`, `semicolons` or `commas`
    headed : whether its first row names the columns
    columns : in the order of the text
    own : those of them that the table does not have
    rows : without blank ones
    decimal : the mark that numbers were read with
    problems : all that is wrong with single cells and columns, by row
    """

    table: str
    separator: str
    headed: bool
    columns: tuple[str, ...]
    own: tuple[str, ...]
    rows: tuple[PastedRow, ...]
    decimal: Decimal
    problems: tuple[Problem, ...] = ()


def read_pasted(text: str, table: str, *, own: Iterable[str] = ()) -> Pasted:
    """Read rows with tabs, semicolons or commas between cells, with a row of heads or without.

    Without heads, the cells are the table's columns in their order.

    Parameters
    ----------
    text : as pasted
    table : name of the table
    own : the person's own columns that the table has already; heads are matched letter case aside

    Raises
    ------
    InputProblems
        when there are no rows in it, too many, or quotes that do not match.
    """
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    separator = _separator(plain)
    rows = _rows(plain, separator)
    asked = schema.table(table)
    headed = bool(rows) and _names_columns(rows[0][1], asked)
    body = rows[1:] if headed else rows
    if not body:
        raise _refusal("there are no rows in it", "copy rows of the spreadsheet and paste them")
    if len(body) > MOST_ROWS:
        raise _refusal(f"there are more than {MOST_ROWS} rows", "paste them in parts")
    reader = _Reader(asked, body)
    names = reader.headed(*rows[0], own) if headed else reader.unheaded()
    decimal = _decimal(separator, body, [reader.known.get(name) for name in names])
    found = tuple(reader.row(number, cells, names, decimal) for number, cells in body)
    columns = tuple(filter(None, names))
    return Pasted(
        table=table,
        separator=SEPARATORS[separator],
        headed=headed,
        columns=columns,
        own=tuple(name for name in columns if name not in reader.known),
        rows=found,
        decimal=decimal,
        problems=tuple(sorted(reader.problems, key=lambda each: each.where.row or 0)),
    )


@attrs.define
class _Reader:
    table: Table
    body: Sequence[_Row]
    problems: list[Problem] = attrs.field(factory=list)
    known: dict[str, Column] = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        self.known = {column.name: column for column in self.table.columns}

    def headed(self, number: int, heads: Sequence[str], own: Iterable[str]) -> list[str]:
        """The column of each place; a place without a column is blank."""
        spelled = {name.casefold(): name for name in own}
        names: list[str] = []
        taken: set[str] = set()
        for place, head in enumerate(heads):
            typed = head.strip()
            ours = _folded(head) if _folded(head) in self.known else typed
            name = spelled.get(typed.casefold(), ours)
            if name.casefold() in taken:
                self._note(number, name, "the column is there twice", "keep one of them")
                name = ""
            elif not name:
                self._nameless(place)
            taken |= {name.casefold()} - {""}
            names.append(name)
        return names

    def unheaded(self) -> list[str]:
        """The table's columns, as many as are filled in any row."""
        widest = max(len(_trimmed(cells)) for _, cells in self.body)
        return [column.name for column in self.table.columns][:widest]

    def row(
        self, number: int, cells: Sequence[str], names: Sequence[str], decimal: Decimal
    ) -> PastedRow:
        """One row with its cells read; those that cannot be read stay as they are."""
        for text in filter(str.strip, cells[len(names) :]):
            cure = "put quotes around a cell that holds a separator, or name its column"
            self._note(number, None, f'"{text.strip()}" stands beyond the last column', cure)
        padded = [*cells, *[""] * (len(names) - len(cells))]
        return PastedRow(
            number,
            {
                name: self._text(number, name, text, decimal)
                for name, text in zip(names, padded, strict=False)
                if name
            },
        )

    def _text(self, number: int, name: str, text: str, decimal: Decimal) -> str:
        column = self.known.get(name)
        if column is None:
            return text
        try:
            value = read_cell(column, text, where=Where(PASTED, number, name), decimal=decimal)
        except InputProblems as refusal:
            self.problems += refusal.problems
            return text
        return cell_text(value) if decimal == "," and column.kind in _NUMERIC else text

    def _nameless(self, place: int) -> None:
        for number, cells in self.body:
            if place < len(cells) and cells[place].strip():
                what = f'column {place + 1} has no name but holds "{cells[place].strip()}"'
                self._note(number, None, what, "name the column in the first row")
                return

    def _note(self, row: int, column: str | None, what: str, expected: str) -> None:
        self.problems.append(Problem(Where(PASTED, row, column), what, expected))


def _separator(text: str) -> str:
    """What stands between the cells of the first row; text between quotes does not count."""
    bare = re.sub(r'"[^"]*"', "", text).lstrip("\n")
    first = bare.partition("\n")[0]
    if "\t" in first:
        return "\t"
    return ";" if first.count(";") > first.count(",") else ","


def _rows(text: str, separator: str) -> list[_Row]:
    """Rows that are not blank, with their numbers."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    found: list[_Row] = []
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            if any(cell.strip() for cell in cells):
                found.append((number, tuple(cells)))
    except csv.Error as failure:
        what = "the quotes in this row do not match, or a cell is far too long"
        cure = 'put quotes around the whole cell, and write "" for a quote in it'
        raise InputProblems([Problem(Where(PASTED, number + 1), what, cure)]) from failure
    return found


def _names_columns(cells: Sequence[str], table: Table) -> bool:
    """Whether a row is heads: the names that rows are told apart by, or mostly names."""
    names = {column.name for column in table.columns}
    found = {_folded(cell) for cell in cells if cell.strip()}
    telling = {table.key} if table.key else {column.name for column in table.required_columns}
    return telling <= found or 2 * len(found & names) > len(found)


def _decimal(separator: str, body: Iterable[_Row], columns: Sequence[Column | None]) -> Decimal:
    """The decimal mark of the text.

    Semicolons are what spreadsheets write where the comma is the decimal mark. Tabs stand
    everywhere, so only a number that is no group of thousands tells.
    """
    if separator == ",":
        return "."
    cells = _any_cells(body) if separator == ";" else _number_cells(body, columns)
    return "," if any(_DECIMAL_COMMA.match(cell) for cell in cells) else "."


def _any_cells(body: Iterable[_Row]) -> Iterator[str]:
    return (cell for _, cells in body for cell in cells)


def _number_cells(body: Iterable[_Row], columns: Sequence[Column | None]) -> Iterator[str]:
    for _, cells in body:
        for cell, column in zip(cells, columns, strict=False):
            if column and column.kind in _NUMERIC and not _GROUPED.match(cell):
                yield cell


def _trimmed(cells: Sequence[str]) -> Sequence[str]:
    """Without the blank cells at its end."""
    end = max(place for place, cell in enumerate(cells, start=1) if cell.strip())
    return cells[:end]


def _folded(head: str) -> str:
    return "_".join(head.casefold().split())


def _refusal(what: str, expected: str) -> InputProblems:
    return InputProblems([Problem(Where(PASTED), what, expected)])
