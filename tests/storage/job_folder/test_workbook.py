"""Workbooks: what a person sees, what other programs make of them, and hostile ones."""

from __future__ import annotations

import datetime
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import lxml.etree
import openpyxl
import pytest
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from loomwright.loom import Problem, schema
from loomwright.storage import limits
from loomwright.storage.job_folder import JobFolder, workbook
from sample import jobs as sample
from sample import workbooks

JOBS = JobFolder()


def written(tmp_path: Path) -> Path:
    path = tmp_path / "job.xlsx"
    path.write_bytes(workbooks.whole())
    return path


def changed(path: Path, change: Callable[[Workbook], None]) -> Path:
    book = openpyxl.load_workbook(path)
    change(book)
    book.save(path)
    return path


def with_part(path: Path, name: str, data: bytes) -> Path:
    """The workbook with one of its parts replaced."""
    with zipfile.ZipFile(path) as old:
        parts = {each: old.read(each) for each in old.namelist()}
    parts[name] = data
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for each, content in parts.items():
            new.writestr(each, content)
    return path


def problems(path: Path) -> list[Problem]:
    return list(JOBS.inspect(path)[1])


# What a person sees


def test_every_table_has_its_sheet_with_a_frozen_header(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(written(tmp_path))
    assert book.sheetnames == [table.name for table in schema.TABLES]
    for table in schema.TABLES:
        sheet = book[table.name]
        assert sheet.freeze_panes == "A2"
        for cell, column in zip(sheet[1], table.columns, strict=True):
            assert cell.value == column.name
            assert cell.comment is not None
            assert column.help in cell.comment.text
            assert cell.font.b == column.required


def test_choices_are_offered(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(written(tmp_path))
    offered = {
        (sheet.title, choice.formula1)
        for sheet in book.worksheets
        for choice in sheet.data_validations.dataValidation
    }
    for table in schema.TABLES:
        for column in table.columns:
            listed = (table.name, f'"{",".join(column.choices)}"')
            assert (listed in offered) == bool(column.choices)


def test_numbers_are_numbers_and_texts_are_texts(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(written(tmp_path))
    assert book["wires"]["E2"].value == 0.75
    assert book["readings"]["G2"].value == 2710
    assert book["readings"]["G3"].value == "OL"
    assert book["readings"]["I2"].value == "2026-05-14 10:20"


# What other programs write


def test_numbers_and_dates_in_text_columns_are_read_as_typed(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book["job"]["E2"] = datetime.datetime(2026, 5, 14)
        book["readings"]["I2"] = datetime.datetime(2026, 5, 14, 10, 20)
        book["readings"]["J2"] = 7
        book["readings"]["J3"] = True
        book["plugs"]["B2"] = 1.5

    job = JOBS.read(changed(written(tmp_path), change))
    assert job.about.opened_on == "2026-05-14"
    assert job.readings[0].taken_at == "2026-05-14 10:20:00"
    assert (job.readings[0].note, job.readings[1].note) == ("7", "TRUE")
    assert job.plugs[0].label == "1.5"


def test_decimal_commas_typed_as_text(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book["wires"]["E2"] = "0,75"

    assert JOBS.read(changed(written(tmp_path), change)).wires[0].section_mm2 == 0.75


def test_formulas_and_failed_formulas_are_refused_with_their_place(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book["wires"]["H3"] = "=H2/2"
        book["zones"]["B2"] = "#DIV/0!"

    told = problems(changed(written(tmp_path), change))
    assert [each.sentence for each in told] == [
        'wires, row 3: "=H2/2" is a formula. '
        "Put its value in its place (copy, then paste values only).",
        'zones, row 2: "#DIV/0!" is what the spreadsheet shows for a failed formula. '
        "Type the value itself.",
    ]


def test_an_empty_spare_sheet_and_blank_rows_are_passed_over(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book.create_sheet("Sheet1")
        sheet: Worksheet = book["wires"]
        sheet["A4000"].font = openpyxl.styles.Font(bold=True)
        sheet["A4000"].value = " "

    assert JOBS.read(changed(written(tmp_path), change)) == sample.job()


def test_a_sheet_of_its_own_is_kept(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        sheet = book.create_sheet("Crimps 2")
        sheet.append(["a", None, "b"])
        sheet.append([1, "x", None])

    (table,) = JOBS.read(changed(written(tmp_path), change)).foreign
    assert (table.header, table.rows) == (("a", "", "b"), (("1", "x", ""),))


def test_a_sheet_name_that_could_leave_the_place_is_refused(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book.create_sheet("..x").append(["a"])

    told = problems(changed(written(tmp_path), change))
    assert told[0].what == '"..x" cannot be the name of a table'


def test_too_many_rows_or_columns(tmp_path: Path) -> None:
    def change(book: Workbook) -> None:
        book["wires"].cell(limits.MAX_ROWS + 2, 1).value = "W"
        book["zones"].cell(2, limits.MAX_COLUMNS + 1).value = "x"

    told = problems(changed(written(tmp_path), change))
    assert [each.what for each in told] == [
        "there are more than 5000 rows",
        "there are more than 200 columns",
    ]


# Hostile ones

SHEET = "xl/worksheets/sheet4.xml"
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def sheet_xml(rows: str, before: str = "") -> bytes:
    return f"{before}<worksheet {MAIN}><sheetData>{rows}</sheetData></worksheet>".encode()


ENTITIES = "".join(f'<!ENTITY e{n + 1} "{f"&e{n};" * 10}">' for n in range(9))
BOMB = f'<!DOCTYPE x [<!ENTITY e0 "ha">{ENTITIES}]>'
DEEP = "<a>" * 5000 + "</a>" * 5000
DAMAGED = "the file is damaged, cut short, or not what its name says"
HOSTILE: dict[str, tuple[bytes, str]] = {
    "entities": (
        sheet_xml('<row><c t="inlineStr"><is><t>&e9;</t></is></c></row>', BOMB),
        "it holds a document type, which no spreadsheet writes",
    ),
    "entities in sixteen bits": (
        sheet_xml("", BOMB).decode().encode("utf-16"),
        "it holds a document type, which no spreadsheet writes",
    ),
    "nested": (sheet_xml(DEEP), "its text is nested more than 40 deep"),
    "many cells": (sheet_xml("<row/>" * 500_000), "it holds more than 20 MB"),
    "far away row": (
        sheet_xml('<row r="999999999999"><c r="A9999"><v>1</v></c></row>'),
        "there are too many blank rows or columns to look through",
    ),
    "far away cells": (
        sheet_xml("".join(f'<row r="{n}"><c r="ZZZ{n}"/></row>' for n in range(1, 300))),
        "there are too many blank rows or columns to look through",
    ),
    "row of letters": (sheet_xml('<row r="x"/>'), DAMAGED),
    "cell of letters": (sheet_xml('<row><c r="???"><v>1</v></c></row>'), DAMAGED),
    "string out of range": (sheet_xml('<row><c t="s"><v>99</v></c></row>'), DAMAGED),
    "number of letters": (sheet_xml("<row><c><v>abc</v></c></row>"), DAMAGED),
    "number too long": (sheet_xml(f"<row><c><v>{'9' * 5000}</v></c></row>"), DAMAGED),
    "cut short": (sheet_xml("<row>")[:-20], DAMAGED),
    "unknown encoding": (b'<?xml version="1.0" encoding="klingon"?><worksheet/>', DAMAGED),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_sheets_are_told_in_bounded_time(tmp_path: Path, name: str) -> None:
    data, what = HOSTILE[name]
    path = with_part(written(tmp_path), SHEET, data)
    began = time.perf_counter()
    told = problems(path)
    assert what in [each.what for each in told]
    assert time.perf_counter() - began < 5


def test_long_number_formats_are_refused_for_they_are_slow_to_match(tmp_path: Path) -> None:
    number_format = "[" * 100_000
    style = f'<styleSheet {MAIN}><numFmts><numFmt numFmtId="200" formatCode="{number_format}"/>'
    path = with_part(
        written(tmp_path), "xl/styles.xml", (style + "</numFmts></styleSheet>").encode()
    )
    assert problems(path)[0].what == "it holds too many or too long number formats"


def test_a_bomb_is_let_off_in_a_small_room(tmp_path: Path) -> None:
    path = with_part(written(tmp_path), SHEET, b" " * (2 * limits.MAX_TOTAL_BYTES))
    assert path.stat().st_size < 200_000
    assert problems(path)[0].what == "it holds more than 20 MB"


def test_a_workbook_without_any_of_its_parts_is_told(tmp_path: Path) -> None:
    path = tmp_path / "job.xlsx"
    parts = workbooks.parts(workbooks.few_tables())
    for part in parts:
        kept = {each: content for each, content in parts.items() if each != part}
        with zipfile.ZipFile(path, "w") as new:
            for each, content in kept.items():
                new.writestr(each, content)
        job, told = JOBS.inspect(path)
        assert told or job == workbooks.job_of_few()


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"no workbook", b"\0" * 1000])
def test_what_is_no_workbook(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "job.xlsx").write_bytes(data)
    assert problems(tmp_path / "job.xlsx")[0].what == DAMAGED


def test_a_zip_of_something_else_is_no_workbook(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "job.xlsx", "w") as archive:
        archive.writestr("wires.csv", "wire\n")
    assert problems(tmp_path / "job.xlsx")[0].what == DAMAGED


RAISED = [
    AttributeError, EOFError, IndexError, KeyError, NotImplementedError, OSError, OverflowError,
    RecursionError, TypeError, ValueError, UnicodeDecodeError, zipfile.BadZipFile,
]  # fmt: skip


@pytest.mark.parametrize("kind", RAISED, ids=lambda kind: kind.__name__)
def test_what_the_library_raises_is_translated(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: type[Exception]
) -> None:
    from loomwright.loom import InputProblems

    failure = kind("utf-8", b"", 0, 1, "x") if kind is UnicodeDecodeError else kind("x")

    def fail(*_: object, **__: object) -> None:
        raise failure

    path = written(tmp_path)
    monkeypatch.setattr(openpyxl, "load_workbook", fail)
    with path.open("rb") as file, pytest.raises(InputProblems) as caught:
        workbook.sheets_in(file, "job.xlsx", declared=0)
    assert caught.value.__cause__ is failure


def test_the_library_has_no_exceptions_we_have_not_looked_at() -> None:
    from openpyxl.utils import exceptions

    known = {
        "CellCoordinatesException", "IllegalCharacterError", "InvalidFileException",
        "NamedRangeException", "ReadOnlyWorkbookException", "SheetTitleException",
        "WorkbookAlreadySaved",
    }  # fmt: skip
    own = {
        name
        for name, thing in vars(exceptions).items()
        if isinstance(thing, type) and issubclass(thing, Exception)
    }
    assert own == known
    assert {each.__name__ for each in workbook.library_failures()} >= known


def test_what_either_xml_parser_raises_is_a_failure_of_the_library() -> None:
    for parser in (lxml.etree, ElementTree):
        with pytest.raises(workbook.library_failures()):
            parser.fromstring(b"<sheet><row></sheet>")
