"""Reading of the package's own tables: one CSV per table in the folder `tables`.

A row is read when it is asked for, never at import, and kept.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

import attrs

from loomwright.loom.errors import NotFound

MOST_CHOICES = 8


@attrs.frozen
class Row:
    """One row of a table, cells as typed.

    Attributes
    ----------
    table : name of the table, without `.csv`
    line : line as a spreadsheet counts it (the header is line 1)
    cells : column name to text
    """

    table: str
    line: int
    cells: Mapping[str, str]

    def text(self, column: str) -> str:
        """The cell as text, blank when nothing stands there."""
        return self.cells[column]

    def number(self, column: str) -> float:
        """The cell as a number."""
        return float(self.cells[column])

    def number_or_none(self, column: str) -> float | None:
        """The cell as a number, or None when it is blank."""
        return float(self.cells[column]) if self.cells[column] else None

    def whole(self, column: str) -> int:
        """The cell as a whole number."""
        return int(self.cells[column])

    def words(self, column: str) -> tuple[str, ...]:
        """The cell as words parted by blanks."""
        return tuple(self.cells[column].split())


@cache
def table_names() -> tuple[str, ...]:
    """Names of all tables, sorted."""
    folder = files(__package__) / "tables"
    names = (entry.name for entry in folder.iterdir())
    return tuple(sorted(name.removesuffix(".csv") for name in names if name.endswith(".csv")))


@cache
def rows(table: str) -> tuple[Row, ...]:
    """All rows of a table, in file order.

    Raises
    ------
    NotFound : there is no such table
    """
    if table not in table_names():
        raise not_found("table", table, table_names(), where="standards")
    text = (files(__package__) / "tables" / f"{table}.csv").read_text(encoding="utf-8")
    reader = csv.DictReader(text.splitlines())
    return tuple(Row(table, line, cells) for line, cells in enumerate(reader, start=2))


def not_found(what: str, got: str, known: Iterable[str], *, where: str) -> NotFound:
    """The error for a name that is not in a table, with the nearest names first."""
    names = sorted(set(known))
    by_letters = {name.casefold(): name for name in reversed(names)}
    close = get_close_matches(got.casefold(), by_letters, n=MOST_CHOICES, cutoff=0.4)
    nearest = [by_letters[name] for name in close]
    chosen = [*nearest, *(name for name in names if name not in nearest)][:MOST_CHOICES]
    left = len(names) - len(chosen)
    more = f" and {left} more" if left else ""
    return NotFound(
        f'there is no {what} "{got}"',
        where=where,
        expected=f"known, nearest first: {', '.join(chosen)}{more}",
    )
