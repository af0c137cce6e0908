"""Work: the next step in large, all steps with how far they are, and the spare wire."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from loomwright.documents.job_card import CrimpRow, PartRow
from loomwright.loom import Problem
from loomwright.services.offer_glance import hours_span, in_short, price_span
from loomwright.services.plan import PlanReport
from loomwright.services.words import sentence
from loomwright.services.work_log import LoggedStep, WorkLog, logged
from loomwright.workshop.forms import Field, fields
from loomwright.workshop.pages.not_yet import nothing_yet
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.pages.wire_parts import WirePart, wire_parts
from loomwright.workshop.pages.work_parts import (
    CardPart,
    Maker,
    StepPart,
    UndoPart,
    card_of,
    papers_of,
    record_words,
)
from loomwright.workshop.results import Worked, at_hand, worked_up

_TYPED = ("minutes", "note")


@attrs.frozen(kw_only=True)
class OfferPart:
    """An offer to choose: its name, what it does, how long it takes and what it comes to."""

    name: str
    title: str
    short: str
    spans: str


@attrs.frozen(kw_only=True)
class NextPart:
    """The step to do now.

    Attributes
    ----------
    step : the step
    heading, of : what it is worked on, and which step of how many there
    place : where that sits; blank where nobody wrote it down
    item_url, item_words : its page, and what is done there; blank for the whole job
    parts, crimps, notes : what goes on new, how, and what stands against it
    fields : minutes and note
    """

    step: StepPart
    heading: str
    of: str
    place: str
    item_url: str
    item_words: str
    parts: tuple[PartRow, ...]
    crimps: tuple[CrimpRow, ...]
    notes: tuple[str, ...]
    fields: tuple[Field, ...]


@attrs.frozen(kw_only=True)
class Refusal:
    """A form of this page that was not taken.

    Attributes
    ----------
    problems : what is wrong
    typed : what was typed
    step : item, name and number of the step; None for a length of wire
    plug : whose wire it is; empty for a step
    """

    problems: tuple[Problem, ...]
    typed: Mapping[str, str]
    step: tuple[str, str, int] | None = None
    plug: str = ""


@page("work.html")
@attrs.frozen(kw_only=True)
class WorkPage:
    """The work."""

    job: str = told("Name of the job")
    offer: str = told("The offer that the work follows")
    offers: tuple[OfferPart, ...] = told(
        "Offers to choose from; empty when one is chosen or none does anything"
    )
    why_none: str = told("Why there is no work, a sentence; blank otherwise")
    refused: bool = told("Whether this is what was typed, with what is wrong")
    problems: tuple[str, ...] = told("What is wrong beyond the fields of the step, a sentence each")
    fields: tuple[Field, ...] = told("The fields of the step, for what is wrong with them")
    next: NextPart | None = told("The step to do now; None when all are done or none is chosen")
    done: int = told("Steps that are done")
    all: int = told("Steps there are")
    minutes: str = told("Minutes spent against the likely ones, a sentence")
    undo: UndoPart | None = told("The last tick; None where nothing is ticked")
    cards: tuple[CardPart, ...] = told("All steps, item by item")
    wires: tuple[WirePart, ...] = told("The spare wire of plugs that are cut")
    stray: tuple[str, ...] = told("What was logged and is no step of this offer")


@page("work_waiting.html")
@attrs.frozen(kw_only=True)
class WaitingPage:
    """The work is not worked out yet."""

    url: str = told("Where it is worked out")


def work(request: HttpRequest, job: str) -> HttpResponse:
    """Show the work; where it has to be worked out first, the frame comes at once."""
    if early := nothing_yet(request, job, title="Work", here="Work"):
        return early
    part = bool(getattr(request, "htmx", False))
    shown: WorkPage | WaitingPage = WaitingPage(url="?now=1")
    if part or "now" in request.GET or at_hand(job).results.has("work"):
        with worked_up(job) as worked:
            shown = _page(job, worked, None)
    if part:
        return render(request, "workshop/steps/panel.html", {"page": shown})
    return show(request, shown, title="Work", job=job, here="Work")


def show_refused(request: HttpRequest, job: str, refused: Refusal) -> HttpResponse:
    """The page with what was typed and not taken."""
    with worked_up(job) as worked:
        shown = _page(job, worked, refused)
    return show(request, shown, title="Work", job=job, here="Work", status=400)


def _page(job: str, worked: Worked, refused: Refusal | None) -> WorkPage:
    known = worked.results
    log = logged(known.work, worked.job.tasks)
    chosen = bool(worked.job.about.offer)
    maker = Maker(job, worked.job, known, log, _shown(log, refused), chosen)
    here = fields("tasks", refused.typed if refused and refused.step else {}, only=_TYPED,
                  problems=refused.problems if refused else ())  # fmt: skip
    done, all_ = log.done_share
    return WorkPage(
        job=job,
        offer=known.work.offer,
        offers=() if chosen else _offers(known.plan),
        why_none=f"{sentence(known.work.why_none)}." if known.work.why_none else "",
        refused=refused is not None,
        problems=_problems(refused),
        fields=here,
        next=_next(maker, here) if chosen else None,
        done=done,
        all=all_,
        minutes=_minutes(log, known.quote.likely_minutes),
        undo=maker.undo(),
        cards=maker.cards(),
        wires=_wires(job, worked, refused, chosen=chosen),
        stray=tuple(maker.stray()),
    )


def _shown(log: WorkLog, refused: Refusal | None) -> LoggedStep | None:
    """The step whose form was not taken, else the next one."""
    for each in log.steps:
        if refused and (each.step.item, each.step.name, each.nth) == refused.step:
            return each
    return log.next_step


def _next(maker: Maker, here: tuple[Field, ...]) -> NextPart | None:
    each, known = maker.shown, maker.known
    if each is None:
        return None
    card = card_of(known.work, each)
    beside = [one for one in maker.log.steps if one.step.item == each.step.item]
    beside = beside if card else list(maker.log.steps)
    paper = papers_of(known).get(card.item) if card else None
    n = next(n for n, one in enumerate(beside, start=1) if one is each)
    plug = bool(card) and each.step.item in known.labels.loom.plugs
    return NextPart(
        step=maker.step(n, each),
        heading=known.labels.called(card.item) if card else "The whole car",
        of=f"step {n} of {len(beside)}",
        place=card.place if card else "",
        item_url=reverse("plug", args=[maker.ref, each.step.item]) if plug else "",
        item_words=record_words(each, known.labels) if plug else "",
        parts=paper.parts if paper else (),
        crimps=paper.crimps if paper else (),
        notes=paper.part_notes if paper else (),
        fields=here,
    )


def _minutes(log: WorkLog, likely: float) -> str:
    spent = f"{log.minutes:.0f} min spent" if log.minutes else "No time is logged yet"
    return f"{spent}; {likely:.0f} min are likely for all of it." if likely else f"{spent}."


def _offers(report: PlanReport) -> tuple[OfferPart, ...]:
    return tuple(
        OfferPart(
            name=each.name,
            title=sentence(each.name),
            short=f"{sentence(in_short(each))}.",
            spans=", ".join(filter(None, (hours_span(each), price_span(each, report.currency)))),
        )
        for each in (report.pays, *report.offers)
        if each.choice is not None and each.choice.cures
    )


def _problems(refused: Refusal | None) -> tuple[str, ...]:
    if refused is None:
        return ()
    return tuple(
        each.sentence
        for each in refused.problems
        if not refused.step or each.where.column not in _TYPED
    )


def _wires(
    job: str, worked: Worked, refused: Refusal | None, *, chosen: bool
) -> tuple[WirePart, ...]:
    """The spare wire, with what is wrong with a length beside it."""
    cards = worked.results.work.cards if chosen else ()
    cut = {str(each.plug) for card in cards for each in card.ledgers}
    if refused is None or not refused.plug:
        return wire_parts(job, worked, cut, {})
    wrong = {refused.plug: " ".join(each.sentence for each in refused.problems)}
    return wire_parts(job, worked, cut, wrong, refused.typed.get("mm", ""))
