"""A wire list as a workbook for who makes the loom, and a netlist as a file.

openpyxl is imported inside the functions, so that other commands start without it.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from loomwright.loom import InputProblems, Problem, Where
from loomwright.services.exchange import Cell, WireList, WireSheet
from loomwright.storage.job_folder.files import replaced_file

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

_FORMULA_STARTS = ("=", "+", "-", "@")
_LEAST_WIDTH, _MOST_WIDTH = 9, 48


def write_wire_list(target: str, made: WireList, *, over: bool = False) -> str:
    """Write a wire list, whole or not at all; where it stands now.

    Parameters
    ----------
    target : an .xlsx file
    made : the list
    over : replace the file that is there

    Raises
    ------
    InputProblems
        when it is to be no workbook, or there is a file already.
    StorageFailed
        when the disk, a lock or a permission stops it.
    """
    path = _free(target, ending=".xlsx", over=over)
    import openpyxl

    book = openpyxl.Workbook()
    book.properties.title = made.title
    book.remove(book.worksheets[0])
    for sheet in made.sheets:
        _fill(book.create_sheet(sheet.name), sheet)
    with replaced_file(path) as file:
        book.save(file)
    return str(path)


def write_text(target: str, text: str, *, over: bool = False) -> str:
    """Write a text, whole or not at all; where it stands now.

    Parameters
    ----------
    target : the file
    text : what it holds
    over : replace the file that is there

    Raises
    ------
    InputProblems
        when there is a file already.
    StorageFailed
        when the disk, a lock or a permission stops it.
    """
    path = _free(target, ending="", over=over)
    with replaced_file(path) as file:
        file.write(text.encode())
    return str(path)


def _free(target: str, *, ending: str, over: bool) -> Path:
    problems = []
    if not target.lower().endswith(ending):
        what = f'"{target}" is no {ending} workbook'
        problems.append(Problem(Where("out"), what, f"give a name that ends in {ending}"))
    if os.path.lexists(target) and not (over and os.path.isfile(target)):
        what = f'there is something at "{target}" already, and it stays as it is'
        instead = "give another name" if over else "give another name, or --over to replace it"
        problems.append(Problem(Where("out"), what, instead))
    if problems:
        raise InputProblems(problems)
    return Path(target)


def _fill(worksheet: Worksheet, sheet: WireSheet) -> None:
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    worksheet.freeze_panes = "B2"
    for place, head in enumerate(sheet.heads, start=1):
        worksheet.cell(1, place, head).font = Font(bold=True)
        shown = [head, *(str(row[place - 1] or "") for row in sheet.rows)]
        width = min(max(len(max(shown, key=len)) + 2, _LEAST_WIDTH), _MOST_WIDTH)
        worksheet.column_dimensions[get_column_letter(place)].width = width
    for number, row in enumerate(sheet.rows, start=2):
        for place, cell in enumerate(row, start=1):
            _put(worksheet, number, place, cell)


def _put(worksheet: Worksheet, row: int, place: int, content: Cell) -> None:
    """A number as a number; words as words, whatever they look like."""
    if content is None or content == "":
        return
    cell = worksheet.cell(row, place)
    if isinstance(content, float | int):
        cell.value = content
        return
    cell.value = content
    cell.data_type = "s"
    if content.startswith(_FORMULA_STARTS):
        cell.quotePrefix = True
