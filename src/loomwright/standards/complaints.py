"""Which electrical effect an owner's complaint speaks for, and from what size an effect counts.

The connection of complaint and effect is common practice; the factors are a reading of it, not
counts.
"""

from __future__ import annotations

from functools import cache

import attrs

from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class Effect(Sourced):
    """What a fault may do to the control unit or a load.

    Attributes
    ----------
    effect : its name
    least : size from which an owner notices it
    unit : of `least`: `K`, `V`, `A`, or `1` for a share
    words : the effect in a clause
    """

    effect: str
    least: float
    unit: str
    words: str


@attrs.frozen(kw_only=True)
class SymptomFactor(Sourced):
    """How much a symptom speaks for the faults with an effect.

    Attributes
    ----------
    symptom : what the owner says, one of a fixed list of words
    when : `cold` (a cold engine cranked) or `hot` (a hot one running)
    effect : an effect of that table
    factor : multiplier of the weight of a fault that has the effect at every magnitude
    """

    symptom: str
    when: str
    effect: str
    factor: float

    @property
    def name(self) -> str:
        """Its name among the figures a person may replace: `symptom-no_start-overload`."""
        return f"symptom-{self.symptom}-{self.effect}"


@cache
def all_effects() -> dict[str, Effect]:
    """All effects by name, in file order."""
    return {
        row.text("effect"): Effect(
            effect=row.text("effect"),
            least=row.number("least"),
            unit=row.text("unit"),
            words=row.text("words"),
            **sourced(row),
        )
        for row in rows("effects")
    }


@cache
def all_symptom_factors() -> tuple[SymptomFactor, ...]:
    """All rows, by symptom."""
    return tuple(
        SymptomFactor(
            symptom=row.text("symptom"),
            when=row.text("when"),
            effect=row.text("effect"),
            factor=row.number("factor"),
            **sourced(row),
        )
        for row in rows("symptoms")
    )


def symptom_factors(symptom: str) -> tuple[SymptomFactor, ...]:
    """The effects a symptom speaks for.

    Raises
    ------
    NotFound : the symptom is not in the table
    """
    found = tuple(row for row in all_symptom_factors() if row.symptom == symptom)
    if not found:
        known = {row.symptom for row in all_symptom_factors()}
        raise not_found("symptom", symptom, known, where="symptoms")
    return found
