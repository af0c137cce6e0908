"""How often which fault is met, and how survey grade and heat change that.

The order of the weights is common practice: boots tear first, then terminals and earth
points corrode, then insulation cracks. The figures are a reading of that order, not counts.
"""

from __future__ import annotations

from functools import cache

import attrs

from loomwright.loom.errors import OutOfRange
from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class FaultRate(Sourced):
    """The weight of one kind of fault on one item.

    Attributes
    ----------
    kind : `open`, `high_resistance`, `drift` and so on
    place : `wire`, `crimp`, `contact` (terminal on its pin), `joint`, `earth` or `element`
    element : kind of the device's element, blank for the other places
    weight : relative, per item; only ratios matter
    low, high : range of the magnitude, even on a logarithmic scale; None when it has none
    unit : `Ω`, or `1` for a factor on the resistance as new; blank when it has no magnitude
    """

    kind: str
    place: str
    element: str
    weight: float
    low: float | None
    high: float | None
    unit: str

    @property
    def name(self) -> str:
        """Its name among the figures a person may replace: `rate-open-wire`."""
        below = self.high is not None and self.high < 1 and self.unit == "1"
        way = {"drift": "-low" if below else "-high"}.get(self.kind, "")
        inside = f"-{self.element}" if self.element else ""
        return f"rate-{self.kind}-{self.place}{inside}{way}"


@attrs.frozen(kw_only=True)
class SurveyFactor(Sourced):
    """What a survey grade does to the weights of faults.

    Attributes
    ----------
    aspect : `boot`, `shell`, `terminal`, `insulation` or `strands`
    grade : 0 as new … 4 danger
    factor : multiplier of the weight
    kinds, places : the faults it acts on
    """

    aspect: str
    grade: int
    factor: float
    kinds: tuple[str, ...]
    places: tuple[str, ...]

    @property
    def name(self) -> str:
        """Its name among the figures a person may replace: `survey-boot-3`."""
        return f"survey-{self.aspect}-{self.grade}"


@attrs.frozen(kw_only=True)
class HeatFactor(Sourced):
    """What the temperature after a hot stop does to the weights of faults.

    Attributes
    ----------
    soak_from_c, soak_below_c : the band [°C]
    factor : multiplier of the weight
    kinds, places : the faults it acts on
    """

    soak_from_c: float
    soak_below_c: float
    factor: float
    kinds: tuple[str, ...]
    places: tuple[str, ...]

    @property
    def name(self) -> str:
        """Its name among the figures a person may replace: `heat-below-95`."""
        return f"heat-below-{self.soak_below_c:g}"


@cache
def all_fault_rates() -> tuple[FaultRate, ...]:
    """All rows, in file order."""
    return tuple(
        FaultRate(
            kind=row.text("kind"),
            place=row.text("place"),
            element=row.text("element"),
            weight=row.number("weight"),
            low=row.number_or_none("low"),
            high=row.number_or_none("high"),
            unit=row.text("unit"),
            **sourced(row),
        )
        for row in rows("fault_rates")
    )


def fault_rates(place: str, *, element: str = "") -> tuple[FaultRate, ...]:
    """The faults a place can have; `drift` has two rows, one below and one above 1.

    Parameters
    ----------
    place : `wire`, `crimp`, `contact`, `joint`, `earth` or `element`
    element : kind of the element when the place is `element`

    Raises
    ------
    NotFound : the place, or the element, is not in the table
    """
    at_place = [rate for rate in all_fault_rates() if rate.place == place]
    if not at_place:
        places = {rate.place for rate in all_fault_rates()}
        raise not_found("place of a fault", place, places, where="fault_rates")
    found = tuple(rate for rate in at_place if rate.element == element)
    if not found:
        elements = {rate.element or "(blank)" for rate in at_place}
        raise not_found("element kind", element, elements, where=f"fault_rates, place {place}")
    return found


@cache
def all_survey_factors() -> tuple[SurveyFactor, ...]:
    """All rows, by aspect and grade."""
    return tuple(
        SurveyFactor(
            aspect=row.text("aspect"),
            grade=row.whole("grade"),
            factor=row.number("factor"),
            kinds=row.words("kinds"),
            places=row.words("places"),
            **sourced(row),
        )
        for row in rows("survey_factors")
    )


def survey_factor(aspect: str, grade: int) -> SurveyFactor:
    """The factor of an aspect at a grade.

    Raises
    ------
    NotFound : the aspect is not in the table
    OutOfRange : the grade is not 0 to 4
    """
    family = {row.grade: row for row in all_survey_factors() if row.aspect == aspect}
    if not family:
        aspects = {row.aspect for row in all_survey_factors()}
        raise not_found("survey aspect", aspect, aspects, where="survey_factors")
    if grade not in family:
        raise OutOfRange(
            f"grade {grade} is not possible",
            where=f"survey_factors, {aspect}",
            expected="give a grade from 0 (as new) to 4 (danger)",
        )
    return family[grade]


@cache
def all_heat_factors() -> tuple[HeatFactor, ...]:
    """All bands, coolest first."""
    return tuple(
        HeatFactor(
            soak_from_c=row.number("soak_from_c"),
            soak_below_c=row.number("soak_below_c"),
            factor=row.number("factor"),
            kinds=row.words("kinds"),
            places=row.words("places"),
            **sourced(row),
        )
        for row in rows("heat_factors")
    )


def heat_factor(soak_c: float) -> HeatFactor:
    """The factor of the temperature a place reaches after a hot stop [°C].

    Raises
    ------
    OutOfRange : no band holds that temperature
    """
    for band in all_heat_factors():
        if band.soak_from_c <= soak_c < band.soak_below_c:
            return band
    low, high = all_heat_factors()[0].soak_from_c, all_heat_factors()[-1].soak_below_c
    raise OutOfRange(
        f"{soak_c:g} °C after a hot stop is not possible",
        where="heat_factors",
        expected=f"give a temperature from {low:g} to below {high:g} °C",
    )
