"""What heat and current do, at a glance: what ages fastest, what is hottest, what is not right."""

from __future__ import annotations

from collections.abc import Iterable

from loomwright.services.counting import counted
from loomwright.services.currents import TOO_LARGE, UNGUARDED
from loomwright.services.currents_words import missing_words
from loomwright.services.heat import HeatReport, LifeLine, PlugHeat, ShieldTest
from loomwright.services.life_words import inspect_words, left_words
from loomwright.services.plug_heat import as_it_is
from loomwright.services.plug_heat_words import plug_line
from loomwright.services.shield_test_words import verdict_line
from loomwright.services.words import listed, sentence

__all__ = ["HOT", "course_words", "glance", "left_out", "runs_words"]

HOT = (
    "Engine, exhaust and cooling system burn skin for an hour and more after a hot stop: let them "
    "cool before you feel along the loom, and keep hands off a fan that may start by itself."
)
"""What to mind when the loom is looked at; common practice, no published source."""
_MOST_NAMED = 6


def glance(report: HeatReport) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """A word and its sentences each: what ages fastest, what is hottest, current, fuses."""
    return (
        ("Ages fastest", (_fastest(report), *_due(report))),
        ("Hottest", (_hottest(report),)),
        ("Current", (_current(report),)),
        ("Fuses", tuple(_fuses(report))),
    )


def left_out(number: int, thing: str) -> str:
    """How many rows a short list leaves out; blank for none."""
    if number == 0:
        return ""
    more = f"1 more row of {thing}" if number == 1 else f"{number} more rows of {thing}"
    return f"And {more}, of nothing urgent; --all tells everything."


def course_words(plug: PlugHeat) -> str:
    """What the drawing of a hot stop shows, for those who cannot see it."""
    return f"Plug {plug.plug} after a hot stop. {plug_line(plug)}"


def runs_words(test: ShieldTest) -> str:
    """What the drawing of warming runs shows, for those who cannot see it."""
    runs = "; ".join(
        f"{each.run} with the boot {each.boot}: {each.first_c:.0f} to {each.last_c:.0f} °C in "
        f"{each.seconds:.0f} s"
        for each in test.runs
    )
    return f"{runs}. {verdict_line(test)}"


def _fastest(report: HeatReport) -> str:
    line = report.fastest
    if line is None:
        return (
            "Not known: give wires their insulation, branches a zone, and zones running_c, "
            "soak_c and hours_per_year."
        )
    when = inspect_words(line) or "look at it in this job"
    left = left_words(line.life, report.life.most_years).partition(";")[0]
    return f"{sentence(_item(line))}: {left}; {when}."


def _due(report: HeatReport) -> Iterable[str]:
    """What else is due now, and the next day to look."""
    due = [each for each in report.life.lines if each.level == "bad" and each != report.fastest]
    if due:
        yield f"Due now besides: {_named(_item(each) for each in due)}."
    days = [each for each in report.life.lines if each.level != "bad" and each.life.inspect_by]
    if days:
        first = min(days, key=lambda each: str(each.life.inspect_by))
        yield f"The next to look at: {_item(first)}, {inspect_words(first)}."


def _hottest(report: HeatReport) -> str:
    plug = report.hottest
    soaked = as_it_is(plug) if plug else None
    if plug is None or soaked is None:
        return "Not known: no zone with a plug in it tells running_c and soak_c."
    boot = "bare" if not plug.has_boot else "with its boot"
    after = (
        f"{soaked.above:.0f} minutes above the {plug.limit_c:.0f} °C it is made for"
        if soaked.above > 0
        else f"below the {plug.limit_c:.0f} °C it is made for"
    )
    return (
        f"Plug {plug.plug} {boot}: {soaked.peak_c:.0f} °C {soaked.peak_at:.0f} minutes after a hot "
        f"stop, {after}."
    )


def _current(report: HeatReport) -> str:
    bad = [each.heat.wire for each in report.currents.lines if each.level == "bad"]
    if bad:
        return f"{counted(len(bad), 'wire')} warmer than their class while running: {_named(bad)}."
    if all(each.level == "open" for each in report.currents.lines):
        return "Not known: no wire has its current, class and zone told."
    return "No wire is known to run warmer than its class."


def _fuses(report: HeatReport) -> Iterable[str]:
    guards = report.currents.guards
    large: dict[str, None] = {}
    for each in guards:
        if each.verdict == TOO_LARGE:
            large[f"{each.fuse} ({each.rating_a:g} A)"] = None
    bare = list(dict.fromkeys(each.wire for each in guards if each.verdict == UNGUARDED))
    if large:
        yield f"Too large for wires behind them: {listed([*large])}."
    if bare:
        yield f"{counted(len(bare), 'wire')} fed without a fuse: {_named(bare)}."
    if missing_words(report.currents):
        yield missing_words(report.currents)
    elif not large and not bare:
        yield "No wire is known to be without a fuse, or behind too large a one."


def _item(line: LifeLine) -> str:
    return (
        f"boot of plug {line.life.item}" if line.life.kind == "boot" else f"wire {line.life.item}"
    )


def _named(names: Iterable[str]) -> str:
    every = list(dict.fromkeys(names))
    left = len(every) - _MOST_NAMED
    shown = every if left <= 1 else [*every[:_MOST_NAMED], f"{left} more"]
    return listed(shown)
