"""An offer's figures beside the others': what makes its price, comebacks, what it leaves."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.services.labels import Labels
from loomwright.services.plan import Offered, PlanReport
from loomwright.services.words import sure

__all__ = ["Fact", "LeftItem", "left_at_risk", "offer_facts"]


@attrs.frozen
class Fact:
    """One figure of an offer.

    Attributes
    ----------
    name, value : what it is, and how much with its unit
    """

    name: str
    value: str


@attrs.frozen
class LeftItem:
    """Something that an offer leaves as it is.

    Attributes
    ----------
    words : what it is
    chance : that it comes back, in words
    """

    words: str
    chance: str


def offer_facts(offer: Offered, report: PlanReport) -> tuple[Fact, ...]:
    """The figures of an offer at the middle value; none where it is not possible."""
    return tuple(_facts(offer, report))


def left_at_risk(offer: Offered, report: PlanReport, labels: Labels) -> tuple[LeftItem, ...]:
    """What an offer leaves as it is, the likeliest to come back first."""
    if offer.choice is None:
        return ()
    chance = {each.item: each.comeback for each in report.items}
    left = sorted(offer.choice.left, key=lambda name: -chance.get(name, 0.0))
    return tuple(LeftItem(_called(name, labels), sure(chance.get(name, 0.0))) for name in left)


def _facts(offer: Offered, report: PlanReport) -> Iterator[Fact]:
    quote, choice = offer.quote, offer.choice
    if quote is None or choice is None:
        return

    def money(sum_: float) -> str:
        return f"{sum_:,.0f} {report.currency}".replace(",", "\u00a0").strip()

    yield Fact("Work", money(quote.work))
    if report.parts_priced:
        yield Fact("Parts and handling", money(quote.parts + quote.handling))
    else:
        yield Fact("Parts and handling", "not priced")
    if quote.postage:
        yield Fact("Postage", money(quote.postage))
    if quote.vat is not None:
        yield Fact("VAT", money(quote.vat))
    yield Fact("Comebacks to reckon with", f"{choice.comebacks:.1f}")
    yield Fact("Sum with comebacks", money(choice.expected_cost))


def _called(name: str, labels: Labels) -> str:
    """`Throttle switch plug (TH): shell` for `TH shell`."""
    item, _, aspect = name.rpartition(" ")
    return f"{labels.called(item)}: {aspect}" if item else labels.called(name)
