"""What a column and a table are."""

from __future__ import annotations

from typing import Literal

import attrs

OVER_RANGE = "OL"

Kind = Literal[
    "identifier",  # letters, digits, - and _
    "identifiers",  # several of them, spaces between
    "text",
    "number",
    "integer",
    "choice",
    "date",  # 2026-05-14
    "face",  # 1 2 3 / 4 5 6
    "point",  # PLUG.cavity, DEVICE.pin or JOINT
    "state",  # key=off; throttle=shut
    "condition",  # throttle=shut; engine_c<35
    "temperature",  # engine, air, ambient or a number in °C
    "measured",  # a number, or OL for over-range
]


@attrs.frozen
class Column:
    """One column. Numbers carry their unit in the name; `minimum` and `maximum` are inclusive."""

    name: str
    kind: Kind
    help: str
    required: bool = False
    unit: str = ""
    minimum: float | None = None
    maximum: float | None = None
    choices: tuple[str, ...] = ()
    default: str | float | None = None
    refers_to: tuple[str, ...] = ()
    example: str = ""

    @property
    def attribute(self) -> str:
        """The record attribute that holds this column."""
        return {"from": "from_point", "to": "to_point"}.get(self.name, self.name)


@attrs.frozen
class Table:
    """One table. `key` names the column whose values must differ; empty where rows repeat."""

    name: str
    help: str
    columns: tuple[Column, ...]
    key: str = ""
    single_row: bool = False

    @property
    def required_columns(self) -> tuple[Column, ...]:
        """The columns that must be there and filled."""
        return tuple(column for column in self.columns if column.required)

    def column(self, name: str) -> Column:
        """The column of that name.

        Raises
        ------
        KeyError
            when the table has no such column.
        """
        return next(column for column in self.columns if column.name == name)


def named(name: str, help_: str, example: str) -> Column:
    return Column(name, "identifier", help_, required=True, example=example)


def positive(name: str, unit: str, help_: str, *, maximum: float, example: str = "") -> Column:
    return Column(name, "number", help_, unit=unit, minimum=0.0, maximum=maximum, example=example)
