"""One CSV table: from bytes to a sheet and back."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable

from loomwright.loom import InputProblems, Problem, Sheet, Where
from loomwright.storage import limits
from loomwright.storage.assembling import KNOWN_TABLES, Contents

_DECIMAL_COMMA = re.compile(r"\s*[+-]?\d+,\d+\s*\Z", re.ASCII)
SAVE_AS = 'save the sheet as "CSV UTF-8"'


def read_tables(tables: Iterable[tuple[str, bytes]]) -> Contents:
    """All tables by name, and what is wrong with their files.

    A table we do not know that cannot be read is only warned about: it is somebody else's.
    """
    sheets: list[Sheet] = []
    problems: list[Problem] = []
    total = 0
    for name, data in tables:
        total += len(data)
        if total > limits.MAX_TOTAL_BYTES:
            problems.append(limits.too_large("tables", limits.MAX_TOTAL_BYTES))
            break
        try:
            sheets.append(sheet_from_bytes(name, data))
        except InputProblems as refusal:
            known = name.casefold() in KNOWN_TABLES
            problems += refusal.problems if known else [_left_alone(name, refusal.problems[0])]
    return Contents(tuple(sheets), tuple(problems))


def sheet_from_bytes(name: str, data: bytes) -> Sheet:
    """Read UTF-8 with or without a byte-order mark, separated by commas or semicolons.

    Raises
    ------
    InputProblems
        when it is too large, in another encoding, or not CSV.
    """
    if len(data) > limits.MAX_TABLE_BYTES:
        raise InputProblems([limits.too_large(name, limits.MAX_TABLE_BYTES)])
    text = _decoded(name, data)
    delimiter = _delimiter(text)
    rows = _rows(name, text, delimiter)
    header, *others = rows or [()]
    comma = delimiter == ";" and any(_DECIMAL_COMMA.match(cell) for row in others for cell in row)
    sheet = Sheet(name, header, tuple(others), "," if comma else ".")
    problems = limits.cell_problems(sheet)
    if problems:
        raise InputProblems(problems)
    return sheet


def bytes_from_sheet(sheet: Sheet) -> bytes:
    """Write commas, quotes where needed, UTF-8, one line feed per row."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(sheet.header)
    writer.writerows(sheet.rows)
    return out.getvalue().encode("utf-8")


def _decoded(name: str, data: bytes) -> str:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as failure:
        row = data.count(b"\n", 0, failure.start) + 1
        what = f"the byte 0x{data[failure.start]:02X} is not UTF-8 text"
        raise InputProblems([Problem(Where(name, row), what, SAVE_AS)]) from failure
    if "\0" in text:
        row = text.count("\n", 0, text.index("\0")) + 1
        what = "there is a NUL byte, so this is not UTF-8 text"
        raise InputProblems([Problem(Where(name, row), what, SAVE_AS)])
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _delimiter(text: str) -> str:
    """The separator of the header; text between quotes does not count."""
    header = re.sub(r'"[^"]*"', "", text[: text.find("\n")] if "\n" in text else text)
    return ";" if header.count(";") > header.count(",") else ","


def _rows(name: str, text: str, delimiter: str) -> list[tuple[str, ...]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[tuple[str, ...]] = []
    try:
        for cells in reader:
            if len(rows) > limits.MAX_ROWS:
                raise InputProblems([limits.too_many_rows(name)])
            if len(cells) > limits.MAX_COLUMNS and len("".join(cells[limits.MAX_COLUMNS :])):
                raise InputProblems([limits.too_many_columns(name, len(rows) + 1)])
            rows.append(tuple(cells[: limits.MAX_COLUMNS]))
    except csv.Error as failure:
        raise InputProblems([_not_csv(name, len(rows) + 1)]) from failure
    return rows


def _left_alone(name: str, reason: Problem) -> Problem:
    what = f"it is left as it is, for {reason.what}"
    return Problem(Where(f"{name}.csv", reason.where.row), what, reason.expected, warning=True)


def _not_csv(name: str, row: int) -> Problem:
    # One message for both: where the csv module gives up on a missing quote depends on a limit
    # that any other library in the process may have changed.
    what = "the quotes in this row do not match, or a cell is far too long"
    cure = 'put quotes around the whole cell, and write "" for a quote in it'
    return Problem(Where(name, row), what, cure)
