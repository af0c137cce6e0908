"""Bytes to sheets: encodings, separators, decimal commas, quotes."""

from __future__ import annotations

import csv

import pytest

from loomwright.loom import InputProblems, Problem, Sheet
from loomwright.storage import limits
from loomwright.storage.job_folder.csv_text import bytes_from_sheet, read_tables, sheet_from_bytes


def refused(data: bytes) -> Problem:
    with pytest.raises(InputProblems) as caught:
        sheet_from_bytes("wires", data)
    return caught.value.problems[0]


def test_with_and_without_byte_order_mark() -> None:
    plain = sheet_from_bytes("wires", b"wire,from\nW1,A.1\n")
    assert plain == Sheet("wires", ("wire", "from"), (("W1", "A.1"),))
    assert sheet_from_bytes("wires", b"\xef\xbb\xbfwire,from\nW1,A.1\n") == plain


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
def test_line_ends_of_any_kind_also_inside_cells(end: bytes) -> None:
    sheet = sheet_from_bytes("x", b"a,b" + end + b'1,"p' + end + b'q"' + end)
    assert sheet.rows == (("1", "p\nq"),)


def test_semicolons() -> None:
    sheet = sheet_from_bytes("x", "a;b;c\n1,5;Öl, alt;2\n".encode())
    assert (sheet.header, sheet.rows, sheet.decimal) == (
        ("a", "b", "c"), (("1,5", "Öl, alt", "2"),), ",",
    )  # fmt: skip


def test_semicolons_with_decimal_points() -> None:
    assert sheet_from_bytes("x", b"a;b\n1.5;2\n").decimal == "."


def test_separators_between_quotes_do_not_count() -> None:
    assert sheet_from_bytes("x", b'"a;b;c",d\n1,2\n').header == ("a;b;c", "d")


def test_another_encoding_is_told_with_row_and_byte() -> None:
    problem = refused("wire,from\nW1,A.1\nKühler,B.1\n".encode("latin-1"))
    assert (problem.where.row, problem.what) == (3, "the byte 0xFC is not UTF-8 text")
    assert "CSV UTF-8" in problem.expected


def test_utf_16_is_told() -> None:
    assert "not UTF-8" in refused("wire,from\n".encode("utf-16")).what
    assert "NUL" in refused("wire,from\n".encode("utf-16-le")).what


@pytest.mark.parametrize("text", ['a,b\n"1"x,2\n', 'a,b\n"1,2\n3,4\n'])
def test_quotes_that_do_not_match(text: str) -> None:
    assert refused(text.encode()).what.startswith("the quotes in this row do not match")


def test_the_reader_below_is_told_apart_by_its_cause() -> None:
    with pytest.raises(InputProblems) as caught:
        sheet_from_bytes("x", b'a,b\n"1"x,2\n')
    assert isinstance(caught.value.__cause__, csv.Error)
    with pytest.raises(InputProblems) as caught:
        sheet_from_bytes("x", b"\xff\xff")
    assert isinstance(caught.value.__cause__, UnicodeDecodeError)


def test_too_many_rows_columns_characters_bytes() -> None:
    rows = b"a,b\n" + b"1,2\n" * (limits.MAX_ROWS + 1)
    assert refused(rows).what == f"there are more than {limits.MAX_ROWS} rows"
    wide = b"a" + b",b" * limits.MAX_COLUMNS + b"\n"
    assert refused(wide).what == f"there are more than {limits.MAX_COLUMNS} columns"
    long = b"a\n" + b"x" * (limits.MAX_CELL_CHARACTERS + 1) + b"\n"
    assert refused(long).what == "the cell holds 10001 characters"
    longer = b"a\n" + b"x" * 200_000 + b"\n"
    assert "too long" in refused(longer).what or "200000 characters" in refused(longer).what
    huge = b"a\n" + b"x" * limits.MAX_TABLE_BYTES
    assert refused(huge).what == "it holds more than 5 MB"


def test_the_largest_table_allowed_is_read() -> None:
    rows = b"a,b\n" + b"1,2\n" * limits.MAX_ROWS
    assert len(sheet_from_bytes("x", rows).rows) == limits.MAX_ROWS
    blank_columns = b"a" + b"," * 1000 + b"\n"
    assert sheet_from_bytes("x", blank_columns).header[0] == "a"


def test_all_tables_together_are_bounded() -> None:
    def tables() -> list[tuple[str, bytes]]:
        data = b"a\n" + b"xxxxxxxxx\n" * 450_000
        return [("zones", data)] * 5

    contents = read_tables(tables())
    assert contents.problems[-1].where.table == "tables"


def test_a_table_of_somebody_else_that_cannot_be_read_is_only_warned_about() -> None:
    contents = read_tables([("trace", b"\xff"), ("wires", b"\xff")])
    assert [each.warning for each in contents.problems] == [True, False]
    assert contents.problems[0].what.startswith("it is left as it is, for ")


def test_what_is_written() -> None:
    sheet = Sheet("x", ("a", "b"), (('say "so"', "1,2"), ("", "two\nlines")))
    assert bytes_from_sheet(sheet) == b'a,b\n"say ""so""","1,2"\n,"two\nlines"\n'
    assert sheet_from_bytes("x", bytes_from_sheet(sheet)) == sheet
