"""Writing a workbook, with drop-downs and notes so that it can be filled in by hand.

openpyxl is imported inside the functions; see `workbook`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from loomwright.loom import Sheet, schema
from loomwright.loom.schema import Column, Table
from loomwright.storage import limits
from loomwright.storage.job_folder.files import replaced_file

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

_WIDTHS = {"text": 26, "face": 26, "state": 30, "condition": 26, "identifiers": 20}
_USUAL_WIDTH = 14
_NUMERIC = ("number", "integer", "measured", "temperature")
_FORMULA_STARTS = ("=", "+", "-", "@")


def write_workbook(path: Path, sheets: Sequence[Sheet]) -> None:
    """Write one worksheet per sheet, with frozen headers, notes and drop-downs for choices.

    Raises
    ------
    StorageFailed
        when the disk, a lock or a permission stops it.
    """
    import openpyxl

    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    tables = {table.name: table for table in schema.TABLES}
    for sheet in sheets:
        worksheet = book.create_sheet(sheet.name)
        table = tables.get(sheet.name)
        _fill(worksheet, sheet, table)
        if table:
            _dress(worksheet, table)
    with replaced_file(path) as target:
        book.save(target)


def _fill(worksheet: Worksheet, sheet: Sheet, table: Table | None) -> None:
    columns = {column.name: column for column in table.columns} if table else {}
    for place, name in enumerate(sheet.header, start=1):
        _put_text(worksheet.cell(1, place), name)
    numeric = [name in columns and columns[name].kind in _NUMERIC for name in sheet.header]
    for row, cells in enumerate(sheet.rows, start=2):
        for place, (text, as_number) in enumerate(zip(cells, numeric, strict=True), start=1):
            number = _number(text) if as_number else None
            cell = worksheet.cell(row, place)
            if number is None:
                _put_text(cell, text)
            else:
                cell.value = number


def _put_text(cell: Cell | MergedCell, text: str) -> None:
    """Write text as text, whatever it looks like."""
    if not text:
        return
    cell.value = text
    cell.data_type = "s"
    if text.startswith(_FORMULA_STARTS):
        cell.quotePrefix = True


def _number(text: str) -> float | int | None:
    """The number that a numeric cell can hold without loss, or None (it then stays text)."""
    try:
        value = float(text)
    except ValueError:
        return None
    if float(f"{value:.16g}") != value or value - value != 0:
        return None
    return int(value) if value.is_integer() and abs(value) < 1e15 else value


def _dress(worksheet: Worksheet, table: Table) -> None:
    from openpyxl.comments import Comment
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    worksheet.freeze_panes = "A2"
    for place, column in enumerate(table.columns, start=1):
        head = worksheet.cell(1, place)
        head.font = Font(bold=column.required, italic=not column.required)
        head.comment = Comment(_note(column), "Loomwright", height=120, width=300)
        letter = get_column_letter(place)
        width = max(_WIDTHS.get(column.kind, _USUAL_WIDTH), len(column.name) + 2)
        worksheet.column_dimensions[letter].width = width
        if column.choices:
            _offer(worksheet, letter, column)


def _offer(worksheet: Worksheet, letter: str, column: Column) -> None:
    from openpyxl.worksheet.datavalidation import DataValidation

    choice = DataValidation(
        type="list", formula1=f'"{",".join(column.choices)}"', allow_blank=not column.required
    )
    choice.errorTitle = column.name
    choice.error = f"Choose one of: {', '.join(column.choices)}"
    worksheet.add_data_validation(choice)
    choice.add(f"{letter}2:{letter}{limits.MAX_ROWS + 1}")


def _note(column: Column) -> str:
    lines = [column.help + ("." if not column.help.endswith(".") else "")]
    if column.required:
        lines.append("Must be filled in.")
    if column.unit:
        lines.append(f"Unit: {column.unit}.")
    if column.choices:
        lines.append(f"Choose: {', '.join(column.choices)}.")
    if column.default is not None:
        lines.append(f"Blank means {column.default}.")
    if column.example:
        lines.append(f"Example: {column.example}")
    return "\n".join(lines)
