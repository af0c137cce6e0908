"""The offers side by side, and the quote for the chosen one."""

from __future__ import annotations

from datetime import date
from typing import cast

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.documents.quote import QuotePaper
from loomwright.documents.quote import quote as quote_papers
from loomwright.services.offer_facts import Fact, LeftItem, left_at_risk, offer_facts
from loomwright.services.offer_glance import hours_span, price_span
from loomwright.services.plan import Offered
from loomwright.services.plan_words import does
from loomwright.services.words import sentence
from loomwright.services.workup import WorkUp
from loomwright.workshop.pages.not_yet import nothing_yet
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import worked_up


@attrs.frozen(kw_only=True)
class OfferSide:
    """One of the offers.

    Attributes
    ----------
    name, title : as the job row writes it, and with a capital
    price, hours : what it will come to and how long it takes, blank where it is not possible
    does : what is done, a sentence
    facts : what makes its price, and its comebacks
    left : what stays as it is, the likeliest to come back first
    chosen, possible : whether it is the chosen one, and whether it can be chosen
    """

    name: str
    title: str
    price: str
    hours: str
    does: str
    facts: tuple[Fact, ...]
    left: tuple[LeftItem, ...]
    chosen: bool
    possible: bool


@page("quote.html")
@attrs.frozen(kw_only=True)
class QuotePage:
    """The offers and the quote."""

    offers: tuple[OfferSide, ...] = told("Three offers, the smallest first, and what pays")
    any: bool = told("Whether any of them does anything")
    was: str = told("The offer that is chosen; blank where none is")
    paper: QuotePaper = told("The quote as the paper tells it")


def quote(request: HttpRequest, job: str) -> HttpResponse:
    """Show the offers and the quote."""
    if early := nothing_yet(request, job, title="Quote", here="Quote"):
        return early
    with worked_up(job) as worked:
        shown = _shown(worked.results, worked.job.about.offer or "")
    return show(request, shown, title="Quote", job=job, here="Quote")


def _shown(known: WorkUp, chosen: str) -> QuotePage:
    report = known.plan
    (paper,) = quote_papers(known, date.today().isoformat())
    return QuotePage(
        offers=tuple(_side(each, known, chosen) for each in (*report.offers, report.pays)),
        any=any(each.choice and each.choice.cures for each in (*report.offers, report.pays)),
        was=chosen,
        paper=cast("QuotePaper", paper.context),
    )


def _side(offer: Offered, known: WorkUp, chosen: str) -> OfferSide:
    return OfferSide(
        name=offer.name,
        title=sentence(offer.name),
        price=price_span(offer, known.plan.currency),
        hours=hours_span(offer),
        does=sentence(does(offer)),
        facts=offer_facts(offer, known.plan),
        left=left_at_risk(offer, known.plan, known.labels),
        chosen=offer.name == chosen,
        possible=offer.choice is not None,
    )
