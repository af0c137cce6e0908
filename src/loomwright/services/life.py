"""How long the wires' insulation and the boots will last: worst first, as bands, never one date."""

from __future__ import annotations

from datetime import date
from math import isinf
from typing import Any

import attrs

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job
from loomwright.repair.condition import conditions
from loomwright.repair.wire_heat import Bundles
from loomwright.repair.wire_life import BY_AGE, BY_HEAT, NEITHER, Band, Buys, Life, lives
from loomwright.services.numbers import plain

__all__ = ["BY_AGE", "BY_HEAT", "NEITHER", "Band", "Buys", "Life", "LifeLine", "LifeReport", "life"]

BAD, WATCH, GOOD, OPEN = "bad", "watch", "good", "open"


@attrs.frozen(kw_only=True)
class LifeLine:
    """One wire or boot.

    Attributes
    ----------
    level : `bad` due now, `watch` within the years between two looks, `good`, or `open` where
        nobody looked or class and zone are not known
    life : what was found
    """

    level: str
    life: Life

    def json(self) -> dict[str, Any]:
        """The line as the documented JSON."""
        found = self.life
        zone = found.zone
        return {
            "item": found.item,
            "kind": found.kind,
            "level": self.level,
            "material": found.material.name,
            "class_c": found.material.class_c,
            "where": found.where,
            "zone": None if zone is None else str(zone.zone),
            "running_c": None if zone is None else zone.running_c,
            "soak_c": None if zone is None else zone.soak_c,
            "rise_k": _told(found.rise_k),
            "share_per_year": _told(found.share_per_year),
            "total_a": _band(found.total),
            "bound": found.bound,
            "grade": found.grade,
            "remaining_a": _band(found.remaining),
            "inspect_by": None if found.inspect_by is None else found.inspect_by.isoformat(),
            "buys": [
                {
                    "kind": each.kind,
                    "what": each.what,
                    "times": _told(each.times),
                    "total_a": _band(each.total),
                }
                for each in found.buys
            ],
            "unknown": list(found.unknown),
        }


@attrs.frozen(kw_only=True)
class LifeReport:
    """Every wire and boot.

    Attributes
    ----------
    job : title
    today : day from which is counted
    most_years : no life longer than this is told [a]
    lines : worst first
    """

    job: str
    today: date
    most_years: float
    lines: tuple[LifeLine, ...]

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "today": self.today.isoformat(),
            "most_years": self.most_years,
            "lines": [each.json() for each in self.lines],
        }

    def of(self, item: str) -> tuple[LifeLine, ...]:
        """The lines of one wire or plug."""
        return tuple(each for each in self.lines if each.life.item == item)


def life(job: Job, today: date) -> LifeReport:
    """Reckon the life of every wire's insulation and every boot.

    Parameters
    ----------
    job : the loom with its zones and its survey
    today : day from which to count
    """
    value = own_values(job)
    found = lives(job, Bundles.of(job, value).heats, conditions(job), value=value, today=today)
    lines = [LifeLine(level=_level(each, value), life=each) for each in found]
    return LifeReport(
        job=job.about.title,
        today=today,
        most_years=value["ageing_most_years"],
        lines=tuple(sorted(lines, key=_urgency)),
    )


def _level(found: Life, value: dict[str, float]) -> str:
    look = value["look_again_years"]
    if found.grade is not None and found.grade >= value["bad_grade"]:
        return BAD
    if found.remaining is not None:
        left = found.remaining
        return BAD if left.likely < 1 else WATCH if left.low < look else GOOD
    if found.total is not None and found.total.low < look:
        return WATCH
    return OPEN


def _urgency(line: LifeLine) -> tuple[int, float]:
    """By level, then by the years at the low end."""
    found = line.life
    band = found.remaining or found.total
    years = float("inf") if band is None else band.low
    return (BAD, WATCH, OPEN, GOOD).index(line.level), years - (found.grade or 0) * 1e-3


def _band(band: Band | None) -> list[float | str] | None:
    return None if band is None else [plain(each, 3) for each in (band.low, band.likely, band.high)]


def _told(value: float | None) -> float | str | None:
    """A number for JSON; None where it is not known or without end."""
    return None if value is None or isinf(value) else plain(value, 3)
