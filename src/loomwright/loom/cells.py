"""One cell of a sheet: from text to value and back.

Files, forms and the workbook read and write their cells through here, so a value is accepted,
refused and written the same way everywhere.
"""

from __future__ import annotations

import datetime
import difflib
import math
import re
from collections.abc import Callable, Sequence
from typing import Literal

import attrs

from loomwright.loom.errors import InputProblems, Problem, Where
from loomwright.loom.face import Face
from loomwright.loom.identity import IDENTIFIER, Point
from loomwright.loom.schema import OVER_RANGE, Column, Kind
from loomwright.loom.state import FORM, Condition, State

Value = str | float | int | Point | Face | State | Condition | tuple[str, ...]
Decimal = Literal[".", ","]
"""The decimal mark a sheet is written with."""

CHOICES_SHOWN = 8
MOST_NAMES = 100
"""Names in one cell, and cavities in one face."""
LOWEST_C, HIGHEST_C = -60.0, 400.0

_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?\Z", re.ASCII)
_GROUPED = {
    ".": re.compile(r"[+-]?[1-9]\d{0,2},\d{3}\Z", re.ASCII),
    ",": re.compile(r"[+-]?[1-9]\d{0,2}\.\d{3}\Z", re.ASCII),
}
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}\Z", re.ASCII)
_BETWEEN = re.compile(r"[\s,;]+")


def read_cell(column: Column, text: str, *, where: Where, decimal: Decimal = ".") -> Value | None:
    """The value of one cell; None when it is blank.

    Parameters
    ----------
    column : what the schema says of it
    text : the cell as typed
    where : the place to name when it cannot be read
    decimal : the decimal mark of the whole sheet

    Raises
    ------
    InputProblems
        holding one problem, when the text cannot be that column's value.
    """
    if not text.strip():
        return None
    return _READERS[column.kind](_Cell(column, text, where, decimal))


def cell_text(value: object) -> str:
    """A value as its cell is written: shortest exact decimals, a point, `OL` for infinite."""
    if value is None:
        return ""
    if isinstance(value, float):
        return _number_text(value)
    if isinstance(value, tuple):
        return " ".join(str(each) for each in value)
    return str(value).replace("\r\n", "\n").replace("\r", "\n")


def bound_problem(column: Column, value: float, *, typed: str, where: Where) -> Problem | None:
    """What is wrong with a number outside its column's bounds, or None."""
    low, high = column.minimum, column.maximum
    if math.isnan(value) or math.isinf(value):
        return Problem(where, f'"{typed}" is not a possible number', _wanted(column))
    if (low is None or value >= low) and (high is None or value <= high):
        return None
    unit = f" {column.unit}" if column.unit else ""
    blank = "" if column.required else ", or leave it blank if not known"
    return Problem(where, f'"{typed}"{unit} is not possible', f"give {_span(column)}{blank}")


def nearest(name: str, known: Sequence[str]) -> str | None:
    """The known name most like this one, letter case aside, or None when none is near."""
    folded = {each.casefold(): each for each in reversed(known)}
    found = difflib.get_close_matches(name.casefold(), folded, n=1, cutoff=0.5)
    return folded[found[0]] if found else None


@attrs.frozen
class _Cell:
    column: Column
    text: str
    where: Where
    decimal: Decimal

    @property
    def trimmed(self) -> str:
        return self.text.strip()

    def refusal(self, what: str, expected: str) -> InputProblems:
        return InputProblems([Problem(self.where, what, expected)])


def _text(cell: _Cell) -> str:
    return cell.text


def _identifier(cell: _Cell) -> str:
    if not IDENTIFIER.match(cell.trimmed):
        raise cell.refusal(
            f'"{cell.trimmed}" cannot be a name',
            "use letters, digits, - and _ only, up to 40 of them",
        )
    return cell.trimmed


def _identifiers(cell: _Cell) -> tuple[str, ...]:
    names = tuple(filter(None, _BETWEEN.split(cell.trimmed)))
    if len(names) > MOST_NAMES:
        raise cell.refusal(f"{len(names)} names are too many", f"give at most {MOST_NAMES}")
    for name in names:
        if not IDENTIFIER.match(name):
            raise cell.refusal(
                f'"{name}" cannot be a name', "write names with spaces between, such as CU T4"
            )
    return names


def _choice(cell: _Cell) -> str:
    chosen = cell.trimmed.casefold()
    for choice in cell.column.choices:
        if choice.casefold() == chosen:
            return choice
    first = nearest(chosen, cell.column.choices)
    ordered = sorted(cell.column.choices, key=lambda each: each != first)
    raise cell.refusal(
        f'"{cell.trimmed}" is not one of the choices',
        f"choose {_or(ordered[:CHOICES_SHOWN])}",
    )


