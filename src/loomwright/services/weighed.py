"""The offers of a job weighed: what they do, what work and parts cost, and their quotes."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import Any

import attrs

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job, NotFound
from loomwright.repair.candidates import Candidates, candidates
from loomwright.repair.choice import Choice, Terms
from loomwright.repair.condition import conditions
from loomwright.repair.offers import Offer, three_offers, what_pays
from loomwright.repair.open_items import Found
from loomwright.repair.pricing import Outlay, Pricing
from loomwright.repair.quote import Line, Quote, Tariff, quoted
from loomwright.services.diagnose import Diagnosed, Progress, diagnose, go_on
from loomwright.services.musts import with_must
from loomwright.services.suspects import ranked
from loomwright.standards.cures import cure_kind

__all__ = ["EXTRA", "Offered", "Weighed", "weigh"]

EXTRA = "spare parts and trial crimps"
"""The line of a quote for what is bought beyond what goes onto the car."""
_WORTH_WEIGHING = 0.1


@attrs.frozen(kw_only=True)
class Offered:
    """One offer with its quote.

    Attributes
    ----------
    name : `only what failed`, `all within reach`, `everything` or `what pays`
    choice : what is done, left and paid; None where the limits do not allow it
    quote : the quote for it, None without a choice
    why_not : what stands against it
    lines : the lines of work that the quote is made of
    outlay : its parts, and where they are bought; None without a choice
    """

    name: str
    choice: Choice | None
    quote: Quote | None
    why_not: str
    lines: tuple[Line, ...] = ()
    outlay: Outlay | None = None

    @property
    def part_notes(self) -> tuple[str, ...]:
        """What no part of the catalogue fits, what is not known of its parts and has no price."""
        if self.outlay is None:
            return ()
        unpriced = self.outlay.unpriced
        said = f"no offer has a price for {', '.join(unpriced)}: counted as 0"
        return (*self.outlay.need.notes, *((said,) if unpriced else ()))

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
        "work": round(quote.work, 2),
        "parts": round(quote.parts, 2),
        "handling": round(quote.handling, 2),
        "postage": round(quote.postage, 2),
        "vat": None if quote.vat is None else round(quote.vat, 2),
        "low": round(quote.low, 2),
        "middle": round(quote.middle, 2),
        "high": round(quote.high, 2),
        "call_at": round(quote.call_at, 2),
        "chance_of_call": round(quote.chance_of_call, 3),
    }


@attrs.frozen(kw_only=True)
class Weighed:
    """The offers of a job, with what they were made of.

    Attributes
    ----------
    job : the job
    could : everything that could be done, the cures with the price of their parts
    offers : three, the smallest first
    pays : what has the least expected cost of all
    terms : prices and limits
    pricing : parts, offers and drawer
    value : defaults by name, the job's own figures in place
    """

    job: Job
    could: Candidates
    offers: tuple[Offered, ...]
    pays: Offered
    terms: Terms
    pricing: Pricing
    value: Mapping[str, float]

    def offer(self, name: str) -> Offered:
        """The offer of that name.

        Raises
        ------
        NotFound
            when there is none.
        """
        every = (*self.offers, self.pays)
        for each in every:
            if each.name == name:
                return each
        known = ", ".join(each.name for each in every)
        raise NotFound(f'there is no offer "{name}"', where="offer", expected=f"name {known}")


def weigh(
    job: Job,
    *,
    most_hours: float = math.inf,
    most_money: float = math.inf,
    must: Collection[str] = (),
    progress: Progress | None = None,
    diagnosed: Diagnosed | None = None,
) -> Weighed:
    """Three offers and what pays most, each with its parts and its quote.

    Parameters
    ----------
    job : the loom, its survey and its readings
    most_hours, most_money : limits
    must : plugs, wires, joints, devices or branches, or single aspects of them, that must be done
    progress : told how far the work is
    diagnosed : what the readings say, where that is known already

    Raises
    ------
    NotFound
        when `must` names nothing that could be done.
    Stopped
        when `progress` answers False.
    """
    value = own_values(job)
    go_on(progress, "what the readings say", 0.0)
    pricing = Pricing(job, value)
    could = candidates(job, conditions(job), _found(job, diagnosed, progress), value=value)
    could = pricing.with_parts(with_must(could, must, job=job, value=value))
    go_on(progress, "choosing", 0.5)
    rate = value["labour_rate"] if job.about.labour_rate is None else job.about.labour_rate
    terms = Terms(
        rate=rate,
        comeback_cost=value["comeback_hours"] * rate,
        most_minutes=60.0 * most_hours,
        most_money=most_money,
    )
    weighing = _Weighing(job=job, could=could, terms=terms, pricing=pricing, value=value)
    made = three_offers(
        could.items, could.cures, could.access, failed=could.failed, terms=terms,
        worth=value["comeback_grade_2"],
    )  # fmt: skip
    best = what_pays(could.items, could.cures, could.access, failed=could.failed, terms=terms)
    return Weighed(
        job=job,
        could=could,
        offers=tuple(_offered(weighing, each) for each in made),
        pays=_offered(weighing, best),
        terms=terms,
        pricing=pricing,
        value=value,
    )


@attrs.frozen(kw_only=True)
class _Weighing:
    """What every offer of one job shares."""

    job: Job
    could: Candidates
    terms: Terms
    pricing: Pricing
    value: Mapping[str, float]


def _offered(seen: _Weighing, offer: Offer) -> Offered:
    if offer.choice is None:
        return Offered(name=offer.name, choice=None, quote=None, why_not=offer.why_not)
    outlay = seen.pricing.outlay(seen.could, offer.choice)
    lines = (*_lines(seen.could, offer.choice, seen.value), *_extra(outlay))
    return Offered(
        name=offer.name,
        choice=offer.choice,
        quote=quoted(lines, _tariff(seen, outlay)),
        why_not=offer.why_not,
        lines=lines,
        outlay=outlay,
    )


def _found(job: Job, diagnosed: Diagnosed | None, progress: Progress | None) -> tuple[Found, ...]:
    if not job.readings:
        return ()
    found, claimed = ranked(diagnosed or diagnose(job, progress))
    return tuple(
        Found(
            items=each.items, kind=each.kind, probability=each.probability,
            claimed=number == claimed,
        )
        for number, each in enumerate(found)
        if each.probability >= _WORTH_WEIGHING
    )  # fmt: skip


def _lines(could: Candidates, choice: Choice, value: Mapping[str, float]) -> tuple[Line, ...]:
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
                parts=by_name[name].parts,
                event=next(iter(by_name[name].opens), ""),
            )
        )
    for place in choice.opened:
        minutes = could.access[place]
        lines.append(
            Line(words=f"reach {place}", low=value["access_least"] * minutes, likely=minutes,
                 high=value["access_most"] * minutes, event=place)
        )  # fmt: skip
    return tuple(lines)


def _extra(outlay: Outlay) -> tuple[Line, ...]:
    """What parts cost beyond those of single cures; less, where two cures share a part."""
    if not outlay.extra:
        return ()
    return (Line(words=EXTRA, low=0.0, likely=0.0, high=0.0, parts=outlay.extra),)


def _tariff(seen: _Weighing, outlay: Outlay) -> Tariff:
    """A tax line only where the job gives its share."""
    given = any(row.name == "vat" for row in seen.job.settings)
    return Tariff(
        rate=seen.terms.rate,
        handling=seen.value["parts_handling"],
        stop_and_call=seen.value["stop_and_call"],
        correlation=seen.value["overrun_correlation"],
        postage=outlay.basket.postage,
        vat=seen.value["vat"] if given else None,
    )
