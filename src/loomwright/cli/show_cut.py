"""What `cut` says: what to buy, and from which length each wire is cut, the longest first."""

from __future__ import annotations

from loomwright.cli.page import Page
from loomwright.services.counting import counted
from loomwright.services.cut_report import CutReport, CutSource, KindCut
from loomwright.services.cut_words import (
    bought_words,
    label_words,
    left_out_words,
    left_words,
    metres,
    proof_words,
    source_words,
    strip_words,
    sum_words,
)
from loomwright.services.words import SAFETY, listed

_HELD = "\u00a0"


def show_cut(report: CutReport) -> None:
    """The whole page."""
    page = Page()
    page.title(report.job)
    page.say(_summary(report))
    _buy(page, report)
    if report.colours_mm:
        page.heading("Metres by colour")
        page.say(", ".join(f"{name} {metres(each)}".replace(" ", _HELD)
                           for name, each in report.colours_mm.items()))  # fmt: skip
    for kind in report.kinds:
        _kind(page, kind)
    if report.left_out or report.notes:
        page.heading("What is not planned, or deserves a look")
        for line in (*left_out_words(report), *report.notes):
            page.say(f"{line}.", lead="! ", style="care")
    page.gap()
    page.say(
        "Measure each piece twice and cut it once, the longest first; label both ends at once."
    )
    page.say(SAFETY)


def _summary(report: CutReport) -> str:
    if not report.kinds:
        return "Nothing can be cut yet: no wire has a length, a section and a colour."
    unproved = sum(not kind.proved for kind in report.kinds)
    said = f"{sum_words(report)}."
    if not unproved:
        return f"{said} For every kind it is proved that no plan takes less."
    return f"{said} For {counted(unproved, 'kind')} it is not proved that no plan takes less."


def _buy(page: Page, report: CutReport) -> None:
    if not report.buy:
        return
    page.heading("What to buy")
    for each in report.buy:
        if each.offer:
            page.say(bought_words(each, report.currency), lead="  ")
    unsold = [bought_words(each, report.currency).replace(" ", _HELD)
              for each in report.buy if not each.offer]  # fmt: skip
    if unsold:
        page.say(f"On no offer of this job, each at least so long: {listed(unsold)}.", lead="  ")


def _kind(page: Page, kind: KindCut) -> None:
    page.heading(f"{kind.name}: {counted(kind.wires, 'wire')}, {metres(kind.needed_mm)}")
    if not kind.proved:
        page.say(proof_words(kind), lead="! ", style="care")
    for source in kind.sources:
        _source(page, source)


def _source(page: Page, source: CutSource) -> None:
    told = [source_words(source), left_words(source)]
    page.say(": ".join(part for part in told if part), lead="  ")
    for wire in source.wires:
        ends = [
            f"{point} {strip_words(strip)}"
            for point, strip in ((wire.start, wire.strip_start_mm), (wire.end, wire.strip_end_mm))
            if strip is not None
        ]
        strips = f"; strip {listed(ends)}" if ends else ""
        page.say(f"{label_words(wire)}{strips}", lead=f"    {wire.wire:<6} ")
