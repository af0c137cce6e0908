"""Default numbers of common practice. Every one can be replaced by the user's own figure."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

import attrs

from loomwright.standards.complaints import SymptomFactor, all_symptom_factors
from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced
from loomwright.standards.rates import (
    FaultRate,
    HeatFactor,
    SurveyFactor,
    all_fault_rates,
    all_heat_factors,
    all_survey_factors,
)

_USUAL = 10.0  # a person's own weight is expected within so many times the shipped one


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


@cache
def weights() -> Mapping[str, Default]:
    """The weights and factors of faults, survey, heat and symptoms as figures to replace."""
    found: dict[str, Default] = {}
    weighed: list[tuple[FaultRate | SurveyFactor | HeatFactor | SymptomFactor, float]] = [
        *((rate, rate.weight) for rate in all_fault_rates()),
        *((survey, survey.factor) for survey in all_survey_factors()),
        *((heat, heat.factor) for heat in all_heat_factors()),
        *((symptom, symptom.factor) for symptom in all_symptom_factors()),
    ]
    for row, value in weighed:
        found[row.name] = Default(
            name=row.name, value=value, unit="1", low=value / _USUAL, high=value * _USUAL,
            source=row.source, standing=row.standing, note=row.note,
        )  # fmt: skip
    return MappingProxyType(found)


def figure(name: str) -> Default:
    """A figure that a person may replace, a default or a weight.

    Raises
    ------
    NotFound : there is no figure of that name
    """
    known = {**defaults(), **weights()}
    if name not in known:
        raise not_found("figure", name, known, where="settings")
    return known[name]
