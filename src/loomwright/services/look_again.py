"""When to look again: what was left with its risk, how long the work lasts, and the visits.

The visits are common practice or assumed, no published source; each figure is a default that a
person replaces by their own (`look_again_…`).
"""

from __future__ import annotations

import calendar
from collections.abc import Iterator, Mapping
from datetime import date

import attrs

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job
from loomwright.services.judge import JudgeReport
from loomwright.services.plan import CURE_WORDS, PlanReport
from loomwright.standards.cures import cure_kind

_SMALL = 0.1


@attrs.frozen(kw_only=True)
class Left:
    """Something that is left as it is.

    Attributes
    ----------
    item, aspect : plug, wire, joint or device, and which part of it
    grade : 0 as new … 4 danger; None where it was not looked at
    looks_like : what that grade looks like
    chance : that it comes back
    """

    item: str
    aspect: str
    grade: int | None
    looks_like: str
    chance: float


@attrs.frozen(kw_only=True)
class Lasting:
    """How long a kind of work lasts.

    Attributes
    ----------
    words : the work
    where : its items
    years : likely life [a], None where nothing is known
    standing : of that figure
    """

    words: str
    where: tuple[str, ...]
    years: float | None
    standing: str


@attrs.frozen(kw_only=True)
class Visit:
    """One time to look again.

    Attributes
    ----------
    when : after the work, in words
    by : day, ISO 8601; empty where it hangs on driving or the day of the work is not known
    what : what is looked at
    """

    when: str
    by: str
    what: str


@attrs.frozen(kw_only=True)
class LookAgain:
    """What was left, what lasts how long, and when to look.

    Attributes
    ----------
    since : day of the last reading after the work, ISO 8601; empty without one
    left : what stays, the most likely to come back first
    small : how many more there are, each less likely than `small_chance` to come back
    comebacks : of everything left and done together, None without a choice
    lasting : kinds of work with their likely life, the shortest first
    visits : when to look again; none where nothing is done and nothing is left
    standing : what the figures rest on
    """

    since: str
    left: tuple[Left, ...]
    small: int
    small_chance: float
    comebacks: float | None
    lasting: tuple[Lasting, ...]
    visits: tuple[Visit, ...]
    standing: str


def look_again(job: Job, plan: PlanReport, judged: JudgeReport) -> LookAgain:
    """The rule for the offer that the plan orders.

    Parameters
    ----------
    job : for its own figures and the day of its last proof
    plan : what is done and left
    judged : grades of what is left
    """
    value = own_values(job)
    offer = plan.chosen
    left = sorted(_left(plan, judged, offer.choice.left if offer.choice else ()),
                  key=lambda each: -each.chance)  # fmt: skip
    told = tuple(each for each in left if each.chance >= _SMALL)
    since = _since(job)
    return LookAgain(
        since=since.isoformat() if since else "",
        left=told,
        small=len(left) - len(told),
        small_chance=_SMALL,
        comebacks=None if offer.choice is None else offer.choice.comebacks,
        lasting=tuple(_lasting(offer.choice.cures if offer.choice else ())),
        visits=tuple(_visits(value, since, bad=any(_bad(each, value) for each in told)))
        if left or (offer.choice and offer.choice.cures)
        else (),
        standing="common practice or assumed, no published source",
    )


def _left(plan: PlanReport, judged: JudgeReport, names: tuple[str, ...]) -> Iterator[Left]:
    chance = {each.item: each.comeback for each in plan.items}
    seen = {(each.item, looked.aspect): looked for each in judged.items for looked in each.looked}
    for name in names:
        item, _, aspect = name.rpartition(" ")
        looked = seen.get((item, aspect))
        yield Left(
            item=item,
            aspect=aspect,
            grade=looked.grade if looked else None,
            looks_like=looked.looks_like if looked else "",
            chance=chance.get(name, 0.0),
        )


def _lasting(cures: tuple[str, ...]) -> Iterator[Lasting]:
    where: dict[str, list[str]] = {}
    for cure in cures:
        kinds, _, item = cure.rpartition(" ")
        for kind in kinds.split(" + "):
            where.setdefault(kind, []).append(item)
    lives = [
        Lasting(
            words=CURE_WORDS[kind],
            where=tuple(items),
            years=cure_kind(kind).life_years,
            standing=cure_kind(kind).life_standing,
        )
        for kind, items in where.items()
    ]
    yield from sorted(lives, key=lambda each: (each.years is None, each.years or 0.0))


def _visits(value: Mapping[str, float], since: date | None, *, bad: bool) -> Iterator[Visit]:
    days, months = value["look_again_days"], value["look_again_months"]
    early = value["look_again_bad_months"]
    yield Visit(
        when=f"after the first {days:.0f} hot days of driving",
        by="",
        what="every plug that was opened, by eye and by hand; the hot readings once more",
    )
    if bad and early < months:
        yield Visit(
            when=f"after {early:.0f} months",
            by=_day(_months_on(since, early)),
            what="what was left although it is in a bad state",
        )
    yield Visit(
        when=f"after {months:.0f} months, at the yearly service",
        by=_day(_months_on(since, months)),
        what="voltage drops, the hot readings, every boot, and all that was left",
    )
    years, km = value["look_again_years"], value["look_again_km"]
    yield Visit(
        when=f"then every {years:.0f} years or {km:,.0f} km".replace(",", "\u00a0"),
        by="",
        what="the same",
    )


def _bad(each: Left, value: Mapping[str, float]) -> bool:
    return each.grade is not None and each.grade >= value["bad_grade"]


def _since(job: Job) -> date | None:
    """Day of the last reading after the work, where one is written as a day."""
    days = []
    for reading in job.proof:
        try:
            days.append(date.fromisoformat((reading.taken_at or "")[:10]))
        except ValueError:  # the cell is free text
            continue
    return max(days, default=None)


def _months_on(since: date | None, months: float) -> date | None:
    """The same day so many months later, the month's last where it has no such day."""
    if since is None:
        return None
    year, month = divmod(since.month - 1 + round(months), 12)
    year, month = since.year + year, month + 1
    return date(year, month, min(since.day, calendar.monthrange(year, month)[1]))


def _day(when: date | None) -> str:
    return when.isoformat() if when else ""
