"""The heat of plugs in words."""

from __future__ import annotations

from math import isinf

from loomwright.services.plug_heat import BlowerTimes, PlugHeat, PlugHeatReport, Soaked, ZoneHeat
from loomwright.services.words import listed, sentence

__all__ = ["DERIVED", "blower_line", "not_told_line", "plug_line", "zone_line"]

DERIVED = (
    "Worked out with assumed sizes of plug and boot and an assumed course of the air; good for "
    "comparing zones and for what a boot does, not to a degree. A thermometer in the plug knows "
    "better."
)
"""What to make of the figures; stands once beside them."""


def zone_line(each: ZoneHeat) -> str:
    """What happens in a zone after a hot stop, one sentence or two."""
    course, one = each.course, each.plugs[0]
    said = (
        f"Air {course.running_c:.0f} °C running, {course.soak_c:.0f} °C after a hot stop: a bare "
        f"plug reaches {_peak(one.bare)}, one with its boot {_peak(one.shielded)}."
    )
    if each.hot_running:
        names = listed([plug.plug for plug in each.hot_running])
        return f"{said} Running alone is hotter already than {names} can bear for long."
    return said


def plug_line(each: PlugHeat) -> str:
    """What one plug gets to, and for how long it is above what it is made for."""
    if each.bare is None or each.shielded is None:
        return sentence("; ".join(each.unknown)) + "."
    made = f"{each.limit_c:.0f} °C" + (f" (wire {each.limit_of})" if each.limit_of else " (usual)")
    known = [("bare", each.bare), ("with its boot", each.shielded)]
    if each.has_boot is False:
        known = known[:1]
    told = [f"{words} {_above(soaked, made)}" for words, soaked in known]
    return sentence("; ".join((*told, *each.unknown))) + "."


def blower_line(blower: BlowerTimes) -> str:
    """What a hot-air blower does by the model."""
    way = f"From {blower.start_c:.0f} to {blower.target_c:.0f} °C in air of {blower.air_c:.0f} °C"
    if isinf(blower.bare_s) or isinf(blower.shielded_s):
        return f"{way}: it never gets there."
    return (
        f"{way}: bare about {blower.bare_s:.0f} s, with a sound boot about "
        f"{blower.shielded_s:.0f} s (worked out, assumed sizes; common practice is about 5 s and "
        "about a minute)."
    )


def not_told_line(report: PlugHeatReport) -> str:
    """Plugs of which nothing can be said; blank where there are none."""
    if not report.not_told:
        return ""
    names = listed([each.plug for each in report.not_told])
    return f"How hot it gets is not known for {names}: the zone or its temperatures are not told."


def _peak(each: Soaked | None) -> str:
    return f"{each.peak_c:.0f} °C after {each.peak_at:.0f} minutes" if each else "not known"


def _above(each: Soaked, made: str) -> str:
    if each.above <= 0:
        return f"at most {each.peak_c:.0f} °C, below the {made} it is made for"
    return f"{each.peak_c:.0f} °C, for {each.above:.0f} minutes above the {made} it is made for"
