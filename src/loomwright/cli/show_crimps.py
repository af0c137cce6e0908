"""What `crimps` says: what the trials prove, and how far each plug's spare wire goes."""

from __future__ import annotations

from itertools import groupby

from loomwright.cli.page import Page, table
from loomwright.services.crimps import CrimpsReport, Ledger, SetUp
from loomwright.services.words import SAFETY, listed, sure


def show_crimps(report: CrimpsReport) -> None:
    """Trials by set-up, then the ledger."""
    page = Page()
    page.title(report.job)
    if not report.set_ups:
        page.say(
            "No trial crimp yet: make three to five on the same wire, measure height and pull, and "
            "write them into crimps."
        )
    for each in report.set_ups:
        _set_up(page, each)
    if report.ledgers:
        page.heading("Spare wire: tries there is wire for, and the chance to finish")
        _ledgers(page, report.ledgers)
        for line in _advice(report.ledgers):
            page.say(line)
    page.gap()
    page.say(
        f"A crimp is taken to fail with {sure(report.scrap)}, by the trials and common practice "
        "together. A pull force alone does not prove a good crimp: look and height come first."
    )
    page.say("! No solder after the crimp, no trimmed strands; key off and battery minus off.")
    page.say(SAFETY)


def _set_up(page: Page, each: SetUp) -> None:
    told = (each.terminal, _section(each), each.die and f"die {each.die}")
    page.heading(f"Set-up {each.set_up}: {', '.join(part for part in told if part)}")
    if each.pulls.values:
        made = table(
            ("pulls", "right", 6),
            ("mean N", "right", 8),
            ("scatter N", "right", 10),
            ("least N", "right", 8),
            ("shown N", "right", 8),
            ("asked N", "right", 8),
            ("", "left", 14),
        )
        made.add_row(
            str(len(each.pulls.values)),
            _force(each.pulls.mean),
            _force(each.pulls.scatter),
            _force(each.pulls.worst),
            _force(each.bound_n),
            _force(None if each.least is None else each.least.pull_n),
            {True: "✓ reaches it", False: "✗ not shown", None: "· not known"}[each.passes],
        )
        page.show(made)
    for said in each.said:
        page.say(said, lead="  ")
    for warning in each.warnings:
        page.say(warning, lead="! ", style="care")


def _section(each: SetUp) -> str:
    return "" if each.section_mm2 is None else f"{each.section_mm2:g} mm²"


def _force(value: float | None) -> str:
    return "–" if value is None else f"{value:.0f}"


def _ledgers(page: Page, ledgers: tuple[Ledger, ...]) -> None:
    made = table(
        ("Plug", "left", 6),
        ("ends", "right", 5),
        ("spare mm", "right", 9),
        ("bright", "right", 8),
        ("chance", "right", 14),
        ("dark", "right", 6),
        ("chance", "right", 14),
    )
    for each in ledgers:
        looks = {look.copper: look for look in each.outlooks}
        cells = []
        for copper in ("bright", "dark"):
            look = looks.get(copper)
            if look is None:
                cells += ["–", "–"]
            else:
                cells += [str(look.rounds), sure(look.chance) if look.rounds else "none"]
        spare = "not known" if each.spare_mm is None else f"{each.spare_mm:g}"
        made.add_row(each.plug, str(each.ends), spare, *cells)
    page.show(made)


def _advice(ledgers: tuple[Ledger, ...]) -> list[str]:
    """What to do, the plugs with the same advice together."""
    order = sorted(ledgers, key=lambda each: each.advice)
    return [
        f"{listed([each.plug for each in group])}: {advice}"
        for advice, group in groupby(order, key=lambda each: each.advice)
    ]
