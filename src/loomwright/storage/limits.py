"""How large a job may be. Generous for a car's loom; a bound on time and memory for all else."""

from __future__ import annotations

import re
from collections.abc import Iterable

from loomwright.loom import Problem, Sheet, Where

MAX_ROWS = 5_000
"""Rows in one table."""
MAX_COLUMNS = 200
"""Columns in one table."""
MAX_CELL_CHARACTERS = 10_000
"""Characters in one cell."""
MAX_TABLES = 60
"""Tables, sheets or table files in one job."""
MAX_TABLE_BYTES = 5_000_000
"""Size of one table's file."""
MAX_TOTAL_BYTES = 20_000_000
"""Size of all tables together, unpacked."""
MAX_ZIP_ENTRIES = 5_000
"""Entries in a packed job, photos included."""
MAX_CARRIED_BYTES = 500_000_000
"""Size of what is carried over when a packed job is rewritten, photos included."""
MAX_PHOTO_BYTES = 40_000_000
"""Size of one photo's file."""
MAX_SCANNED_ROWS = 100_000
"""Rows of a worksheet looked at, blank ones included."""
MAX_SCANNED_CELLS = 2_000_000
"""Cells of a worksheet looked at, blank ones included."""
MAX_XML_DEPTH = 40
"""Nesting of the XML inside a workbook."""
MAX_XML_ELEMENTS = 400_000
"""Elements in all XML of a workbook."""
MAX_NUMBER_FORMATS = 1_000
"""Number formats in a workbook; spreadsheets stop at some 250."""
MAX_NUMBER_FORMAT_CHARACTERS = 255
"""Characters in one number format."""

TABLE_NAME = re.compile(r"[^\W_][\w -]{0,30}\Z")
"""A table's name: what a file and a worksheet can both be called."""

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def cell_problems(sheet: Sheet) -> list[Problem]:
    """Everything in a sheet that one of the job's forms cannot hold, or that is too much."""
    problems: list[Problem] = []
    if not TABLE_NAME.match(sheet.name):
        problems.append(
            Problem(
                Where("tables"),
                f'"{sheet.name[:40]}" cannot be the name of a table',
                "use up to 31 letters, digits, blanks, - and _, starting with a letter or digit",
            )
        )
    if len(sheet.rows) > MAX_ROWS:
        problems.append(too_many_rows(sheet.name))
    if len(sheet.header) > MAX_COLUMNS:
        problems.append(too_many_columns(sheet.name, 1))
    for row, cells in enumerate([sheet.header, *sheet.rows], start=1):
        problems += _row_problems(sheet, row, cells)
    return problems


def sheets_problems(sheets: Iterable[Sheet]) -> list[Problem]:
    """`cell_problems` of several sheets, and their number and size together."""
    problems: list[Problem] = []
    names: set[str] = set()
    count = size = 0
    for sheet in sheets:
        count += 1
        name = sheet.name.casefold()
        if name in names:
            where = Where(sheet.name)
            problems.append(Problem(where, "the table is there twice", "keep one of them"))
        names.add(name)
        size += sum(len(cell) for row in [sheet.header, *sheet.rows] for cell in row)
        problems += cell_problems(sheet)
    if count > MAX_TABLES:
        problems.append(too_many_tables(count))
    if size > MAX_TOTAL_BYTES:
        problems.append(too_large("tables", MAX_TOTAL_BYTES))
    return problems


def too_many_rows(table: str) -> Problem:
    """The problem of a table with too many rows."""
    where = Where(table, MAX_ROWS + 2)
    what = f"there are more than {MAX_ROWS} rows"
    return Problem(where, what, "delete those that are not needed")


def too_many_columns(table: str, row: int) -> Problem:
    """The problem of a row with too many cells."""
    what = f"there are more than {MAX_COLUMNS} columns"
    return Problem(Where(table, row), what, "delete the columns that are not needed")


def too_many_tables(count: int) -> Problem:
    """The problem of a job with too many tables."""
    what = f"there are {count} tables, more than {MAX_TABLES}"
    return Problem(Where("tables"), what, "move those that are not the job's elsewhere")


def too_large(table: str, limit: int) -> Problem:
    """The problem of a file that is too large."""
    return Problem(
        Where(table),
        f"it holds more than {limit // 1_000_000} MB",
        "a job holds tables only; keep pictures and recordings beside it",
    )


def _row_problems(sheet: Sheet, row: int, cells: tuple[str, ...]) -> list[Problem]:
    problems: list[Problem] = []
    for place, cell in enumerate(cells):
        found = _FORBIDDEN.search(cell)
        if not found and len(cell) <= MAX_CELL_CHARACTERS:
            continue
        name = sheet.header[place].strip() if row > 1 and place < len(sheet.header) else ""
        where = Where(sheet.name, row, name[:40] or None)
        if found:
            what = f"the cell holds a control character (U+{ord(found[0]):04X})"
            problems.append(Problem(where, what, "type the text anew"))
        else:
            what = f"the cell holds {len(cell)} characters"
            cure = f"keep to {MAX_CELL_CHARACTERS}, and longer texts in a file beside the job"
            problems.append(Problem(where, what, cure))
    return problems
