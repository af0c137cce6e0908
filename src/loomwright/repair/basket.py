"""The cheapest basket over suppliers and parcels, and what a forgotten part costs later.

With n packs of an offer and y a supplier that is ordered from,

    min  Σ n price + Σ y postage - v Σ left over
    Σ n pack >= need - stock      Σ n price >= least order x y      n = 0 where y = 0

over whole numbers: an integer cover with fixed charges, solved exactly by branch and cut (HiGHS:
Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119). A price break is an offer of a larger pack.
Wire is counted in millimetres; its pieces are cut from reels, or from lengths in the drawer, by the
patterns of `cutting`, and cannot be joined. Wire that is cut to order comes in one length.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import attrs

from loomwright.loom.errors import OutOfRange
from loomwright.repair.covering import cover
from loomwright.repair.packs import Cut, Lengths, PackOffer, Supplier

__all__ = ["Basket", "Bought", "Cut", "Later", "Lengths", "PackOffer", "Supplier", "fill"]


@attrs.frozen(kw_only=True)
class Bought:
    """Packs of one offer that are bought."""

    offer: PackOffer
    packs: int


@attrs.frozen(kw_only=True)
class Later:
    """What one more pack of a part costs: in this basket, or in a parcel of its own later."""

    part: str
    now: float
    later: float


@attrs.frozen(kw_only=True)
class Basket:
    """What is bought where.

    Attributes
    ----------
    bought : packs, by supplier and part
    suppliers : suppliers that are ordered from
    goods, postage, total : prices
    lead_days : until the last parcel is there
    left_over : parts, or millimetres of what was bought, beyond the need, by part
    nowhere : parts, or millimetres, that no supplier sells and the stock does not hold
    later : what a spare pack costs now and later, by part
    cuts : how lengths are cut
    """

    bought: tuple[Bought, ...]
    suppliers: tuple[str, ...]
    goods: float
    postage: float
    total: float
    lead_days: float
    left_over: dict[str, int]
    nowhere: dict[str, int]
    later: tuple[Later, ...]
    cuts: tuple[Cut, ...] = ()


def fill(
    need: Mapping[str, int],
    offers: Sequence[PackOffer],
    suppliers: Sequence[Supplier],
    *,
    stock: Mapping[str, int] | None = None,
    lengths: Mapping[str, Lengths] | None = None,
    keep_value: float = 0.0,
) -> Basket:
    """The cheapest basket that covers the need; a proven optimum.

    Parameters
    ----------
    need : how many of each part
    offers : packs on sale
    suppliers : who sells them
    stock : parts in the drawer
    lengths : wire that is needed in pieces, by part
    keep_value : share of its price that a part left over is still worth, 0 to below 1

    Raises
    ------
    OutOfRange
        when an offer names no supplier, has no part in its pack or a price below 0, or wire of so
        many lengths is needed that they cannot be counted.
    """
    known = {each.supplier: each for each in suppliers}
    _check(offers, known, keep_value)
    missing = {part: count - (stock or {}).get(part, 0) for part, count in need.items()}
    missing = {part: count for part, count in missing.items() if count > 0}
    sold = {offer.part for offer in offers}
    nowhere = {part: count for part, count in missing.items() if part not in sold}
    wanted = {part: count for part, count in missing.items() if part in sold}
    wires = lengths or {}
    useful = [offer for offer in offers if offer.part in wanted or offer.part in wires]
    covering = cover(wanted, wires, useful, known, keep_value=keep_value)
    packs = covering.packs
    bought = tuple(
        Bought(offer=offer, packs=count)
        for offer, count in sorted(
            zip(useful, packs, strict=True), key=lambda row: (row[0].supplier, row[0].part)
        )
        if count
    )
    names = tuple(sorted({each.offer.supplier for each in bought}))
    goods = sum(each.packs * each.offer.price for each in bought)
    postage = sum(known[name].postage for name in names)
    got: dict[str, int] = {}
    for each in bought:
        got[each.offer.part] = got.get(each.offer.part, 0) + each.packs * each.offer.pack
    used = wanted | dict.fromkeys(wires, 0)
    for cut in covering.cuts:
        used[cut.part] += sum(cut.pieces) if cut.offer else 0
    return Basket(
        bought=bought,
        suppliers=names,
        goods=goods,
        postage=postage,
        total=goods + postage,
        lead_days=max((known[name].lead_days for name in names), default=0.0),
        left_over={part: count - used[part] for part, count in got.items() if count > used[part]},
        nowhere=nowhere | covering.nowhere,
        later=tuple(
            _later(part, useful, known, set(names))
            for part in sorted({*wanted, *(part for part in wires if part in got)})
        ),
        cuts=covering.cuts,
    )


def _later(
    part: str, offers: Sequence[PackOffer], known: Mapping[str, Supplier], ordered: set[str]
) -> Later:
    """One more pack: beside what is ordered, or in a parcel of its own with its least order."""
    own = [offer for offer in offers if offer.part == part]
    alone = [
        max(offer.price, known[offer.supplier].least_order) + known[offer.supplier].postage
        for offer in own
    ]
    beside = [offer.price for offer in own if offer.supplier in ordered]
    return Later(part=part, now=min([*beside, *alone]), later=min(alone))


def _check(offers: Sequence[PackOffer], known: Mapping[str, Supplier], keep_value: float) -> None:
    for offer in offers:
        where = f"offer of {offer.part}"
        if offer.supplier not in known:
            raise OutOfRange(
                f'there is no supplier "{offer.supplier}"', where=where,
                expected=f"name one of {', '.join(known)}",
            )  # fmt: skip
        if offer.pack < 1 or offer.price < 0:
            raise OutOfRange(
                f"a pack of {offer.pack} at {offer.price:g} is not possible", where=where,
                expected="give at least one part in a pack and a price from 0 up",
            )  # fmt: skip
    if not 0.0 <= keep_value < 1.0:
        raise OutOfRange(
            f"{keep_value:g} is not a share below 1", where="keep_value",
            expected="give 0 up to below 1, such as 0.3",
        )  # fmt: skip
