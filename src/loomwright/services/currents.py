"""What current each wire carries, how warm it runs, and whether its fuse guards it."""

from __future__ import annotations

from math import isinf
from typing import Any

import attrs

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job
from loomwright.repair.fuse_guard import (
    CAUTION,
    HOLDS,
    TOO_LARGE,
    UNGUARDED,
    UNKNOWN,
    Guard,
    Overload,
    fuse_guards,
)
from loomwright.repair.wire_current import WireCurrent
from loomwright.repair.wire_heat import Bundles, StretchHeat, WireHeat
from loomwright.services.numbers import plain

__all__ = [
    "CAUTION",
    "HOLDS",
    "TOO_LARGE",
    "UNGUARDED",
    "UNKNOWN",
    "CurrentLine",
    "CurrentsReport",
    "Guard",
    "Overload",
    "StretchHeat",
    "WireCurrent",
    "WireHeat",
    "currents",
]

BAD, WATCH, GOOD, OPEN = "bad", "watch", "good", "open"
_GUARD_ORDER = (TOO_LARGE, UNGUARDED, UNKNOWN, HOLDS)


@attrs.frozen(kw_only=True)
class CurrentLine:
    """One wire.

    Attributes
    ----------
    level : `bad` warmer than its class, `watch` so while starting or by its surroundings' doubt,
        `good`, or `open` where current, class or zone is not known
    heat : what was found
    """

    level: str
    heat: WireHeat

    def json(self) -> dict[str, Any]:
        """The line as the documented JSON."""
        heat, current, worst = self.heat, self.heat.current, self.heat.worst
        zone = None if worst is None else worst.stretch.zone
        return {
            "wire": heat.wire,
            "level": self.level,
            "current_a": _told(current.current_a),
            "state": current.state,
            "lasting_a": _told(current.lasting_a),
            "starting_a": _told(current.starting_a),
            "feeds": list(current.feeds),
            "section_mm2": plain(heat.section_mm2, 3),
            "insulation": heat.insulation.name,
            "class_c": heat.insulation.class_c,
            "where": None if worst is None else worst.stretch.where,
            "zone": None if zone is None else str(zone.zone),
            "wires_there": None if worst is None else len(worst.stretch.wires),
            "loading_pct": None if worst is None else plain(worst.loading_pct, 3),
            "factor": None if worst is None else plain(worst.factor, 3),
            "rise_k": None if worst is None else _told(worst.rise_k),
            "conductor_c": None if worst is None else _told(worst.conductor_c),
            "headroom_k": _told(heat.headroom_k),
            "starting_c": _told(heat.starting_c),
            "capacity_a": _told(heat.capacity_a),
            "unknown": list(heat.unknown),
        }


@attrs.frozen(kw_only=True)
class CurrentsReport:
    """Every wire under current, and every wire that a short circuit can load.

    Attributes
    ----------
    job : title
    supply_v : voltage reckoned with [V]
    lines : every wire, the least headroom first
    guards : wires that the battery feeds, what is wrong first
    fuses : elements of the job that are told to be fuses
    """

    job: str
    supply_v: float
    lines: tuple[CurrentLine, ...]
    guards: tuple[Guard, ...]
    fuses: tuple[str, ...]

    @property
    def caution(self) -> str:
        """What to take care of; blank where every wire is guarded."""
        return CAUTION if any(each.verdict != HOLDS for each in self.guards) else ""

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "supply_v": self.supply_v,
            "caution": self.caution,
            "lines": [each.json() for each in self.lines],
            "fuses": list(self.fuses),
            "guards": [_guard(each) for each in self.guards],
        }


def currents(job: Job) -> CurrentsReport:
    """Reckon current, warmth and fuses of every wire of the sound loom."""
    value = own_values(job)
    bundles = Bundles.of(job, value)
    lines = [CurrentLine(level=_level(heat, value), heat=heat) for heat in bundles.heats]
    guards = fuse_guards(job, bundles, value=value)
    return CurrentsReport(
        job=job.about.title,
        supply_v=value["current_running_supply"],
        lines=tuple(sorted(lines, key=_urgency)),
        guards=tuple(sorted(guards, key=_guard_urgency)),
        fuses=tuple(str(each.element) for each in job.elements if each.fuse_a is not None),
    )


def _level(heat: WireHeat, value: dict[str, float]) -> str:
    room, class_c = heat.headroom_k, heat.insulation.class_c
    if room is None or class_c is None:
        return OPEN
    if room < 0:
        return BAD
    starting = heat.starting_c is not None and heat.starting_c > class_c
    return WATCH if starting or room < value["ageing_zone_uncertainty"] else GOOD


def _urgency(line: CurrentLine) -> float:
    room = line.heat.headroom_k
    return float("inf") if room is None else room


def _guard_urgency(guard: Guard) -> tuple[int, float]:
    return _GUARD_ORDER.index(guard.verdict), guard.largest_a or 0.0


def _guard(each: Guard) -> dict[str, Any]:
    return {
        "wire": each.wire,
        "fuse": each.fuse,
        "rating_a": each.rating_a,
        "fuse_type": each.fuse_type,
        "verdict": each.verdict,
        "largest_a": each.largest_a,
        "checks": [
            {
                "percent": check.percent,
                "current_a": plain(check.current_a, 3),
                "opens_s": check.opens_s,
                "limit_c": plain(check.limit_c, 3),
                "wire_s": _told(check.wire_s),
                "holds": check.holds,
            }
            for check in each.checks
        ],
        "unknown": each.unknown,
    }


def _told(value: float | None) -> float | str | None:
    """A number for JSON; None where it is not known or without end."""
    return None if value is None or isinf(value) else plain(value, 3)
