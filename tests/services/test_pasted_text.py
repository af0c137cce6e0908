"""Text out of a spreadsheet is read as a person meant it, or all that is wrong is told."""

from __future__ import annotations

import pytest

from loomwright.loom import InputProblems, Problem
from loomwright.services.pasted_text import MOST_ROWS, Pasted, read_pasted
from loomwright.storage import limits


def cells(pasted: Pasted) -> list[dict[str, str]]:
    return [dict(row.cells) for row in pasted.rows]


def told(text: str, table: str = "wires") -> list[str]:
    return [each.sentence for each in read_pasted(text, table).problems]


def refused(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputProblems) as failure:
        read_pasted(text, "wires")
    return failure.value.problems


@pytest.mark.parametrize(
    ("text", "separator"),
    [
        ("wire\tfrom\tto\nW1\tT1.1\tE1\n", "tabs"),
        ("wire,from,to\nW1,T1.1,E1", "commas"),
        ("wire;from;to\r\nW1;T1.1;E1\r\n", "semicolons"),
        ("\ufeffwire,from,to\nW1,T1.1,E1", "commas"),
    ],
)
def test_every_separator_gives_the_same_rows(text: str, separator: str) -> None:
    read = read_pasted(text, "wires")
    assert (read.separator, read.headed, read.problems) == (separator, True, ())
    assert cells(read) == [{"wire": "W1", "from": "T1.1", "to": "E1"}]


def test_heads_may_have_other_capitals_and_blanks_for_strokes() -> None:
    read = read_pasted("WIRE\tFrom\t To \tSection mm2\nW1\tT1.1\tE1\t0.75", "wires")
    assert read.columns == ("wire", "from", "to", "section_mm2")


def test_rows_without_heads_are_the_tables_columns_in_order() -> None:
    read = read_pasted("W1\tT1.1\tE1\tBN\t\t\nW2\tT1.2\tE1\t\t\t", "wires")
    assert not read.headed
    assert read.columns == ("wire", "from", "to", "colour")
    assert cells(read)[1] == {"wire": "W2", "from": "T1.2", "to": "E1", "colour": ""}


def test_blank_lines_and_trailing_tabs_do_nothing_but_rows_keep_their_numbers() -> None:
    read = read_pasted("\nwire\tfrom\tto\t\t\n\nW1\tT1.1\tE1\t\t\n\t\t\n", "wires")
    assert [row.number for row in read.rows] == [4]
    assert read.problems == ()


def test_a_quoted_cell_may_hold_line_breaks_tabs_and_quotes() -> None:
    read = read_pasted('item\taspect\tnote\nT1\tboot\t"torn\tat ""A""\nand dark"\n', "survey")
    assert cells(read)[0]["note"] == 'torn\tat "A"\nand dark'


def test_an_own_column_is_kept_under_the_spelling_it_has() -> None:
    read = read_pasted("wire\ttorque\tHARNESS\nW1\t4\tx", "wires", own=("Torque",))
    assert read.columns == ("wire", "Torque", "HARNESS")
    assert read.own == ("Torque", "HARNESS")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("wire;section_mm2\nW1;0,75", "0.75"),
        ("wire;section_mm2\nW1;0,750", "0.75"),
        ("wire\tsection_mm2\nW1\t0,75", "0.75"),
        ("wire\tsection_mm2\nW1\t0.75", "0.75"),
    ],
)
def test_a_decimal_comma_is_written_as_the_job_writes_it(text: str, value: str) -> None:
    assert cells(read_pasted(text, "wires"))[0]["section_mm2"] == value


def test_a_comma_in_words_is_no_decimal_comma() -> None:
    read = read_pasted("wire\tcolour\tlength_mm\nW1\t1,5\t1.200", "wires")
    assert read.decimal == "."
    assert cells(read)[0] == {"wire": "W1", "colour": "1,5", "length_mm": "1.200"}


def test_a_group_of_thousands_between_tabs_is_asked_about() -> None:
    [problem] = told("wire\tlength_mm\nW1\t1,200")
    assert problem.startswith('pasted text, row 2, length_mm: "1,200" can be read in two ways.')


def test_everything_wrong_is_told_at_once_by_row_and_column() -> None:
    text = "wire,from,to,wire,section_mm2,\nW 1,T1.1,E1,x,thick,more\nW2,?,E1,,1,,stray"
    found = told(text)
    assert [each.partition(":")[0] for each in found] == [
        "pasted text, row 1, wire",
        "pasted text, row 2",
        "pasted text, row 2, wire",
        "pasted text, row 2, section_mm2",
        "pasted text, row 3",
        "pasted text, row 3, from",
    ]
    assert '"W 1" cannot be a name' in found[2]


@pytest.mark.parametrize("text", ["", " \n\t\n", "wire\tfrom\tto\n"])
def test_text_without_rows_is_refused(text: str) -> None:
    assert refused(text)[0].what == "there are no rows in it"


def test_quotes_that_do_not_match_are_refused_with_their_row() -> None:
    [problem] = refused('wire,from,to\nW1,"T1.1,E1\nW2,T1.2,E1\n')
    assert problem.where.row == 2
    assert "quotes" in problem.what


def test_more_rows_than_a_table_holds_are_refused() -> None:
    rows = "".join(f"W{n}\tT1.1\tE1\n" for n in range(MOST_ROWS + 1))
    assert refused(rows)[0].what == "there are more than 5000 rows"
    assert len(read_pasted(rows[: rows.rindex("W5000")], "wires").rows) == MOST_ROWS


def test_the_limit_is_that_of_every_table() -> None:
    assert MOST_ROWS == limits.MAX_ROWS
