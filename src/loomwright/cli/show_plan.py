"""What `plan` says: three offers side by side, what pays, the order of work, what would flip it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from loomwright.cli.page import Page, table
from loomwright.loom import Job
from loomwright.services.counting import counted
from loomwright.services.labels import Labels
from loomwright.services.plan import Offered, PlanReport, Step
from loomwright.services.plan_words import (
    cure_words,
    does,
    flips_said,
    life_words,
    lives_rest_on,
    rests_on,
    weak_points,
)
from loomwright.services.words import SAFETY, listed, sure

if TYPE_CHECKING:
    from rich.table import Table

_COLUMNS = (
    "Minutes are without reaching the place; wire is what the first try uses up at each end; a "
    "part without a price counts as 0; – is no part with a price, or a life not known; the likely "
    "life is that of what goes first."
)


def show_plan(report: PlanReport, job: Job) -> None:
    """The whole page.

    Parameters
    ----------
    report : the plan
    job : for the labels
    """
    page = Page()
    labels = Labels(job)
    page.title(report.job)
    if report.must:
        page.say(f"Must be done, by the readings or as you asked: {listed(list(report.must))}.")
    page.gap()
    page.show(_table(report))
    page.gap()
    for offer in (*report.offers, report.pays):
        page.say(does(offer), lead=f"{offer.name.capitalize()}: ")
    page.say(_stays(report.pays), lead="")
    if report.facts:
        page.heading(f'The cures of "{report.ordered}"')
        _cures(page, report)
    if report.order:
        page.heading(f'The order of work, for "{report.ordered}"')
        _order(page, report.order, labels)
    if report.flips:
        page.heading("What would change the choice")
        for line in flips_said(report):
            page.say(line, lead="  ")
    page.heading("What this rests on")
    for line in _notes(report):
        page.say(line)
    page.say(SAFETY)


def _table(report: PlanReport) -> Table:
    made = table(
        ("", "left", 17),
        *((offer.name, "right", 14) for offer in report.offers),
        (report.pays.name, "right", 12),
    )
    offers = (*report.offers, report.pays)
    unit = f" {report.currency}" if report.currency else ""
    rows: tuple[tuple[str, Callable[[Offered], str]], ...] = (
        ("cures", lambda o: str(len(o.choice.cures)) if o.choice else "–"),
        ("places opened", lambda o: str(len(o.choice.opened)) if o.choice else "–"),
        ("hours, likely", lambda o: f"{o.quote.minutes[1] / 60:.1f}" if o.quote else "–"),
        (
            "  8 in 10 within",
            lambda o: (
                f"{o.quote.minutes[0] / 60:.1f} – {o.quote.minutes[2] / 60:.1f}" if o.quote else "–"
            ),
        ),
        *_money_rows(report, unit),
        (f"call at{unit}", lambda o: f"{o.quote.call_at:.0f}" if o.quote else "–"),
        ("  chance of that", lambda o: sure(o.quote.chance_of_call) if o.quote else "–"),
        ("comebacks to come", lambda o: f"{o.choice.comebacks:.1f}" if o.choice else "–"),
        (f"with them{unit}", lambda o: f"{o.choice.expected_cost:.0f}" if o.choice else "–"),
    )
    for name, told in rows:
        made.add_row(name, *(told(offer).replace("less than", "<") for offer in offers))
    return made


def _money_rows(report: PlanReport, unit: str) -> tuple[tuple[str, Callable[[Offered], str]], ...]:
    """Work, parts, postage, tax where there is any, and the sum; work alone without prices."""
    if not report.parts_priced:
        return ((f"work{unit}", lambda o: f"{o.quote.middle:.0f}" if o.quote else "–"),)
    taxed = any(o.quote and o.quote.vat is not None for o in (*report.offers, report.pays))
    vat: tuple[tuple[str, Callable[[Offered], str]], ...] = (
        (f"tax{unit}", lambda o: f"{o.quote.vat or 0.0:.0f}" if o.quote else "–"),
    )
    return (
        (f"work{unit}", lambda o: f"{o.quote.work:.0f}" if o.quote else "–"),
        (f"parts{unit}", lambda o: f"{o.quote.parts + o.quote.handling:.0f}" if o.quote else "–"),
        (f"postage{unit}", lambda o: f"{o.quote.postage:.0f}" if o.quote else "–"),
        *(vat if taxed else ()),
        (f"sum{unit}", lambda o: f"{o.quote.middle:.0f}" if o.quote else "–"),
    )


def _stays(offer: Offered) -> str:
    if offer.choice is None or not offer.choice.left:
        return ""
    return f"What pays leaves {listed(list(offer.choice.left))} as they are."


def _cures(page: Page, report: PlanReport) -> None:
    """What each cure takes and leaves behind, what it rests on, what may go wrong with it."""
    made = table(
        ("", "left", 30),
        ("min", "right", 5),
        (f"parts {report.currency}".strip(), "right", 9),
        ("wire mm", "right", 7),
        ("comes back", "right", 12),
        ("likely life", "right", 11),
    )
    for fact in report.facts:
        made.add_row(
            cure_words(fact),
            f"{fact.minutes:.0f}",
            f"{fact.parts:.2f}" if report.parts_priced and fact.parts else "–",
            f"{fact.uses_mm:.0f}",
            sure(fact.comeback).replace("less than", "<"),
            life_words(fact),
        )
    page.show(made)
    page.gap()
    page.say(f"{_COLUMNS} {lives_rest_on(report.facts)}".strip())
    for line in rests_on(report.facts):
        page.say(line, lead="  ")
    for line in weak_points(report.facts):
        page.say(line, lead="! ", style="care")


def _order(page: Page, steps: tuple[Step, ...], labels: Labels) -> None:
    page.say("■ is a hold point: go on only when it passes.")
    number = 0
    for item, group in groupby(steps, key=lambda step: step.item):
        if item:
            known = labels.item if item in labels.wires else labels.owner
            page.say(known(item), style="head")
        for step in group:
            number += 1
            page.say(step.words, lead=f"{'■' if step.hold else ' '} ☐ {number:>2}  ")
            if step.caution:
                page.say(step.caution, lead="       ! ", style="care")


def _notes(report: PlanReport) -> Iterator[str]:
    given = "the job's own" if report.rate_given else "assumed; write labour_rate into the job"
    yield f"An hour's work is counted at {report.rate:g} {report.currency} ({given})."
    yield (
        "Minutes, and the chance that something comes back when it is left, are common practice or "
        "assumed: put your own figures into settings."
    )
    yield (
        "Parts stand at the least price of a piece with their handling, postage at cost; the "
        "command buy tells them one by one."
        if report.parts_priced
        else "Parts are not priced: the table offers is empty."
    )
    yield (
        f"What sits at one place is opened once. {counted(len(report.notes), 'thing')} not known:"
        if report.notes
        else "What sits at one place is opened once."
    )
    yield from (f"! {note}." for note in report.notes)
