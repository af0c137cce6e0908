"""The rows of a table as a list: which columns are worth showing, which rows hold some words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from loomwright.loom import Sheet, schema
from loomwright.services.kept_rows import KeptRow

__all__ = ["as_sheet", "found_rows", "used_columns"]


def used_columns(table: str, rows: Iterable[KeptRow]) -> tuple[str, ...]:
    """Columns that must be filled in and those that any row fills, own ones last."""
    used = {name for row in rows for name, text in row.cells.items() if text.strip()}
    used |= {column.name for column in schema.table(table).required_columns}
    return tuple(name for name in _columns(table, rows) if name in used)


def found_rows(rows: Sequence[KeptRow], find: str) -> tuple[KeptRow, ...]:
    """Rows that hold every word, figures too, in any cell and in any capitals.

    Parameters
    ----------
    find : words with blanks between; without any, every row is found
    """
    words = find.casefold().split()
    return tuple(
        row
        for row in rows
        if all(word in "\n".join(row.cells.values()).casefold() for word in words)
    )


def as_sheet(table: str, rows: Sequence[KeptRow]) -> Sheet:
    """The rows as a sheet with every column of the table, then the person's own."""
    header = _columns(table, rows)
    cells = tuple(tuple(row.cells.get(name, "") for name in header) for row in rows)
    return Sheet(table, header, cells)


def _columns(table: str, rows: Iterable[KeptRow]) -> tuple[str, ...]:
    ours = (column.name for column in schema.table(table).columns)
    return tuple(dict.fromkeys([*ours, *(name for row in rows for name in row.cells)]))
