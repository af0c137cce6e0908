"""What `heat` says: at a glance what is urgent, then plugs, boots, life, current and fuses."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from loomwright.cli.page import Page, table
from loomwright.services.currents_words import STANDING as CURRENT_STANDING
from loomwright.services.currents_words import headline as currents_headline
from loomwright.services.heat import HeatReport, ShieldTest
from loomwright.services.heat_rows import (
    URGENT,
    CurrentRow,
    GuardRow,
    LifeRow,
    current_rows,
    guard_rows,
    life_rows,
    plug_rows,
)
from loomwright.services.heat_words import HOT, glance, left_out
from loomwright.services.life_words import STANDING as LIFE_STANDING
from loomwright.services.life_words import headline as life_headline
from loomwright.services.plug_heat_words import DERIVED, not_told_line, zone_line
from loomwright.services.shield_test import CAUTIONS
from loomwright.services.shield_test_words import constant_words, rise_line, verdict_line
from loomwright.services.words import SAFETY, sentence

_MARKS = {"bad": "✗", "watch": "!", "good": "✓", "open": "·"}
_Row = TypeVar("_Row", LifeRow, CurrentRow, GuardRow)


def show_heat(report: HeatReport, *, every: bool = False) -> None:
    """The whole page.

    Parameters
    ----------
    report : what heat and current do
    every : also what is not urgent
    """
    page = Page()
    page.title(report.job)
    for word, said in glance(report):
        for n, text in enumerate(said):
            page.say(text, lead=f"{word if n == 0 else '':<14}")
    page.gap()
    page.say(HOT, lead="! ", style="care")
    _plugs(page, report)
    _shields(page, report.shields)
    _life(page, report, every=every)
    _currents(page, report, every=every)
    page.gap()
    page.say(SAFETY)


def _plugs(page: Page, report: HeatReport) -> None:
    page.heading("Plugs by zone, running and after a hot stop")
    for zone in report.plugs.zones:
        page.say(zone_line(zone), lead=f"{zone.course.zone}: ")
        made = table(
            ("", "left", 1), ("plugs", "left", 30), ("made for", "right", 14),
            ("bare", "right", 7), ("with boot", "right", 9), ("above", "right", 7),
        )  # fmt: skip
        rows = plug_rows(zone)
        for row in rows:
            made.add_row(_MARKS[row.level], row.plugs, row.made_for, row.bare, row.boot, row.above)
        page.show(made)
        for row in rows:
            if row.note:
                page.say(f"{row.note}.", lead=f"{row.plugs}: ")
    if not_told_line(report.plugs):
        page.say(not_told_line(report.plugs))
    page.say(DERIVED, style="quiet")


def _shields(page: Page, tests: Sequence[ShieldTest]) -> None:
    page.heading("Boots tried with a hot-air blower")
    for caution in CAUTIONS:
        page.say(caution, lead="! ", style="care")
    if not tests:
        page.say("None yet: warm a plug with its boot and without, and log it in warmings.")
    for test in tests:
        page.say(verdict_line(test), lead=f"{test.plug or 'A plug without a name'}: ")
        if rise_line(test):
            page.say(rise_line(test), lead="  ")
        page.say(f"bare {constant_words(test.bare)}; with the boot {constant_words(test.shielded)}",
                 lead="  Time constant: ")  # fmt: skip
        for line in test.not_told:
            page.say(sentence(line), lead="  not told: ")
        for line in test.measure:
            page.say(sentence(line), lead="  → ")


def _life(page: Page, report: HeatReport, *, every: bool) -> None:
    page.heading("Life of wires and boots, worst first")
    page.say(f"{sentence(life_headline(report.life))}.")
    rows = life_rows(report)
    for row in _shown(rows, every):
        when = f"; {row.inspect}" if row.inspect else ""
        page.say(f"{sentence(row.name)}: {row.left}{when}.", lead=f"{_MARKS[row.level]} ")
        if row.why:
            page.say(f"{sentence(row.why)}.", lead="    ")
        for bought in row.buys:
            page.say(bought, lead="    + ")
    _cut(page, rows, every, "life")
    page.say(LIFE_STANDING, style="quiet")


def _currents(page: Page, report: HeatReport, *, every: bool) -> None:
    page.heading("Current and fuses")
    page.say(f"{sentence(currents_headline(report.currents))}.")
    if report.currents.caution:
        page.say(report.currents.caution, lead="! ", style="care")
    wires, guards = current_rows(report), guard_rows(report)
    for row in _shown(wires, every):
        feeds = f", for {row.feeds}" if row.feeds else ""
        said = f"{row.current}{feeds}. {sentence(row.warmth)}"
        page.say(f"{said.rstrip('. ')}.", lead=f"{_MARKS[row.level]} {row.wire}: ")
    _cut(page, wires, every, "current")
    page.gap()
    for guard in _shown(guards, every):
        page.say(f"{guard.words}.", lead=f"{_MARKS[guard.level]} {guard.wires}: "
                 if len(guard.wires) < 12 else f"{_MARKS[guard.level]} ")  # fmt: skip
        if len(guard.wires) >= 12:
            page.say(guard.wires, lead="    ")
    _cut(page, guards, every, "fuses")
    page.say(CURRENT_STANDING, style="quiet")


def _shown(rows: Sequence[_Row], every: bool) -> Sequence[_Row]:
    return [row for row in rows if every or row.level in URGENT]


def _cut(page: Page, rows: Sequence[_Row], every: bool, thing: str) -> None:
    line = left_out(len(rows) - len(_shown(rows, every)), thing)
    if line:
        page.say(line)
