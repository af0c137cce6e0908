"""What `build` says: the new loom at a glance, its splices, its wires, the order of laying."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.cli.page import Page, table
from loomwright.services.build import BranchBundle, BuildReport, LayStep, Splice, WireLength
from loomwright.services.build_words import (
    CAUTIONS,
    NOT_RECKONED,
    across,
    as_built,
    cover,
    gap,
    glance,
    placed,
    refused_by_branch,
    steps_told,
    support,
    to_mind,
    unfit_fixings,
    unlike_words,
    why_long,
    why_not_free,
)
from loomwright.services.counting import counted
from loomwright.services.words import SAFETY, sentence

if TYPE_CHECKING:
    from rich.table import Table

_MOST_NAMED = 6


def show_build(report: BuildReport) -> None:
    """The whole page."""
    page = Page()
    page.title(report.job)
    page.say(glance(report))
    for caution in CAUTIONS:
        page.say(caution, lead="! ", style="care")
    if report.plan.splices:
        page.heading("Splices")
        _splices(page, report)
    if report.wires:
        page.heading("Wires [mm]: hand is trimmed off on the board")
        page.show(_wires(report.wires))
    if report.not_known:
        page.heading("Length not known")
        for each in report.not_known:
            page.say(f"{each.words}.", lead=f"{each.wire}: ")
    _against_old(page, report)
    page.heading("Bundles, splices at their spots")
    page.show(_bundles(report.bundles))
    for name, reason in unfit_fixings(report):
        page.say(f"{reason}.", lead=f"{name}: ")
    page.heading("Order of work: □ do, ■ must pass before going on")
    for step, why in steps_told(report):
        _step(page, step, why)
    page.gap()
    for line in NOT_RECKONED:
        page.say(line)
    page.say(SAFETY)


def _splices(page: Page, report: BuildReport) -> None:
    for splice in report.plan.splices:
        _splice(page, report, splice)
    if not report.plan.proven:
        page.say(gap(report), lead="! ")


def _splice(page: Page, report: BuildReport, splice: Splice) -> None:
    page.say(f"{placed(report, splice)}.", lead=f"{splice.splice}: ",
             style="" if splice.spot else "care")  # fmt: skip
    told = [why_not_free(report, splice), as_built(report, splice)]
    if splice.spot is not None:
        told.append(sentence(f"{support(report, splice.spot)}."))
    for line in (*told, *to_mind(splice)):
        if line:
            page.say(line, lead="  ")
    own = splice.spot or splice.nearest
    for branch, words in refused_by_branch(splice):
        if own is not None and branch == own.branch:
            page.say(words, lead=f"  refused on {branch}: ")


def _wires(wires: tuple[WireLength, ...]) -> Table:
    made = table(
        ("wire", "left", 6),
        ("mm²", "right", 4),
        ("colour", "left", 6),
        ("cut", "right", 5),
        ("old", "right", 5),
        ("why", "left", 52),
    )
    for each in wires:
        section = "–" if each.section_mm2 is None else f"{each.section_mm2:g}"
        old = "–" if each.old_mm is None else f"{each.old_mm:.0f}"
        made.add_row(
            each.wire, section, each.colour or "–", f"{each.cut_mm:.0f}", old, why_long(each)
        )
    return made


def _bundles(bundles: tuple[BranchBundle, ...]) -> Table:
    made = table(
        ("branch", "left", 8),
        ("wires", "right", 5),
        ("across mm", "right", 13),
        ("cover", "left", 48),
    )
    for each in bundles:
        made.add_row(each.branch, str(len(each.wires)), across(each), cover(each) or "–")
    return made


def _against_old(page: Page, report: BuildReport) -> None:
    told = unlike_words(report)
    if told:
        page.heading("Against the old loom")
        page.say(told)


def _step(page: Page, step: LayStep, why: str) -> None:
    many = len(step.wires)
    named = ", ".join(step.wires) if many <= _MOST_NAMED else counted(many, "wire")
    text = step.what + (f" ({named})" if named else "") + (f": {why}" if why else "")
    page.say(f"{text}.", lead=f"{'■' if step.hold else '□'} {step.number} ",
             style="care" if step.hold else "")  # fmt: skip
