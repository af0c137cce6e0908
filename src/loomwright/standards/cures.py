"""What can be done to a plug, a wire or a branch: minutes, wire used, steps and hold points."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

import attrs

from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class CureKind(Sourced):
    """One kind of cure.

    Attributes
    ----------
    cure : its name
    short : its name in a list of work
    words : what is done, in a clause
    minutes_low, minutes, minutes_high : least, likely and most work beyond opening [min]
    uses_mm : wire that the first try uses up at each end [mm]
    comeback : chance that it fails within the horizon once it is done
    weak_point : what is likely to go wrong with it
    life_years : how long it is likely to last [a]; None where nothing is known
    life_standing : standing of that figure, blank where there is none
    """

    cure: str
    short: str
    words: str
    minutes_low: float
    minutes: float
    minutes_high: float
    uses_mm: float
    comeback: float
    weak_point: str
    life_years: float | None
    life_standing: str


@attrs.frozen(kw_only=True)
class CureStep(Sourced):
    """One step of a cure; the steps of a cure follow each other.

    Attributes
    ----------
    cure, step : names
    words : what to do
    hold : whether it needs a pass before going on
    caution : what can go wrong at this step, may be blank
    """

    cure: str
    step: str
    words: str
    hold: bool
    caution: str


@attrs.frozen(kw_only=True)
class CureRule(Sourced):
    """Which cure is thought of for which grade.

    Attributes
    ----------
    kind : `plug`, `wire`, `joint` or `device`
    aspect : what was graded; `inside` for what is wrong inside a device
    grade_from, grade_to : the grades it is thought of
    cure : kind of cure
    covers : aspects that it puts right at the same item
    not_at_lock : locks of a plug that do not allow it
    instead : the cure that such a plug gets, blank where every lock allows it
    """

    kind: str
    aspect: str
    grade_from: int
    grade_to: int
    cure: str
    covers: tuple[str, ...]
    not_at_lock: tuple[str, ...]
    instead: str


@cache
def cure_rules() -> tuple[CureRule, ...]:
    """All rules, in file order."""
    return tuple(
        CureRule(
            kind=row.text("kind"),
            aspect=row.text("aspect"),
            grade_from=row.whole("grade_from"),
            grade_to=row.whole("grade_to"),
            cure=row.text("cure"),
            covers=row.words("covers"),
            not_at_lock=row.words("not_at_lock"),
            instead=row.text("instead"),
            **sourced(row),
        )
        for row in rows("cure_rules")
    )


@cache
def never_released() -> frozenset[str]:
    """Locks that give no terminal up, so that nothing new can be crimped into their shell."""
    return frozenset(
        lock for rule in cure_rules() if rule.cure == "re_terminate" for lock in rule.not_at_lock
    )


@cache
def cure_kinds() -> Mapping[str, CureKind]:
    """All kinds of cure by name, the lightest first."""
    found = {
        row.text("cure"): CureKind(
            cure=row.text("cure"),
            short=row.text("short"),
            words=row.text("words"),
            minutes_low=row.number("minutes_low"),
            minutes=row.number("minutes"),
            minutes_high=row.number("minutes_high"),
            uses_mm=row.number("uses_mm"),
            comeback=row.number("comeback"),
            weak_point=row.text("weak_point"),
            life_years=row.number_or_none("life_years"),
            life_standing=row.text("life_standing"),
            **sourced(row),
        )
        for row in rows("cures")
    }
    return MappingProxyType(found)


def cure_kind(cure: str) -> CureKind:
    """The kind of cure of that name.

    Raises
    ------
    NotFound : there is no such cure
    """
    if cure not in cure_kinds():
        raise not_found("cure", cure, cure_kinds(), where="cures")
    return cure_kinds()[cure]


@cache
def cure_steps(cure: str) -> tuple[CureStep, ...]:
    """The steps of a cure in their order; none for `leave`.

    Raises
    ------
    NotFound : there is no such cure
    """
    cure_kind(cure)
    return tuple(
        CureStep(
            cure=row.text("cure"),
            step=row.text("step"),
            words=row.text("words"),
            hold=row.text("hold") == "yes",
            caution=row.text("caution"),
            **sourced(row),
        )
        for row in rows("cure_steps")
        if row.text("cure") == cure
    )
