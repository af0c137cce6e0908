"""One cell: what is read, what is refused, and that writing and reading agree."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import Face, InputProblems, Point, Problem, Where, cell_text, read_cell, schema
from loomwright.loom.cells import MOST_NAMES, Decimal, nearest
from loomwright.loom.schema import Column
from loomwright.loom.state import Condition, State

WHERE = Where("wires", 7, "x")


def column(table: str, name: str) -> Column:
    return schema.table(table).column(name)


OHM = column("elements", "ohm")
VALUE = column("readings", "value")
STRANDS = column("wires", "strands")


def read(of: Column, text: str, decimal: Decimal = ".") -> object:
    return read_cell(of, text, where=WHERE, decimal=decimal)


def refused(of: Column, text: str, decimal: Decimal = ".") -> Problem:
    with pytest.raises(InputProblems) as caught:
        read(of, text, decimal)
    (problem,) = caught.value.problems
    assert problem.where == WHERE
    return problem


@pytest.mark.parametrize(
    ("text", "value"),
    [("12", 12.0), (" 0.3 ", 0.3), ("1,2", 1.2), (",5", 0.5), ("2.5e3", 2500.0), ("0,205", 0.205)],
)
def test_numbers(text: str, value: float) -> None:
    assert read(OHM, text) == value


@pytest.mark.parametrize(
    "text", ["1,2k", "inf", "nan", "1_000", "１２", "0x10", "1 200", "--1", "1e9999"]
)
def test_what_is_no_number(text: str) -> None:
    assert refused(OHM, text).what == f'"{text}" is not a number'


def test_a_number_too_large_for_the_machine_is_not_possible() -> None:
    assert refused(Column("x", "number", ""), "1e999").what == '"1e999" is not a possible number'


def test_a_comma_before_three_digits_is_two_numbers() -> None:
    problem = refused(OHM, "1,234")
    assert problem.what == '"1,234" can be read in two ways'
    assert problem.expected == "write 1234 or 1.2340"
    assert read(OHM, "1,234", ",") == 1.234


def test_a_point_before_three_digits_is_two_numbers_where_commas_are_decimal() -> None:
    assert refused(OHM, "2.500", ",").expected == "write 2500 or 2,5000"
    assert read(OHM, "2.5", ",") == 2.5
    assert read(OHM, "2.500") == 2.5


def test_bounds_are_inclusive_and_told_with_unit() -> None:
    length = column("wires", "length_mm")
    assert read(length, "0") == 0
    problem = refused(length, "-3,5")
    assert problem.what == '"-3,5" mm is not possible'
    assert problem.expected == "give 0 to 50000 mm, or leave it blank if not known"


@pytest.mark.parametrize("text", ["OL", "ol", " Ol "])
def test_over_range_in_any_case(text: str) -> None:
    assert read(VALUE, text) == math.inf
    assert cell_text(math.inf) == "OL"


def test_whole_numbers() -> None:
    assert read(STRANDS, "24") == 24
    assert read(STRANDS, "24.0") == 24
    assert refused(STRANDS, "24.5").what == '"24.5" is not a whole number'


def test_blank_is_not_known() -> None:
    assert read(OHM, "") is None
    assert read(OHM, " \t") is None


def test_text_is_kept_as_typed() -> None:
    text = ' =1+1 "so" \n 007 '
    assert read(column("readings", "note"), text) == text


def test_choices_are_read_in_any_case_and_listed_nearest_first() -> None:
    lock = column("plugs", "lock")
    assert read(lock, "Staked ") == "staked"
    problem = refused(lock, "stakd")
    assert problem.what == '"stakd" is not one of the choices'
    assert problem.expected == "choose staked, tongue, finger or moulded"


@pytest.mark.parametrize("text", ["14.5.2026", "2026-13-01", "20260514", "2026-W20-4"])
def test_what_is_no_date(text: str) -> None:
    assert refused(column("job", "opened_on"), text).what == f'"{text}" is not a date'


def test_names() -> None:
    plug = column("plugs", "plug")
    assert read(plug, " T-4_a ") == "T-4_a"
    assert refused(plug, "T 4").what == '"T 4" cannot be a name'
    assert refused(plug, "T.4").what == '"T.4" cannot be a name'
    assert refused(plug, "Ä").what == '"Ä" cannot be a name'


def test_several_names() -> None:
    unplugged = column("readings", "unplugged")
    assert read(unplugged, "CU T4, T5;T6") == ("CU", "T4", "T5", "T6")
    assert refused(unplugged, "CU T.4").what == '"T.4" cannot be a name'
    assert refused(unplugged, "A " * 101).what == "101 names are too many"


def test_a_device_temperature_is_a_word_or_a_number() -> None:
    temperature = column("devices", "temperature")
    assert read(temperature, "Engine") == "engine"
    assert read(temperature, "85,5") == 85.5
    assert refused(temperature, "hot").what == '"hot" is not a temperature'
    assert refused(temperature, "900").what == '"900" °C is not possible'


def test_faces_points_states_and_conditions_say_what_is_wrong() -> None:
    face = column("plugs", "face")
    assert read(face, "1 2/3 .") == Face((("1", "2"), ("3", None)))
    assert refused(face, "1 1").what == '"1 1" is not a face: cavity "1" stands in it twice'
    assert refused(face, "1 " * (2 * MOST_NAMES + 1)).what == "201 cavities are too many"
    assert read(column("wires", "from"), " T4.1 ") == Point("T4", "1")
    assert refused(column("wires", "from"), "T4.").what == '"T4." is not a point'
    assert refused(column("readings", "state"), "hot").what == '"hot" is not a name=value pair'
    assert 'throttle"' in refused(column("elements", "closed_when"), "throttle").what


def test_nearest() -> None:
    assert nearest("t44", ["CU", "T4", "T5"]) == "T4"
    assert nearest("zzz", ["CU", "T4"]) is None
    assert nearest("x", []) is None


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_is_written_without_loss(value: float) -> None:
    text = cell_text(value)
    assert "," not in text
    assert float(text) == value
    assert math.copysign(1, float(text)) == math.copysign(1, value)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, ""),
        (20.0, "20"),
        (-20.0, "-20"),
        (0.0, "0"),
        (0.1, "0.1"),
        (24, "24"),
        (("CU", "T4"), "CU T4"),
        (Point("T4", "1"), "T4.1"),
        (State.parse("key=off;engine_c=18"), "key=off; engine_c=18"),
        (Condition.parse("engine_c<35;key!=off"), "engine_c<35; key!=off"),
        ("a\r\nb\rc", "a\nb\nc"),
    ],
)
def test_how_values_are_written(value: object, text: str) -> None:
    assert cell_text(value) == text
