"""Default numbers of common practice. Every one can be replaced by the user's own figure."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

import attrs

from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class Default(Sourced):
    """A replaceable default.

    Attributes
    ----------
    name : what it is, lower case with underscores
    value : the number to use when nobody gives another
    unit : its unit; `1` for a plain number
    low, high : the range in which a workshop's own figure is expected
    """

    name: str
    value: float
    unit: str
    low: float
    high: float


@cache
def defaults() -> Mapping[str, Default]:
    """All defaults by name."""
    found = {
        row.text("name"): Default(
            name=row.text("name"),
            value=row.number("value"),
            unit=row.text("unit"),
            low=row.number("low"),
            high=row.number("high"),
            **sourced(row),
        )
        for row in rows("defaults")
    }
    return MappingProxyType(found)


def values(own: Mapping[str, float] | None = None) -> dict[str, float]:
    """The number of every default, with a person's own figures in their place.

    Parameters
    ----------
    own : figures by the names of defaults; other names are left out

    Returns
    -------
    numbers by name, each in the unit of its default
    """
    return {name: (own or {}).get(name, row.value) for name, row in defaults().items()}


def default(name: str) -> Default:
    """The default of that name.

    Raises
    ------
    NotFound : there is no default of that name
    """
    if name not in defaults():
        raise not_found("default", name, defaults(), where="defaults")
    return defaults()[name]
