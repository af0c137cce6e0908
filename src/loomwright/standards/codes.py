"""Codes on wires and parts: colours and their look on a screen, terminals, temperature classes."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

import attrs

from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class Colour(Sourced):
    """A colour of IEC 60757: its letters, its name and its place in the order of the table."""

    code: str
    name: str
    order: int


@attrs.frozen(kw_only=True)
class ScreenColour(Sourced):
    """How a colour is shown on a screen or printed: `#rrggbb`, our own choice."""

    code: str
    rgb: str


@attrs.frozen(kw_only=True)
class TerminalNumber(Sourced):
    """A terminal number of DIN 72552 and what it means."""

    terminal: str
    meaning: str


@attrs.frozen(kw_only=True)
class TemperatureClass(Sourced):
    """A temperature class of ISO 6722: its letter and its range in °C."""

    letter: str
    lowest_c: float
    highest_c: float


@cache
def colours() -> Mapping[str, Colour]:
    """All colours by code, in the order of the standard."""
    found = {
        row.text("code"): Colour(
            code=row.text("code"),
            name=row.text("name"),
            order=row.whole("order"),
            **sourced(row),
        )
        for row in rows("colours")
    }
    return MappingProxyType(found)


def colour(code: str) -> Colour:
    """The colour of a code, capital or small letters.

    Raises
    ------
    NotFound : no colour has that code
    """
    found = colours().get(code.strip().upper())
    if found is None:
        raise not_found("colour code", code, colours(), where="colours")
    return found


def wire_colour(text: str) -> tuple[Colour, ...]:
    """The colours of a wire written as base and tracers: `BN/WH` is brown with a white tracer.

    Raises
    ------
    NotFound : a part between the strokes is no colour code
    """
    return tuple(colour(part) for part in text.split("/"))


@cache
def screen_colours() -> Mapping[str, ScreenColour]:
    """How each single colour is shown, by code; two joined colours are shown as their parts."""
    found = {
        row.text("code"): ScreenColour(code=row.text("code"), rgb=row.text("rgb"), **sourced(row))
        for row in rows("screen_colours")
    }
    return MappingProxyType(found)


@cache
def terminal_numbers() -> Mapping[str, TerminalNumber]:
    """All terminal numbers, in file order."""
    found = {
        row.text("terminal"): TerminalNumber(
            terminal=row.text("terminal"), meaning=row.text("meaning"), **sourced(row)
        )
        for row in rows("terminals")
    }
    return MappingProxyType(found)


def terminal_number(terminal: str) -> TerminalNumber:
    """The meaning of a terminal number, `87a` for example.

    Raises
    ------
    NotFound : the number is not in the table
    """
    if terminal not in terminal_numbers():
        raise not_found("terminal number", terminal, terminal_numbers(), where="terminals")
    return terminal_numbers()[terminal]


@cache
def temperature_classes() -> Mapping[str, TemperatureClass]:
    """All temperature classes by letter, coolest first."""
    found = {
        row.text("temperature_class"): TemperatureClass(
            letter=row.text("temperature_class"),
            lowest_c=row.number("lowest_c"),
            highest_c=row.number("highest_c"),
            **sourced(row),
        )
        for row in rows("temperature_classes")
    }
    return MappingProxyType(found)


def temperature_class(letter: str) -> TemperatureClass:
    """The temperature class of a letter.

    Raises
    ------
    NotFound : the letter is not in the table
    """
    found = temperature_classes().get(letter.strip().upper())
    if found is None:
        raise not_found("temperature class", letter, temperature_classes(), where="classes")
    return found
