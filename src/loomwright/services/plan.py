"""Plan the work: three offers side by side, the order of work, and what would change the choice."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import Any

import attrs

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job, NotFound
from loomwright.loom.cells import nearest
from loomwright.repair.candidates import Candidates, Found, candidates
from loomwright.repair.choice import Choice, Item, Terms
from loomwright.repair.condition import conditions
from loomwright.repair.offers import Flip, Offer, Unknown, flips, three_offers, what_pays
from loomwright.repair.order import Step, Task, work_order
from loomwright.repair.quote import Line, Quote, Tariff, quoted
from loomwright.services.diagnose import Progress, go_on
from loomwright.services.suspects import suspects
from loomwright.standards.cures import cure_kind, cure_kinds

__all__ = ["CURE_WORDS", "Choice", "Flip", "Offered", "PlanReport", "Quote", "Step", "plan"]

CURE_WORDS = {name: kind.short for name, kind in cure_kinds().items()}
"""What each kind of cure is called in a list of work."""
_WORTH_WEIGHING = 0.1
_MOST_UNKNOWNS = 6


@attrs.frozen(kw_only=True)
class Offered:
    """One offer with its quote.

    Attributes
    ----------
    name : `only what failed`, `all within reach`, `everything` or `what pays`
    choice : what is done, left and paid; None where the limits do not allow it
    quote : the quote for it, None without a choice
    why_not : what stands against it
    """

    name: str
    choice: Choice | None
    quote: Quote | None
    why_not: str

    def json(self) -> dict[str, Any]:
        """The offer as the documented JSON."""
        choice, quote = self.choice, self.quote
        return {
            "name": self.name,
            "why_not": self.why_not,
            "cures": [] if choice is None else list(choice.cures),
            "opened": [] if choice is None else list(choice.opened),
            "left": [] if choice is None else list(choice.left),
            "minutes": None if quote is None else [round(each, 1) for each in quote.minutes],
            "money": None if quote is None else _money(quote),
            "comebacks": None if choice is None else round(choice.comebacks, 3),
            "expected_cost": None if choice is None else round(choice.expected_cost, 2),
        }


def _money(quote: Quote) -> dict[str, float | None]:
    return {
        "low": round(quote.low, 2),
        "middle": round(quote.middle, 2),
        "high": round(quote.high, 2),
        "call_at": round(quote.call_at, 2),
        "chance_of_call": round(quote.chance_of_call, 3),
    }


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
    notes : what is not known and was assumed
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
    notes: tuple[str, ...]

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "currency": self.currency,
            "rate": self.rate,
            "rate_given": self.rate_given,
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
    must : plugs, wires, joints or devices, or single aspects of them, that must be done
    offer : name of the offer whose order of work is wanted
    progress : told how far the work is

    Raises
    ------
    NotFound
        when `must` names nothing that could be done, or `offer` none of them.
    Stopped
        when `progress` answers False.
    """
    value = own_values(job)
    go_on(progress, "what the readings say", 0.0)
    could = candidates(job, conditions(job), _found(job), value=value)
    could = _with_must(could, must)
    go_on(progress, "choosing", 0.5)
    rate = job.about.labour_rate
    terms = Terms(
        rate=value["labour_rate"] if rate is None else rate,
        comeback_cost=value["comeback_hours"] * (value["labour_rate"] if rate is None else rate),
        most_minutes=60.0 * most_hours,
        most_money=most_money,
    )
    made = three_offers(
        could.items, could.cures, could.access, failed=could.failed, terms=terms,
        worth=value["comeback_grade_2"],
    )  # fmt: skip
    offers = tuple(_offered(could, each, terms, value) for each in made)
    best = what_pays(could.items, could.cures, could.access, failed=could.failed, terms=terms)
    pays = _offered(could, best, terms, value)
    wanted = next((each for each in (*offers, pays) if each.name == offer), None)
    if wanted is None:
        known = ", ".join(each.name for each in (*offers, pays))
        raise NotFound(f'there is no offer "{offer}"', where="offer", expected=f"name {known}")
    go_on(progress, "what would change it", 0.7)
    return PlanReport(
        job=job.about.title,
        currency=job.about.currency or "",
        offers=offers,
        pays=pays,
        ordered=wanted.name,
        order=_order(could, wanted),
        flips=_flips(could, terms, span=value["unknown_span"]),
        must=tuple(sorted(could.failed)),
        rate=terms.rate,
        rate_given=rate is not None,
        notes=could.notes,
    )


def _offered(could: Candidates, offer: Offer, terms: Terms, value: Mapping[str, float]) -> Offered:
    return Offered(
        name=offer.name,
        choice=offer.choice,
        quote=None if offer.choice is None else _quote(could, offer.choice, terms, value),
        why_not=offer.why_not,
    )


def _found(job: Job) -> tuple[Found, ...]:
    if not job.readings:
        return ()
    report = suspects(job)
    return tuple(
        Found(
            items=each.items, kind=each.kind, probability=each.probability,
            claimed=number == report.claimed,
        )
        for number, each in enumerate(report.suspects)
        if each.probability >= _WORTH_WEIGHING
    )  # fmt: skip


def _with_must(could: Candidates, must: Collection[str]) -> Candidates:
    """The person's own musts: a whole plug, or one aspect of it."""
    names = [item.item for item in could.items]
    curable = {item for cure in could.cures for item in cure.items}
    wanted = set(could.failed)
    for each in must:
        here = {name for name in names if name == each or name.rpartition(" ")[0] == each}
        if not here & curable:
            known = sorted({name.rpartition(" ")[0] for name in curable})
            near = nearest(each, known)
            raise NotFound(
                f'nothing could be done at "{each}"',
                where="must",
                expected=f'did you mean "{near}"?' if near else f"name one of {', '.join(known)}",
            )
        wanted |= here & curable
    items = tuple(attrs.evolve(item, must=item.item in wanted) for item in could.items)
    return attrs.evolve(could, items=items, failed=frozenset(wanted))


def _quote(could: Candidates, choice: Choice, terms: Terms, value: Mapping[str, float]) -> Quote:
    """Three-point times of every cure and of reaching every place."""
    by_name = {cure.cure: cure for cure in could.cures}
    lines = []
    for name in choice.cures:
        kinds = [cure_kind(kind) for kind in could.kinds[name]]
        likely = sum(kind.minutes for kind in kinds)
        times = by_name[name].minutes / likely if likely else 0.0
        lines.append(
            Line(
                words=name,
                low=times * sum(kind.minutes_low for kind in kinds),
                likely=by_name[name].minutes,
                high=times * sum(kind.minutes_high for kind in kinds),
                event=next(iter(by_name[name].opens), ""),
            )
        )
    for place in choice.opened:
        minutes = could.access[place]
        lines.append(
            Line(words=f"reach {place}", low=value["access_least"] * minutes, likely=minutes,
                 high=value["access_most"] * minutes, event=place)
        )  # fmt: skip
    tariff = Tariff(
        rate=terms.rate,
        handling=value["parts_handling"],
        stop_and_call=value["stop_and_call"],
        correlation=value["overrun_correlation"],
    )
    return quoted(lines, tariff)


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