def _number(cell: _Cell) -> float:
    text = cell.trimmed
    if not _NUMBER.match(text):
        raise cell.refusal(f'"{text}" is not a number', _wanted(cell.column))
    if _GROUPED[cell.decimal].match(text):
        mark = "." if "." in text else ","
        plain = text.replace(mark, "")
        fraction = text.replace(mark, cell.decimal)
        raise cell.refusal(
            f'"{text}" can be read in two ways',
            f"write {plain} or {fraction}0",
        )
    value = float(text.replace(",", "."))
    problem = bound_problem(cell.column, value, typed=text, where=cell.where)
    if problem:
        raise InputProblems([problem])
    return value


def _integer(cell: _Cell) -> int:
    value = _number(cell)
    if value != int(value):
        raise cell.refusal(f'"{cell.trimmed}" is not a whole number', _wanted(cell.column))
    return int(value)


def _measured(cell: _Cell) -> float:
    return math.inf if cell.trimmed.upper() == OVER_RANGE else _number(cell)


def _date(cell: _Cell) -> str:
    try:
        if not _DATE.match(cell.trimmed):
            raise ValueError("another form")
        datetime.date.fromisoformat(cell.trimmed)
    except ValueError:
        raise cell.refusal(
            f'"{cell.trimmed}" is not a date', "write year-month-day, such as 2026-05-14"
        ) from None
    return cell.trimmed


def _temperature(cell: _Cell) -> str | float:
    text = cell.trimmed
    if text.casefold() in ("engine", "air", "ambient"):
        return text.casefold()
    wanted = "write engine, air, ambient or a number in °C"
    if not _NUMBER.match(text):
        raise cell.refusal(f'"{text}" is not a temperature', wanted)
    value = float(text.replace(",", "."))
    if not LOWEST_C <= value <= HIGHEST_C:
        raise cell.refusal(f'"{text}" °C is not possible', wanted)
    return value


def _face(cell: _Cell) -> Face:
    count = len(cell.trimmed.split())
    if count > 2 * MOST_NAMES:
        raise cell.refusal(f"{count} cavities are too many", f"give at most {MOST_NAMES}")
    try:
        return Face.parse(cell.trimmed)
    except ValueError as problem:
        raise cell.refusal(
            f'"{cell.trimmed}" is not a face: {problem}',
            "write rows split by /, cavities by spaces, a dot for a gap, such as 1 2 3 / 4 5 6",
        ) from problem


def _point(cell: _Cell) -> Point:
    try:
        return Point.parse(cell.trimmed)
    except ValueError as problem:
        raise cell.refusal(
            f'"{cell.trimmed}" is not a point',
            "write PLUG.cavity, DEVICE.pin or JOINT, such as T4.1",
        ) from problem


def _state(cell: _Cell) -> State:
    try:
        return State.parse(cell.trimmed)
    except ValueError as problem:
        raise cell.refusal(str(problem), FORM) from problem


def _condition(cell: _Cell) -> Condition:
    try:
        return Condition.parse(cell.trimmed)
    except ValueError as problem:
        raise cell.refusal(
            str(problem), "write clauses with semicolons between, such as throttle=shut; key=on"
        ) from problem


_READERS: dict[Kind, Callable[[_Cell], Value]] = {
    "identifier": _identifier,
    "identifiers": _identifiers,
    "text": _text,
    "number": _number,
    "integer": _integer,
    "choice": _choice,
    "date": _date,
    "face": _face,
    "point": _point,
    "state": _state,
    "condition": _condition,
    "temperature": _temperature,
    "measured": _measured,
}


def _number_text(value: float) -> str:
    if math.isinf(value):
        return OVER_RANGE
    whole = value.is_integer() and abs(value) < 1e15 and math.copysign(1.0, value) > 0
    return str(int(value)) if whole or (value.is_integer() and -1e15 < value < 0) else repr(value)


def _wanted(column: Column) -> str:
    if column.kind == "measured":
        return "write ohms or volts, such as 1200, or OL for over-range"
    sort = "a whole number" if column.kind == "integer" else "a number"
    unit = f" in {column.unit}" if column.unit else ""
    return f"write {sort}{unit}" + (f", such as {column.example}" if column.example else "")


def _span(column: Column) -> str:
    unit = f" {column.unit}" if column.unit else ""
    low, high = column.minimum, column.maximum
    if low is None:
        return f"at most {high:g}{unit}"
    if high is None:
        return f"at least {low:g}{unit}"
    return f"{low:g} to {high:.15g}{unit}"


def _or(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
