"""Plan the work: three offers side by side, the order of work, and what would change the choice."""

from __future__ import annotations

import math
from collections.abc import Collection
from typing import Any

import attrs

from loomwright.loom import Job
from loomwright.repair.candidates import Candidates
from loomwright.repair.choice import Choice, Item, Terms
from loomwright.repair.cure_facts import CureFacts, cure_facts
from loomwright.repair.offers import Flip, Unknown, flips
from loomwright.repair.order import Step, Task, work_order
from loomwright.repair.quote import Quote
from loomwright.services.diagnose import Progress, go_on
from loomwright.services.weighed import Offered, Weighed, weigh
from loomwright.standards.cures import cure_kinds

__all__ = [
    "CURE_WORDS",
    "Choice",
    "CureFacts",
    "Flip",
    "Offered",
    "PlanReport",
    "Quote",
    "Step",
    "followed_offer",
    "plan",
]

CURE_WORDS = {name: kind.short for name, kind in cure_kinds().items()}
"""What each kind of cure is called in a list of work."""
_MOST_UNKNOWNS = 6


def followed_offer(job: Job, named: str = "") -> str:
    """The offer that work, parts and papers follow: as named, else the owner's, else what pays."""
    return named or job.about.offer or "what pays"


@attrs.frozen(kw_only=True)
class PlanReport:
    """What could be done, what pays, and in which order.

    Attributes
    ----------
    offers : three, the smallest first
    pays : what has the least expected cost of all
    ordered : name of the offer whose order of work is told
    order : its steps
    flips : figures that would change the choice, with their turning points
    must : items that have failed
    rate, rate_given : price of an hour, and whether the job gives it
    parts_priced : whether the job gives any price of a part
    notes : what is not known and was assumed
    items : everything that could be put right, with its chance to come back when left
    facts : what is known of each cure of the offer whose order of work is told
    """

    job: str
    currency: str
    offers: tuple[Offered, ...]
    pays: Offered
    ordered: str
    order: tuple[Step, ...]
    flips: tuple[Flip, ...]
    must: tuple[str, ...]
    rate: float
    rate_given: bool
    parts_priced: bool
    notes: tuple[str, ...]
    items: tuple[Item, ...] = ()
    facts: tuple[CureFacts, ...] = ()

    @property
    def chosen(self) -> Offered:
        """The offer whose order of work is told."""
        return next(each for each in (*self.offers, self.pays) if each.name == self.ordered)

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "currency": self.currency,
            "rate": self.rate,
            "rate_given": self.rate_given,
            "parts_priced": self.parts_priced,
            "must": list(self.must),
            "offers": [offer.json() for offer in self.offers],
            "pays": self.pays.json(),
            "ordered": self.ordered,
            "order": [
                {
                    "item": step.item,
                    "step": step.name,
                    "words": step.words,
                    "hold": step.hold,
                    "caution": step.caution,
                }
                for step in self.order
            ],
            "facts": [_told(each, priced=self.parts_priced) for each in self.facts],
            "flips": [
                {
                    "unknown": flip.unknown.name,
                    "beyond": round(flip.beyond, 3),
                    "below": flip.down,
                    "instead": list(flip.instead),
                }
                for flip in self.flips
            ],
            "notes": list(self.notes),
        }


def plan(
    job: Job,
    *,
    most_hours: float = math.inf,
    most_money: float = math.inf,
    must: Collection[str] = (),
    offer: str = "what pays",
    progress: Progress | None = None,
) -> PlanReport:
    """Three offers, what pays most, the order of work, and what would change the choice.

    Parameters
    ----------
    job : the loom, its survey and its readings
    most_hours, most_money : limits
    must : plugs, wires, joints, devices or branches, or single aspects of them, that must be done
    offer : name of the offer whose order of work is wanted
    progress : told how far the work is

    Raises
    ------
    NotFound
        when `must` names nothing that could be done, or `offer` none of them.
    Stopped
        when `progress` answers False.
    """
    seen = weigh(job, most_hours=most_hours, most_money=most_money, must=must, progress=progress)
    return planned(seen, offer=offer, progress=progress)


def planned(
    seen: Weighed, *, offer: str = "what pays", progress: Progress | None = None
) -> PlanReport:
    """The same where the offers are weighed already."""
    job, wanted = seen.job, seen.offer(offer)
    go_on(progress, "what would change it", 0.7)
    return PlanReport(
        job=job.about.title,
        currency=job.about.currency or "",
        offers=seen.offers,
        pays=seen.pays,
        ordered=wanted.name,
        order=_order(seen.could, wanted),
        flips=_flips(seen.could, seen.terms, span=seen.value["unknown_span"]),
        must=tuple(sorted(seen.could.failed)),
        rate=seen.terms.rate,
        rate_given=job.about.labour_rate is not None,
        parts_priced=seen.pricing.known,
        notes=(*seen.could.notes, *(wanted.part_notes if seen.pricing.known else ())),
        items=seen.could.items,
        facts=_facts(seen.could, wanted),
    )


def _facts(could: Candidates, offer: Offered) -> tuple[CureFacts, ...]:
    """What is known of each cure of an offer, in the order it names them."""
    if offer.choice is None:
        return ()
    known = {each.cure: each for each in cure_facts(could)}
    return tuple(known[name] for name in offer.choice.cures)


def _told(fact: CureFacts, *, priced: bool) -> dict[str, Any]:
    """The facts of a cure as the documented JSON."""
    return {
        "cure": fact.cure,
        "because": list(fact.because),
        "items": list(fact.items),
        "minutes": round(fact.minutes, 1),
        "parts": round(fact.parts, 2) if priced else None,
        "opens": list(fact.opens),
        "uses_mm": fact.uses_mm,
        "comeback": round(fact.comeback, 3),
        "weak_points": list(fact.weak_points),
        "life_years": fact.life_years,
        "life_standing": fact.life_standing,
    }


def _order(could: Candidates, offer: Offered) -> tuple[Step, ...]:
    """The steps of an offer, place by place."""
    if offer.choice is None:
        return ()
    by_name = {cure.cure: cure for cure in could.cures}
    chosen = sorted(offer.choice.cures, key=lambda name: (by_name[name].opens, could.at[name]))
    tasks = [
        Task(item=could.at[name], cure=kind, opens=by_name[name].opens)
        for name in chosen
        for kind in could.kinds[name]
    ]
    return work_order(tasks, {place: f"reach {place}" for place in could.access})


def _flips(could: Candidates, terms: Terms, *, span: float) -> tuple[Flip, ...]:
    """The figures most worth asking about: the likeliest comebacks, and what one costs."""
    open_items = [item for item in could.items if not item.must]
    open_items.sort(key=lambda item: -item.comeback)
    unknowns = [_left(item, span) for item in open_items[:_MOST_UNKNOWNS]]
    unknowns.append(
        Unknown(name="what a comeback costs", kind="comeback cost", of="",
                low=terms.comeback_cost / span, high=terms.comeback_cost * span)
    )  # fmt: skip
    free = attrs.evolve(terms, most_minutes=math.inf, most_money=math.inf)
    return flips(could.items, could.cures, could.access, terms=free, unknowns=unknowns)


def _left(item: Item, span: float) -> Unknown:
    return Unknown(
        name=f"chance that {item.item} comes back when left", kind="left", of=item.item,
        low=item.comeback / span, high=min(1.0, item.comeback * span),
    )  # fmt: skip
