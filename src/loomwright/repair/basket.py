"""The cheapest basket over suppliers and parcels, and what a forgotten part costs later.

With n packs of an offer and y a supplier that is ordered from,

    min  Σ n price + Σ y postage - v Σ left over
    Σ n pack >= need - stock      Σ n price >= least order x y      n = 0 where y = 0

over whole numbers: an integer cover with fixed charges, solved exactly by branch and cut (HiGHS:
Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119). A price break is an offer of a larger pack.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.loom.errors import OutOfRange


@attrs.frozen(kw_only=True)
class Supplier:
    """Somebody who sells parts.

    Attributes
    ----------
    supplier : name
    postage : price of a parcel
    least_order : least value of an order, postage apart
    lead_days : until the parcel is there
    """

    supplier: str
    postage: float = 0.0
    least_order: float = 0.0
    lead_days: float = 0.0


@attrs.frozen(kw_only=True)
class PackOffer:
    """A pack of one part at one supplier; price breaks are packs of their own.

    Attributes
    ----------
    supplier, part : names
    pack : parts in a pack
    price : of a pack
    """

    supplier: str
    part: str
    pack: int
    price: float


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
    left_over : parts beyond the need, by part
    nowhere : parts that no supplier sells and the stock does not hold
    later : what a spare pack costs now and later, by part
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


def fill(
    need: Mapping[str, int],
    offers: Sequence[PackOffer],
    suppliers: Sequence[Supplier],
    *,
    stock: Mapping[str, int] | None = None,
    keep_value: float = 0.0,
) -> Basket:
    """The cheapest basket that covers the need; a proven optimum.

    Parameters
    ----------
    need : how many of each part
    offers : packs on sale
    suppliers : who sells them
    stock : parts in the drawer
    keep_value : share of its price that a part left over is still worth, 0 to below 1

    Raises
    ------
    OutOfRange
        when an offer names no supplier, has no part in its pack or a price below 0.
    """
    known = {each.supplier: each for each in suppliers}
    _check(offers, known, keep_value)
    missing = {part: count - (stock or {}).get(part, 0) for part, count in need.items()}
    missing = {part: count for part, count in missing.items() if count > 0}
    sold = {offer.part for offer in offers}
    nowhere = {part: count for part, count in missing.items() if part not in sold}
    wanted = {part: count for part, count in missing.items() if part in sold}
    useful = [offer for offer in offers if offer.part in wanted]
    packs = _solved(wanted, useful, known, keep_value)
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
    return Basket(
        bought=bought,
        suppliers=names,
        goods=goods,
        postage=postage,
        total=goods + postage,
        lead_days=max((known[name].lead_days for name in names), default=0.0),
        left_over={part: got[part] - count for part, count in wanted.items() if got[part] > count},
        nowhere=nowhere,
        later=tuple(_later(part, useful, known, set(names)) for part in sorted(wanted)),
    )


def _solved(
    wanted: Mapping[str, int],
    offers: Sequence[PackOffer],
    known: Mapping[str, Supplier],
    keep_value: float,
) -> list[int]:
    """Packs of each offer."""
    # late: a second of loading for a few milliseconds of work
    from scipy.optimize import Bounds, LinearConstraint, milp

    if not offers:
        return []
    parts, names = list(wanted), sorted({offer.supplier for offer in offers})
    n, m = len(offers), len(names)
    unit = {part: min(o.price / o.pack for o in offers if o.part == part) for part in parts}
    price = np.array([offer.price - keep_value * offer.pack * unit[offer.part] for offer in offers])
    # More than this of one offer is never needed, but for reaching a least order.
    most = np.array([
        math.ceil(wanted[offer.part] / offer.pack)
        + (math.ceil(known[offer.supplier].least_order / offer.price) if offer.price else 0)
        for offer in offers
    ])  # fmt: skip
    rows: list[NDArray[np.float64]] = []
    low: list[float] = []
    for part in parts:
        row = np.zeros(n + m)
        row[:n] = [offer.pack if offer.part == part else 0 for offer in offers]
        rows.append(row)
        low.append(float(wanted[part]))
    for place, name in enumerate(names):
        row = np.zeros(n + m)
        row[:n] = [offer.price if offer.supplier == name else 0.0 for offer in offers]
        row[n + place] = -known[name].least_order
        rows.append(row)
        low.append(0.0)
    for i, offer in enumerate(offers):
        row = np.zeros(n + m)
        row[i], row[n + names.index(offer.supplier)] = -1.0, float(most[i])
        rows.append(row)
        low.append(0.0)
    done = milp(
        np.concatenate([price, [known[name].postage for name in names]]),
        constraints=LinearConstraint(np.array(rows), np.array(low) - 1e-9, np.inf),
        integrality=np.ones(n + m),
        bounds=Bounds(0.0, np.concatenate([most, np.ones(m)])),
        options={"mip_rel_gap": 0.0},
    )
    if done.x is None:
        raise OutOfRange(
            "no basket keeps every supplier's least order", where="offers",
            expected="lower a least order, or add an offer",
        )  # fmt: skip
    return [round(float(count)) for count in done.x[:n]]


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
