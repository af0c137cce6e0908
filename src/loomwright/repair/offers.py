"""Three offers side by side, and which unknown would change the choice."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Literal

import attrs

from loomwright.loom.errors import OutOfRange
from loomwright.repair.choice import Choice, Cure, Item, Terms, choose, cost_of

_SAME_COST = 1e-6


@attrs.frozen(kw_only=True)
class Offer:
    """One offer.

    Attributes
    ----------
    name : `only what failed`, `all within reach` or `everything`
    choice : what is done, left and paid; None where the limits do not allow it
    why_not : what stands against it, empty when nothing does
    """

    name: str
    choice: Choice | None
    why_not: str = ""


def three_offers(
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    *,
    failed: Collection[str],
    terms: Terms,
    worth: float = 0.0,
) -> tuple[Offer, Offer, Offer]:
    """Only what failed; that and whatever pays within what is then open; everything.

    Parameters
    ----------
    items, cures, access : as for `choose`
    failed : identifiers of the items that have failed and must be done
    terms : prices and limits
    worth : chance of a comeback from which an item belongs to "everything"
    """
    must = [attrs.evolve(item, must=item.must or item.item in failed) for item in items]
    wrong = [item for item in must if item.must]
    first = _offer("only what failed", wrong, cures, access, terms, everyone=must)
    opened = set(first.choice.opened) if first.choice else set()
    reach = [cure for cure in cures if opened.issuperset(cure.opens)]
    second = _offer("all within reach", must, reach, access, terms, everyone=must)
    curable = {item for cure in cures for item in cure.items}
    all_of_it = [
        attrs.evolve(item, must=item.must or (item.item in curable and item.comeback >= worth))
        for item in must
    ]
    third = _offer("everything", all_of_it, cures, access, terms, everyone=must)
    return first, second, third


def what_pays(
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    *,
    failed: Collection[str],
    terms: Terms,
) -> Offer:
    """The offer of least expected cost of all, as for `three_offers`."""
    must = [attrs.evolve(item, must=item.must or item.item in failed) for item in items]
    return _offer("what pays", must, cures, access, terms, everyone=must)


def _offer(
    name: str,
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    terms: Terms,
    *,
    everyone: Sequence[Item],
) -> Offer:
    try:
        found = choose(items, cures, access, terms=terms)
    except OutOfRange as why:
        return Offer(name=name, choice=None, why_not=f"{why.what}; {why.expected}")
    # What the offer does not look at is left, and can come back.
    right = {item for cure in cures if cure.cure in found.cures for item in cure.items}
    left = [item for item in everyone if item.item not in right]
    of_cures = sum(cure.comeback for cure in cures if cure.cure in found.cures)
    comebacks = of_cures + sum(item.comeback for item in left)
    return Offer(
        name=name,
        choice=attrs.evolve(
            found,
            left=tuple(item.item for item in left),
            comebacks=comebacks,
            expected_cost=found.money + comebacks * terms.comeback_cost,
        ),
    )


@attrs.frozen(kw_only=True)
class Unknown:
    """A figure that is not well known.

    Attributes
    ----------
    name : in words
    kind, of : what it is: the comeback of an item that is left, the minutes of a cure or of an
        access event, or the cost of a comeback (`of` is then empty)
    low, high : its range
    """

    name: str
    kind: Literal["left", "cure", "access", "comeback cost"]
    of: str
    low: float
    high: float


@attrs.frozen(kw_only=True)
class Flip:
    """An unknown that would change the choice.

    Attributes
    ----------
    unknown : the figure
    beyond : the value from which the choice is another
    down : whether that is so below the value; else above it
    instead : the cures that would be done then
    """

    unknown: Unknown
    beyond: float
    down: bool
    instead: tuple[str, ...]


def flips(
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    *,
    terms: Terms,
    unknowns: Sequence[Unknown],
) -> tuple[Flip, ...]:
    """Unknowns for which one end of the range asks for other cures, with the turning point.

    The expected cost of a set of cures is linear in each figure, so the least cost is concave and
    goes straight between turning points. From the end of the range the line of the best set there
    is cut with the usual set's; where the best set at the cut is no better, that is the turning
    point, else it takes the end's place. Source: Eisner and Severance, J. ACM 23 (1976) 619.
    """
    usual = frozenset(choose(items, cures, access, terms=terms).cures)
    found = []
    for unknown in unknowns:
        now = _usual(items, cures, access, terms, unknown)
        look = _Look(items, cures, access, terms, unknown)
        for end in (unknown.low, unknown.high):
            turn = _turning_point(look, usual, now, end)
            if turn is not None:
                beyond, instead = turn
                found.append(Flip(unknown=unknown, beyond=beyond, down=end < now, instead=instead))
    return tuple(found)


@attrs.frozen
class _Look:
    """The choice with one figure changed."""

    items: Sequence[Item]
    cures: Sequence[Cure]
    access: Mapping[str, float]
    terms: Terms
    unknown: Unknown

    def best(self, value: float) -> frozenset[str]:
        """The cures of least expected cost at that value."""
        changed = _with(self.items, self.cures, self.access, self.unknown, value)
        return frozenset(choose(*changed, terms=_terms(self.terms, self.unknown, value)).cures)

    def cost(self, chosen: frozenset[str], value: float) -> float:
        """Expected cost of some cures at that value."""
        changed = _with(self.items, self.cures, self.access, self.unknown, value)
        return cost_of(chosen, *changed, terms=_terms(self.terms, self.unknown, value))

    def dearer(self, chosen: frozenset[str], usual: frozenset[str], value: float) -> float:
        """How much more some cures cost than the usual ones at that value."""
        return self.cost(chosen, value) - self.cost(usual, value)


def _turning_point(
    look: _Look, usual: frozenset[str], now: float, end: float
) -> tuple[float, tuple[str, ...]] | None:
    """The value from which other cures cost less, and which; None where none do up to the end."""
    instead = look.best(end)
    while True:
        at_end = look.dearer(instead, usual, end)
        if at_end > -_SAME_COST:
            return None
        at_now = max(0.0, look.dearer(instead, usual, now))
        cut = now + (end - now) * at_now / (at_now - at_end)
        other = look.best(cut)
        if look.dearer(other, usual, cut) > -_SAME_COST:
            return cut, tuple(sorted(instead))
        instead, end = other, cut


def _usual(
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    terms: Terms,
    unknown: Unknown,
) -> float:
    """The value that the choice was made with."""
    if unknown.kind == "left":
        return next(item.comeback for item in items if item.item == unknown.of)
    if unknown.kind == "cure":
        return next(cure.minutes for cure in cures if cure.cure == unknown.of)
    return access[unknown.of] if unknown.kind == "access" else terms.comeback_cost


def _with(
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    unknown: Unknown,
    value: float,
) -> tuple[Sequence[Item], Sequence[Cure], Mapping[str, float]]:
    if unknown.kind == "left":
        items = [
            attrs.evolve(item, comeback=value) if item.item == unknown.of else item
            for item in items
        ]
    elif unknown.kind == "cure":
        cures = [
            attrs.evolve(cure, minutes=value) if cure.cure == unknown.of else cure for cure in cures
        ]
    elif unknown.kind == "access":
        access = {**access, unknown.of: value}
    return items, cures, access


def _terms(terms: Terms, unknown: Unknown, value: float) -> Terms:
    if unknown.kind == "comeback cost":
        return attrs.evolve(terms, comeback_cost=value)
    return terms
