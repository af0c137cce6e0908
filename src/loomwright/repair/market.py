"""What a job's tables of suppliers, offers and stock say, as baskets and prices take it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs

from loomwright.loom import Job, PackOnSale
from loomwright.repair.basket import Basket, Lengths, PackOffer, Supplier, fill
from loomwright.repair.parts_need import METRE, Need, bought_as

CUT_TO_ORDER_MM = 1000
"""Packs of wire up to this length are cut to order: several come in one length."""


@attrs.frozen(kw_only=True)
class Market:
    """Who sells what, and what lies in the drawer.

    Attributes
    ----------
    suppliers, offers : as baskets take them; wire in millimetres
    stock : pieces in the drawer, by part
    drawer : lengths of wire in the drawer, by part and colour [mm]
    price : least price of a piece, or of a metre, by what it is bought as
    """

    suppliers: tuple[Supplier, ...]
    offers: tuple[PackOffer, ...]
    stock: Mapping[str, int]
    drawer: Mapping[str, tuple[int, ...]]
    price: Mapping[str, float]

    @property
    def part_price(self) -> dict[str, float]:
        """Least price by name of part, any colour."""
        found: dict[str, float] = {}
        for key, price in self.price.items():
            part = key.partition(" ")[0]
            found[part] = min(price, found.get(part, price))
        return found


def market(job: Job) -> Market:
    """The market of a job; a blank postage, least order or delay counts as none."""
    stock: dict[str, int] = {}
    drawer: dict[str, tuple[int, ...]] = {}
    for row in job.stock:
        if row.unit == METRE:
            key = bought_as(row.part, row.colour)
            drawer[key] = (*drawer.get(key, ()), round(1000 * row.count))
        else:
            stock[row.part] = stock.get(row.part, 0) + round(row.count)
    price: dict[str, float] = {}
    for offer in job.offers:
        each = offer.price / offer.pack
        price[_key(offer)] = min(each, price.get(_key(offer), each))
    return Market(
        suppliers=tuple(
            Supplier(
                supplier=row.supplier,
                postage=row.postage or 0.0,
                least_order=row.least_order or 0.0,
                lead_days=row.lead_days or 0.0,
            )
            for row in job.suppliers
        ),
        offers=tuple(_pack(row) for row in job.offers),
        stock=stock,
        drawer={key: tuple(mm for mm in each if mm > 0) for key, each in drawer.items()},
        price=price,
    )


def _key(row: PackOnSale) -> str:
    """What it is bought as; the colour of what is not wire does not matter."""
    return bought_as(row.part, row.colour if row.unit == METRE else None)


def _pack(row: PackOnSale) -> PackOffer:
    size = max(1, round(1000 * row.pack if row.unit == METRE else row.pack))
    return PackOffer(
        offer=row.offer, supplier=row.supplier, part=_key(row), pack=size, price=row.price,
        one_length=row.unit == METRE and size <= CUT_TO_ORDER_MM,
    )  # fmt: skip


def worth(needs: Iterable[Need], prices: Mapping[str, float]) -> tuple[float, tuple[str, ...]]:
    """What parts are worth at the least price of a piece, and the parts that nobody sells.

    What lies in the drawer is worth what it costs to replace.
    """
    total, unpriced = 0.0, []
    for need in needs:
        price = prices.get(need.key)
        if price is None:
            unpriced.append(need.key)
        else:
            total += need.count * price
    return total, tuple(unpriced)


def basket_for(needs: Iterable[Need], market: Market, *, keep_value: float = 0.0) -> Basket:
    """The cheapest basket for some needs, the drawer counted first.

    Raises
    ------
    OutOfRange
        as for `basket.fill`.
    """
    pieces: dict[str, int] = {}
    lengths: dict[str, Lengths] = {}
    for need in needs:
        if need.unit == METRE:
            counts: dict[int, int] = {}
            for cut in need.cuts:
                counts[cut.length_mm] = counts.get(cut.length_mm, 0) + 1
            lengths[need.key] = Lengths(pieces=counts, drawer=market.drawer.get(need.key, ()))
        else:
            pieces[need.key] = round(need.count)
    return fill(
        pieces, market.offers, market.suppliers,
        stock=market.stock, lengths=lengths, keep_value=keep_value,
    )  # fmt: skip
