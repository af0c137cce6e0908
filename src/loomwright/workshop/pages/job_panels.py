"""The parts of a job's page that have to be worked out first: what is wrong, and the offers."""

from __future__ import annotations

from typing import Any

import attrs
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from loomwright.services.finding_words import action, how_sure, wrong
from loomwright.services.offer_glance import hours_span, in_short, price_span
from loomwright.services.plan import Offered, PlanReport
from loomwright.services.plan_words import does
from loomwright.services.words import sentence
from loomwright.workshop.database import stamp
from loomwright.workshop.leading import way
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import Worked, worked_up
from loomwright.workshop.standings import keep


@page("glance.html")
@attrs.frozen(kw_only=True)
class GlancePage:
    """What is wrong, how sure that is, and what is next."""

    wrong: tuple[str, ...] = told("What is wrong, as far as it is known, a sentence each")
    how_sure: tuple[str, ...] = told("How sure that is; empty before the first reading")
    mind: tuple[str, ...] = told("Readings that contradict each other")
    act: tuple[str, ...] = told("What to do about what is sure")
    waits: str = told("What the job waits for; blank where what is wrong says it already")
    do: str = told("The next thing to do")
    do_url: str = told("Where that is done")


@attrs.frozen(kw_only=True)
class OfferCard:
    """One offer.

    Attributes
    ----------
    name, title : as the job row writes it, and with a capital
    short, full : what it does in a few words, and all of it; `full` blank where that is the same
    price, hours : what it will come to and how long it takes, blank where it is not possible
    chosen, possible : whether it is the chosen one, and whether it can be chosen
    """

    name: str
    title: str
    short: str
    full: str
    price: str
    hours: str
    chosen: bool
    possible: bool


@page("offers.html")
@attrs.frozen(kw_only=True)
class OffersPage:
    """The offers side by side."""

    offers: tuple[OfferCard, ...] = told("Three offers, the smallest first, and what pays")
    why_none: str = told("Why there are none; blank where there are")
    job: str = told("Name of the job")
    was: str = told("The offer that is chosen; blank where none is")
    priced: bool = told("Whether the job gives prices of parts")


def glance(request: HttpRequest, job: str) -> HttpResponse:
    """Show what is wrong; alone, or as the part of the job's page."""
    now = stamp(job)
    with worked_up(job) as worked:
        shown = _glance(job, now, worked)
    return _part(request, shown, "glance", title="At a glance", job=job)


def offers(request: HttpRequest, job: str) -> HttpResponse:
    """Show the offers; alone, or as the part of the job's page."""
    with worked_up(job) as worked:
        shown = _offers(job, worked)
    return _part(request, shown, "offers", title="What could be done", job=job)


def _part(request: HttpRequest, shown: Any, name: str, *, title: str, job: str) -> HttpResponse:
    if getattr(request, "htmx", False):
        return render(request, f"workshop/parts/{name}.html", {"page": shown})
    return show(request, shown, title=title, job=job, here="Job")


def _glance(job: str, now: int, worked: Worked) -> GlancePage:
    report, labels = worked.results.suspects, worked.results.labels
    if worked.job.about.offer or worked.job.tasks:
        _ = worked.results.work  # its next step is what the job waits for; before, it costs a plan
    next_ = keep(job, now, worked.job, worked.results)
    claimed = None if report.claimed is None else report.suspects[report.claimed]
    return GlancePage(
        wrong=tuple(wrong(report, labels)),
        how_sure=tuple(how_sure(report)) if report.readings_used else (),
        mind=tuple(each.sentence for each in report.contradictions),
        act=() if claimed is None else (action(claimed, labels),),
        waits=next_.waits if report.readings_used else "",
        do=next_.do,
        do_url=way(job, next_),
    )


def _offers(job: str, worked: Worked) -> OffersPage:
    report, chosen = worked.results.plan, worked.job.about.offer or ""
    every = (*report.offers, report.pays)
    # Where no offer does anything, four empty ones would only stand in the way.
    idle = not any(each.choice and each.choice.cures for each in every)
    why_none = sentence(worked.results.work.why_none) if idle else ""
    return OffersPage(
        offers=() if why_none else tuple(_card(each, report, chosen) for each in every),
        why_none=f"{why_none}." if why_none else "",
        job=job,
        was=chosen,
        priced=report.parts_priced,
    )


def _card(offer: Offered, report: PlanReport, chosen: str) -> OfferCard:
    short, full = sentence(in_short(offer)) + ".", sentence(does(offer))
    return OfferCard(
        name=offer.name,
        title=sentence(offer.name),
        short=short,
        full="" if full == short else full,
        price=price_span(offer, report.currency),
        hours=hours_span(offer),
        chosen=offer.name == chosen,
        possible=offer.choice is not None,
    )
