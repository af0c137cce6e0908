"""An offer at a glance: what it does in a few words, its hours and its price."""

from __future__ import annotations

from loomwright.services.plan import Offered
from loomwright.services.plan_words import by_kind, done_at

__all__ = ["hours_span", "in_short", "price_span"]

_NAMED = 3
"""Places of one kind of work that are named; more are counted."""
_KINDS = 4
"""Kinds of work that are told; more are counted."""


def in_short(offer: Offered) -> str:
    """What an offer does: `new terminals at TE; new boot at 6 places; 2 kinds of work more`."""
    if offer.choice is None:
        return f"not possible: {offer.why_not}"
    kinds = by_kind(offer.choice.cures)
    if not kinds:
        return "nothing is done"
    said = [
        done_at(kind, where if len(where) <= _NAMED else [f"{len(where)} places"])
        for kind, where in list(kinds.items())[:_KINDS]
    ]
    more = len(kinds) - len(said)
    if more:
        said.append(f"{more} {'kind' if more == 1 else 'kinds'} of work more")
    return "; ".join(said)


def price_span(offer: Offered, currency: str) -> str:
    """What it will come to, 8 in 10 such jobs: `32 to 41 EUR`; empty without a quote."""
    if offer.quote is None:
        return ""
    low, high = (
        f"{sum_:,.0f}".replace(",", "\u00a0") for sum_ in (offer.quote.low, offer.quote.high)
    )
    return f"{low if low == high else f'{low} to {high}'} {currency}".strip()


def hours_span(offer: Offered) -> str:
    """How long it takes, 8 in 10 such jobs: `0.5 to 0.6 h`; empty without a quote."""
    if offer.quote is None:
        return ""
    low, high = (f"{offer.quote.minutes[end] / 60.0:.1f}" for end in (0, 2))
    return f"{low if low == high else f'{low} to {high}'} h"
