"""The rows of what heat does, what reads alike in one row: for screen, page and paper."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

import attrs

from loomwright.services.currents import HOLDS, UNKNOWN, CurrentLine, Guard
from loomwright.services.currents_words import (
    current_words,
    feeds_words,
    guard_words,
    warmth_words,
)
from loomwright.services.heat import HeatReport
from loomwright.services.life import LifeLine
from loomwright.services.life_words import bought_words, inspect_words, left_words, reason_words
from loomwright.services.plug_heat import PlugHeat, Soaked, ZoneHeat, as_it_is
from loomwright.services.plug_heat_words import zone_line
from loomwright.services.words import listed, sentence

__all__ = ["GOOD", "CurrentRow", "GuardRow", "LifeRow", "PlugRow", "ZoneRow"]

GOOD, BAD, OPEN = "good", "bad", "open"
URGENT = ("bad", "watch")
"""Levels that a short list shows; the others wait behind `all of it`."""
_MOST_PLACES = 3
_Each = TypeVar("_Each")


@attrs.frozen(kw_only=True)
class PlugRow:
    """Plugs of one zone that get equally hot.

    Attributes
    ----------
    level : `bad` above what they are made for as they are, `good` below it
    plugs : their names
    made_for : limit, and the wire that sets it
    bare, boot : highest temperature after a hot stop without and with the boot [°C]
    above : minutes above the limit as they are; a dash where never
    note : what is not known of them; may be blank
    """

    level: str
    plugs: str
    made_for: str
    bare: str
    boot: str
    above: str
    note: str


@attrs.frozen(kw_only=True)
class LifeRow:
    """Wires or boots whose life is the same for the same reasons.

    Attributes
    ----------
    level : `bad`, `watch`, `open` or `good`
    items : their names
    kind : `wire` or `boot`
    left : years that are left
    why : what ends it and where
    inspect : when to look at it; blank where no day can be given
    buys : what would make it last longer
    """

    level: str
    items: str
    kind: str
    left: str
    why: str
    inspect: str
    buys: tuple[str, ...]

    @property
    def name(self) -> str:
        """`wire W23`, `boot of plugs TE and TH`."""
        return _called(self.kind, self.items)


@attrs.frozen(kw_only=True)
class ZoneRow:
    """One zone.

    Attributes
    ----------
    zone : its name
    words : what happens in it
    plugs : those in it
    """

    zone: str
    words: str
    plugs: tuple[PlugRow, ...]


@attrs.frozen(kw_only=True)
class CurrentRow:
    """One wire under current.

    Attributes
    ----------
    level : `bad`, `watch`, `good` or `open`
    wire, current, feeds, warmth : in words
    """

    level: str
    wire: str
    current: str
    feeds: str
    warmth: str


@attrs.frozen(kw_only=True)
class GuardRow:
    """Wires that the battery feeds, with what guards them.

    Attributes
    ----------
    level : `bad` unguarded or too large a fuse, `open` where that is not known, `good`
    wires : their names
    words : the fuse, and the largest that would guard them
    """

    level: str
    wires: str
    words: str


def plug_rows(zone: ZoneHeat) -> tuple[PlugRow, ...]:
    """The plugs of a zone."""

    def alike(plug: PlugHeat) -> object:
        return plug.limit_c, bool(plug.limit_of), plug.has_boot, plug.unknown

    return tuple(_plug_row(each) for each in _grouped(zone.plugs, alike))


def life_rows(report: HeatReport) -> tuple[LifeRow, ...]:
    """Wires and boots, worst first."""
    most = report.life.most_years

    def alike(line: LifeLine) -> object:
        found = line.life
        return (
            line.level, found.kind, left_words(found, most), inspect_words(line),
            bought_words(found, most), reason_words(attrs.evolve(found, where="", rise_k=0.0)),
        )  # fmt: skip

    return tuple(_life_row(each, most) for each in _grouped(report.life.lines, alike))


def later_rows(report: HeatReport) -> tuple[tuple[str, str], ...]:
    """What is not urgent, in short: wires or boots of like life, and what is left of it."""
    most = report.life.most_years
    later = [each for each in report.life.lines if each.level not in URGENT]

    def told(line: LifeLine) -> tuple[str, str, str]:
        left = left_words(line.life, most).partition(";")[0]
        looked = line.life.remaining is not None or line.life.total is None
        return line.life.kind, left if looked else f"{left}; look at it", inspect_words(line)

    return tuple(
        (_called(each[0].life.kind, _names(one.life.item for one in each)),
         "; ".join(filter(None, told(each[0])[1:])))
        for each in _grouped(later, told)
    )  # fmt: skip


def current_rows(report: HeatReport) -> tuple[CurrentRow, ...]:
    """Every wire, the least headroom first."""
    return tuple(_current_row(each) for each in report.currents.lines)


def guard_rows(report: HeatReport) -> tuple[GuardRow, ...]:
    """Every wire that the battery feeds, what is wrong first."""
    return tuple(
        GuardRow(level=_guard_level(each[0]), wires=_names(guard.wire for guard in each),
                 words=sentence(guard_words(each[0])))
        for each in _grouped(report.currents.guards, guard_words)
    )  # fmt: skip


def _plug_row(alike: list[PlugHeat]) -> PlugRow:
    first = alike[0]
    now = as_it_is(first)
    wires = {each.limit_of for each in alike} - {""}
    return PlugRow(
        level=OPEN if now is None else BAD if now.above > 0 else GOOD,
        plugs=_names(each.plug for each in alike),
        made_for=f"{first.limit_c:.0f} °C" + ("" if wires else " (usual)"),
        bare=_degrees(first.bare),
        boot="no boot" if first.has_boot is False else _degrees(first.shielded),
        above=f"{now.above:.0f} min" if now is not None and now.above > 0 else "–",
        note=sentence("; ".join(first.unknown)),
    )


def _life_row(alike: list[LifeLine], most_years: float) -> LifeRow:
    first = alike[0].life
    # Of wires that carry different currents the first to go stands for all.
    where = _where([each.life.where for each in alike])
    return LifeRow(
        level=alike[0].level,
        items=_names(each.life.item for each in alike),
        kind=first.kind,
        left=left_words(first, most_years),
        why=reason_words(attrs.evolve(first, where=where)),
        inspect=inspect_words(alike[0]),
        buys=bought_words(first, most_years),
    )


def _current_row(line: CurrentLine) -> CurrentRow:
    return CurrentRow(
        level=line.level,
        wire=line.heat.wire,
        current=current_words(line.heat.current),
        feeds=feeds_words(line.heat.current),
        warmth=warmth_words(line),
    )


def _guard_level(guard: Guard) -> str:
    return {HOLDS: GOOD, UNKNOWN: OPEN}.get(guard.verdict, BAD)


def _degrees(soaked: Soaked | None) -> str:
    return f"{soaked.peak_c:.0f} °C" if soaked else "–"


def _called(kind: str, items: str) -> str:
    several = "s" if " " in items else ""
    return f"{'boot of plug' if kind == 'boot' else 'wire'}{several} {items}"


def _where(places: list[str]) -> str:
    found = list(dict.fromkeys(places))
    left = len(found) - _MOST_PLACES
    if left <= 0:
        return listed(found)
    return f"{', '.join(found[:_MOST_PLACES])} and {left} more places"


def _names(names: Iterable[str]) -> str:
    return listed(list(dict.fromkeys(names)))


def _grouped(each: Iterable[_Each], alike: Callable[[_Each], object]) -> Iterator[list[_Each]]:
    """Those alike together, in the order of the first of each."""
    found: dict[object, list[_Each]] = {}
    for one in each:
        found.setdefault(alike(one), []).append(one)
    yield from found.values()


def zone_row(zone: ZoneHeat) -> ZoneRow:
    """A zone with its plugs."""
    return ZoneRow(zone=zone.course.zone, words=zone_line(zone), plugs=plug_rows(zone))
