"""A job as one workbook with a sheet per table.

openpyxl is imported inside the functions: it takes longer to load than a whole job folder takes
to read, and most jobs are folders.
"""

from __future__ import annotations

import datetime
import struct
import warnings
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO
from xml.parsers import expat

from loomwright.loom import InputProblems, Problem, Sheet, Where
from loomwright.storage import limits
from loomwright.storage.assembling import Contents
from loomwright.storage.job_folder.archive import damaged
from loomwright.storage.job_folder.files import source_file
from loomwright.storage.job_folder.xml_scan import look_inside

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

SLIPS = (
    AttributeError, EOFError, IndexError, KeyError, NotImplementedError, OSError, OverflowError,
    RecursionError, SyntaxError, TypeError, ValueError, expat.ExpatError, struct.error,
    zipfile.BadZipFile, zlib.error,
)  # fmt: skip
"""What openpyxl's parsers let through, beside its own exceptions, on damaged workbooks.

A SyntaxError is what both of its XML parsers raise: lxml, where that is installed, and the
standard library's.
"""


def library_failures() -> tuple[type[Exception], ...]:
    """Everything openpyxl raises on damaged or hostile workbooks."""
    from openpyxl.utils import exceptions

    own = (
        exceptions.CellCoordinatesException,
        exceptions.IllegalCharacterError,
        exceptions.InvalidFileException,
        exceptions.NamedRangeException,
        exceptions.ReadOnlyWorkbookException,
        exceptions.SheetTitleException,
        exceptions.WorkbookAlreadySaved,
    )
    return (*own, *SLIPS)


def read_workbook(path: Path) -> Contents:
    """All sheets of a workbook, and what is wrong with it.

    Raises
    ------
    NotFound, StorageFailed
        when there is no such file, or it may not be read.
    """
    with source_file(path) as file:
        try:
            return sheets_in(file, path.name, declared=look_inside(file, path.name))
        except InputProblems as refusal:
            return Contents((), refusal.problems)


def sheets_in(file: BinaryIO, name: str, *, declared: int) -> Contents:
    """The sheets of an open workbook that has been looked through, and what is wrong with them.

    Raises
    ------
    InputProblems
        when it is damaged or holds too much.
    """
    sheets: list[Sheet] = []
    problems: list[Problem] = []
    total = 0
    with _opened(file, name) as book:
        if len(book.sheetnames) < declared:  # openpyxl passes over sheets it cannot find
            raise InputProblems([_sheets_missing(name, declared - len(book.sheetnames))])
        if len(book.worksheets) > limits.MAX_TABLES:
            raise InputProblems([limits.too_many_tables(len(book.worksheets))])
        for worksheet in book.worksheets:
            try:
                sheet = _sheet(worksheet)
            except InputProblems as refusal:
                problems += refusal.problems
                continue
            total += sum(len(cell) for row in (sheet.header, *sheet.rows) for cell in row)
            if total > limits.MAX_TOTAL_BYTES:
                raise InputProblems([limits.too_large(name, limits.MAX_TOTAL_BYTES)])
            if sheet.header or sheet.rows:
                sheets.append(sheet)
    return Contents(tuple(sheets), tuple(problems))


@contextmanager
def _opened(file: BinaryIO, name: str) -> Iterator[Workbook]:
    import openpyxl

    with warnings.catch_warnings():
        # It warns about styles, drop-downs and print settings, none of which we read.
        warnings.simplefilter("ignore")
        try:
            book = openpyxl.load_workbook(file, read_only=True, keep_links=False)
            try:
                yield book
            finally:
                book.close()
        except library_failures() as failure:
            raise damaged(name) from failure


def _sheet(worksheet: Worksheet) -> Sheet:
    name = worksheet.title
    worksheet.reset_dimensions()  # type: ignore[attr-defined]  # what the sheet says of its own size is not believed
    rows: list[tuple[str, ...]] = []
    problems: list[Problem] = []
    blank = scanned = 0
    for number, cells in enumerate(worksheet.iter_rows(), start=1):
        scanned += len(cells)
        if number > limits.MAX_SCANNED_ROWS or scanned > limits.MAX_SCANNED_CELLS:
            raise InputProblems([_too_sparse(name, number)])
        texts = _texts(name, number, cells, problems)
        if not texts:
            blank += 1
            continue
        if number > limits.MAX_ROWS + 1:
            raise InputProblems([limits.too_many_rows(name)])
        if len(texts) > limits.MAX_COLUMNS:
            raise InputProblems([limits.too_many_columns(name, number)])
        rows += [()] * blank
        blank = 0
        rows.append(texts)
    header, *others = rows or [()]
    sheet = Sheet(name, header, tuple(others))
    problems += limits.cell_problems(sheet)
    if problems:
        raise InputProblems(problems)
    return sheet


def _texts(
    name: str, row: int, cells: Sequence[object], problems: list[Problem]
) -> tuple[str, ...]:
    """The row's cells as text, without blank ones at its end."""
    texts: list[str] = []
    for cell in cells:
        value = getattr(cell, "value", None)
        kind = getattr(cell, "data_type", "n")
        if kind == "f":
            problems.append(_formula(name, row, value))
        elif kind == "e" and value is not None:
            what = f'"{str(value)[:40]}" is what the spreadsheet shows for a failed formula'
            problems.append(Problem(Where(name, row), what, "type the value itself"))
        texts.append(_text(value))
    while texts and not texts[-1]:
        texts.pop()
    return tuple(texts)


def _text(value: object) -> str:
    """A cell's value as a person would type it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, datetime.datetime):
        day = value.date().isoformat()
        midnight = value.time() == datetime.time()
        return day if midnight else f"{day} {value.time().isoformat('auto')}"
    return str(value).replace("\r\n", "\n").replace("\r", "\n")


def _formula(name: str, row: int, value: object) -> Problem:
    text = str(getattr(value, "text", value))[:40]
    what = f'"{text}" is a formula' if text.startswith("=") else "there is a formula"
    cure = "put its value in its place (copy, then paste values only)"
    return Problem(Where(name, row), what, cure)


def _sheets_missing(name: str, count: int) -> Problem:
    what = f"{count} of its sheets cannot be found in the file"
    return Problem(Where(name), what, "save the workbook anew from a spreadsheet")


def _too_sparse(name: str, row: int) -> Problem:
    what = "there are too many blank rows or columns to look through"
    return Problem(Where(name, row), what, "copy the filled cells into a new sheet")
