"""How hot each plug gets after a hot stop, by zone, and what a boot does for it."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright import standards
from loomwright.diagnosis.priors import own_figures, own_values
from loomwright.loom import Job
from loomwright.repair.plug_heat import (
    BlowerTimes,
    PlugHeat,
    Soaked,
    ZoneCourse,
    blower_times,
    plug_heats,
    zone_courses,
)
from loomwright.services.numbers import plain
from loomwright.standards import Default

__all__ = [
    "BlowerTimes",
    "Default",
    "PlugHeat",
    "PlugHeatReport",
    "Soaked",
    "ZoneCourse",
    "ZoneHeat",
    "plug_heat",
]

_OF_MODEL = ("plug_", "boot_", "blower_", "soak_")
_NOT_OF_MODEL = ("boot_slows", "blower_reading", "blower_timing", "blower_highest")
_COURSE_STEP = 5
"""Every how manieth point of a course is told in the JSON."""


@attrs.frozen(kw_only=True)
class ZoneHeat:
    """One zone and the plugs in it.

    Attributes
    ----------
    course : air and plugs after a hot stop
    plugs : the plugs in it, in the order of the sheet
    """

    course: ZoneCourse
    plugs: tuple[PlugHeat, ...]

    @property
    def over(self) -> tuple[PlugHeat, ...]:
        """Plugs that get above their limit as they are: with their boot where they have one."""
        return tuple(each for each in self.plugs if (as_it_is(each) or _COLD).above > 0)

    @property
    def hot_running(self) -> tuple[PlugHeat, ...]:
        """Plugs whose limit lies below the air while running: no boot helps them."""
        return tuple(each for each in self.plugs if each.limit_c < self.course.running_c)


_COLD = Soaked(peak_c=0.0, peak_at=0.0, above=0.0)


@attrs.frozen(kw_only=True)
class PlugHeatReport:
    """The heat of every plug.

    Attributes
    ----------
    job : title
    ambient_c : what everything cools down to [°C]
    zones : hottest first; only those with plugs
    not_told : plugs of which the job does not tell how hot it gets
    blower : what a hot-air blower does, by the same model
    figures : what the model is built on, with the standing of each; own figures in their place
    """

    job: str
    ambient_c: float
    zones: tuple[ZoneHeat, ...]
    not_told: tuple[PlugHeat, ...]
    blower: BlowerTimes
    figures: tuple[Default, ...]

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "ambient_c": self.ambient_c,
            "standing": "derived",
            "zones": [_zone(each) for each in self.zones],
            "not_told": [_plug(each) for each in self.not_told],
            "blower": {
                "start_c": self.blower.start_c,
                "target_c": self.blower.target_c,
                "air_c": self.blower.air_c,
                "bare_s": plain(self.blower.bare_s, 2),
                "shielded_s": plain(self.blower.shielded_s, 2),
                "slower": None if self.blower.slower is None else plain(self.blower.slower, 2),
            },
            "figures": [
                {
                    "name": each.name,
                    "value": each.value,
                    "unit": each.unit,
                    "standing": each.standing,
                    "source": each.source.citation,
                    "note": each.note,
                }
                for each in self.figures
            ],
        }


def plug_heat(job: Job) -> PlugHeatReport:
    """How hot each plug gets.

    Raises
    ------
    OutOfRange : a figure of the workshop's own is not possible
    """
    value = own_values(job)
    courses = zone_courses(job, value=value)
    plugs = plug_heats(job, courses, value=value)
    zones = (
        ZoneHeat(course=course, plugs=tuple(each for each in plugs if each.zone == course.zone))
        for course in courses
    )
    return PlugHeatReport(
        job=job.about.title,
        ambient_c=job.about.ambient_c,
        zones=tuple(each for each in zones if each.plugs),
        not_told=tuple(each for each in plugs if each.bare is None),
        blower=blower_times(value),
        figures=_figures(job),
    )


def as_it_is(plug: PlugHeat) -> Soaked | None:
    """A plug with its boot, or bare where it has none by design or where that is not known."""
    return plug.shielded if plug.has_boot else plug.bare


def _figures(job: Job) -> tuple[Default, ...]:
    own = own_figures(job)
    return tuple(
        attrs.evolve(row, value=own[row.name], standing="measured", note="of this job")
        if row.name in own
        else row
        for row in standards.defaults().values()
        if row.name.startswith(_OF_MODEL) and not row.name.startswith(_NOT_OF_MODEL)
    )


def _zone(each: ZoneHeat) -> dict[str, Any]:
    course = each.course
    return {
        "zone": course.zone,
        "running_c": course.running_c,
        "soak_c": course.soak_c,
        "course": [
            {
                "minutes": plain(minutes, 3),
                "air_c": plain(air, 3),
                "bare_c": plain(bare, 3),
                "shielded_c": plain(shielded, 3),
            }
            for minutes, air, bare, shielded in list(
                zip(course.minutes, course.air_c, course.bare_c, course.shielded_c, strict=True)
            )[::_COURSE_STEP]
        ],
        "plugs": [_plug(plug) for plug in each.plugs],
    }


def _plug(each: PlugHeat) -> dict[str, Any]:
    return {
        "plug": each.plug,
        "zone": each.zone,
        "limit_c": each.limit_c,
        "limit_of": each.limit_of,
        "has_boot": each.has_boot,
        "bare": _soaked(each.bare),
        "shielded": _soaked(each.shielded),
        "unknown": list(each.unknown),
    }


def _soaked(each: Soaked | None) -> dict[str, Any] | None:
    if each is None:
        return None
    return {
        "peak_c": plain(each.peak_c, 3),
        "peak_at_minutes": plain(each.peak_at, 2),
        "minutes_above_limit": plain(each.above, 2),
    }
