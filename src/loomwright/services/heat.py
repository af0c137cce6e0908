"""What heat and current do to a loom: its plugs, the boots that were tried, its life, its fuses."""

from __future__ import annotations

from datetime import date
from typing import Any

import attrs

from loomwright.loom import Job
from loomwright.services.currents import CurrentLine, CurrentsReport, Guard, currents
from loomwright.services.life import LifeLine, LifeReport, life
from loomwright.services.plug_heat import PlugHeat, PlugHeatReport, Soaked, as_it_is, plug_heat
from loomwright.services.shield_test import ShieldTest, shield_tests

__all__ = [
    "CurrentLine",
    "Guard",
    "HeatReport",
    "LifeLine",
    "PlugHeat",
    "ShieldTest",
    "Soaked",
    "heat",
]


@attrs.frozen(kw_only=True)
class HeatReport:
    """All of it.

    Attributes
    ----------
    job : title
    today : day from which lives are counted
    plugs : how hot each plug gets, running and after a hot stop
    shields : what warming plugs with a blower tells of their boots
    life : of wires' insulation and of boots, worst first
    currents : what each wire carries, how warm it runs, what guards it
    """

    job: str
    today: date
    plugs: PlugHeatReport
    shields: tuple[ShieldTest, ...]
    life: LifeReport
    currents: CurrentsReport

    @property
    def hottest(self) -> PlugHeat | None:
        """The plug that gets hottest as it is; None where no zone tells how warm it gets."""
        told = [each for zone in self.plugs.zones for each in zone.plugs if as_it_is(each)]
        return max(told, key=_peak, default=None)

    @property
    def fastest(self) -> LifeLine | None:
        """What heat or years end first, of all whose years are known; None where none are."""
        reckoned = (each for each in self.life.lines if each.life.remaining or each.life.total)
        return next(reckoned, None)

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "today": self.today.isoformat(),
            "hottest": None if self.hottest is None else self.hottest.plug,
            "ages_fastest": None if self.fastest is None else self.fastest.json(),
            "plugs": self.plugs.json(),
            "shield_tests": [each.json() for each in self.shields],
            "life": self.life.json(),
            "currents": self.currents.json(),
        }


def heat(job: Job, today: date) -> HeatReport:
    """Reckon all that heat and current do to a loom.

    Parameters
    ----------
    job : the loom with its zones, its survey, its fuses and its warming runs
    today : day from which lives are counted

    Raises
    ------
    OutOfRange : a figure of the workshop's own is not possible
    """
    return HeatReport(
        job=job.about.title,
        today=today,
        plugs=plug_heat(job),
        shields=shield_tests(job),
        life=life(job, today),
        currents=currents(job),
    )


def _peak(plug: PlugHeat) -> tuple[float, float]:
    soaked = as_it_is(plug)
    return (soaked.peak_c, soaked.above) if soaked else (0.0, 0.0)
