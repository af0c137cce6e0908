"""Currents, warmth and fuses in words."""

from __future__ import annotations

from math import isinf

from loomwright.loom import State
from loomwright.services.counting import counted
from loomwright.services.currents import (
    HOLDS,
    TOO_LARGE,
    UNGUARDED,
    CurrentLine,
    CurrentsReport,
    Guard,
    Overload,
    WireCurrent,
)

__all__ = [
    "STANDING",
    "current_words",
    "feeds_words",
    "guard_words",
    "headline",
    "missing_words",
    "warmth_words",
]

STANDING = (
    "Reckoned on the sound loom at the supply of a running engine, with every output of the "
    "control unit on at once and motors as if they did not turn: more than really flows. Ratings "
    "of single wires and bundle curves up to 19 wires are published; opening times of fuses are "
    "from memory. A short circuit of little current may leave any fuse whole."
)
_MOST_FEEDS = 4
_WHEN = {"on": "with the key on", "run": "with the engine running", "start": "while starting"}


def headline(report: CurrentsReport) -> str:
    """How many run too warm, and how many stand behind no fuse or too large a one."""
    hot = sum(line.level == "bad" for line in report.lines)
    bare = len({each.wire for each in report.guards if each.verdict == UNGUARDED})
    large = len({each.wire for each in report.guards if each.verdict == TOO_LARGE})
    class_ = "its class" if hot == 1 else "their class"
    return (
        f"{counted(hot, 'wire')} warmer than {class_}, "
        f"{bare} without a fuse, {large} behind too large a fuse"
    )


def missing_words(report: CurrentsReport) -> str:
    """What the job does not tell of its fuses; blank where it tells."""
    if report.fuses:
        return ""
    return (
        "The job tells of no fuse: give fuse_a, and fuse_type where it is a blade fuse, to the "
        "element that is one."
    )


def current_words(current: WireCurrent) -> str:
    """`12 A with the key on`, or why it is not known."""
    if current.current_a is None:
        return f"not known: {current.unknown}"
    if not current.state:
        return "nothing in any state tried"
    key = str(State.parse(current.state).settings["key"])
    return f"{_amps(current.current_a)} {_WHEN.get(key, f'with key={key}')}"


def feeds_words(current: WireCurrent) -> str:
    """The devices that get their current through it, four at most by name."""
    left = len(current.feeds) - _MOST_FEEDS
    named = ", ".join(current.feeds[:_MOST_FEEDS])
    return named + (f" and {left} more" if left > 0 else "")


def warmth_words(line: CurrentLine) -> str:
    """How warm its conductor runs against what its insulation is made for."""
    heat, worst = line.heat, line.heat.worst
    if worst is None or heat.headroom_k is None:
        return "; ".join(heat.unknown)
    around = worst.stretch.running_c
    if isinf(worst.rise_k):
        return f"at {worst.stretch.where} it heats without end: take the load off it"
    told = (
        f"{worst.conductor_c:.0f} °C at {worst.stretch.where} ({around:g} °C around it and "
        f"{worst.rise_k:.0f} K by current among {counted(len(worst.stretch.wires), 'wire')}); "
        f"{heat.insulation.name}: "
    )
    room = heat.headroom_k
    told += f"{room:.0f} K in hand" if room >= 0 else f"{-room:.0f} K too warm"
    if heat.starting_c is not None and heat.starting_c > (heat.insulation.class_c or 0.0):
        told += f"; {heat.starting_c:.0f} °C if the starter turned without end"
    return told


def guard_words(guard: Guard) -> str:
    """Whether the fuse opens before the wire is too hot, and the largest that would."""
    kind = guard.fuse_type or "C"
    best = (
        f"the largest blade fuse of type {kind} that guards it is {guard.largest_a:g} A"
        if guard.largest_a
        else f"no blade fuse of type {kind} is known to guard it"
    )
    if guard.verdict == UNGUARDED:
        return f"straight from the battery without a fuse; {best}"
    named = f"{guard.fuse}, {guard.rating_a:g} A"
    if guard.verdict == HOLDS:
        return f"{named}: opens before the wire is too hot; {best}"
    if guard.verdict == TOO_LARGE:
        worst = "; ".join(_late(each) for each in guard.checks if not each.holds)
        return f"{named}: too large; {worst}; {best}"
    return f"{named}: {guard.unknown}"


def _late(each: Overload) -> str:
    return (
        f"at {_amps(each.current_a)} the fuse may take {_seconds(each.opens_s)}, the wire is at "
        f"{each.limit_c:.0f} °C after {_seconds(each.wire_s)}"
    )


def _seconds(value: float) -> str:
    return f"{value / 60:.0f} min" if value >= 120 else f"{value:.2g} s"


def _amps(value: float) -> str:
    if value < 0.0995:
        return f"{value * 1000:.2g} mA"
    return f"{value:.2g} A" if value < 10 else f"{value:.0f} A"
