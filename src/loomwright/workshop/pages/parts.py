"""What the work takes in parts: what to order, what lies in the drawer, how wire is cut."""

from __future__ import annotations

from datetime import date
from typing import cast

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.documents.parts_list import Order, PackRow, PartsList, parts_list
from loomwright.loom import InputProblems, Problem
from loomwright.services.buy import Pack
from loomwright.services.drawer import put_away
from loomwright.services.words import listed
from loomwright.services.workup import WorkUp
from loomwright.workshop.bench import BENCH
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.not_yet import nothing_yet
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import worked_up


@attrs.frozen
class Tick:
    """Packs of one offer, to tick when they came.

    Attributes
    ----------
    offer, packs : the offer, and how many packs of it are ordered
    words : what that is, and its price
    """

    offer: str
    packs: int
    words: str


@attrs.frozen(kw_only=True)
class ParcelCard:
    """A parcel of one supplier.

    Attributes
    ----------
    order : as the paper tells it
    ticks : what is in it
    """

    order: Order
    ticks: tuple[Tick, ...]


@page("parts.html")
@attrs.frozen(kw_only=True)
class PartsPage:
    """The parts."""

    paper: PartsList = told("The parts as the paper tells them")
    parcels: tuple[ParcelCard, ...] = told("What is ordered, a parcel a supplier")
    chosen: bool = told("Whether an offer is chosen")
    problems: tuple[str, ...] = told("Why what came could not be put into the drawer")


def parts(request: HttpRequest, job: str) -> HttpResponse:
    """Show the parts; take in what came."""
    if request.method != "POST":
        early = nothing_yet(request, job, title="Parts", here="Parts")
        return early or _show(request, job)
    try:
        put = put_away(BENCH, job, _came(request))
    except InputProblems as refusal:
        return _show(request, job, refusal.problems)
    say(request, f"In the drawer now: {listed(list(put))}.")
    return HttpResponseRedirect(reverse("parts", args=[job]), status=303)


def _show(request: HttpRequest, job: str, problems: tuple[Problem, ...] = ()) -> HttpResponse:
    with worked_up(job) as worked:
        shown = _shown(worked.results, bool(worked.job.about.offer), problems)
    status = 400 if problems else 200
    return show(request, shown, title="Parts", job=job, here="Parts", status=status)


def _came(request: HttpRequest) -> dict[str, int]:
    """How many packs of each ticked offer; 0 where the number cannot be read."""
    found = {}
    for name in request.POST.getlist("came"):
        text = request.POST.get(f"packs.{name}", "")
        found[name] = int(text) if text.isascii() and text.isdigit() and len(text) < 7 else 0
    return found


def _shown(known: WorkUp, chosen: bool, problems: tuple[Problem, ...]) -> PartsPage:
    (paper,) = parts_list(known, date.today().isoformat())
    told_ = cast("PartsList", paper.context)
    parcels = zip(told_.orders, known.buy.parcels, strict=True)
    return PartsPage(
        paper=told_,
        parcels=tuple(
            ParcelCard(
                order=order,
                ticks=tuple(
                    map(_tick, order.packs, parcel.packs, [told_.money] * len(order.packs))
                ),
            )
            for order, parcel in parcels
        ),
        chosen=chosen,
        problems=tuple(each.sentence for each in problems),
    )


def _tick(row: PackRow, pack: Pack, money: str) -> Tick:
    label = f" ({row.label})" if row.label else ""
    words = f"{row.part}{label}: {row.packs} of {row.size}, {row.total}{money}"
    return Tick(row.offer, pack.packs, words)
