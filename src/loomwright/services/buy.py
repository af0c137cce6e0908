"""What to buy for an offer: parts with their reasons, the drawer, the basket, what is left over."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import attrs

from loomwright.loom import Job
from loomwright.repair.basket import Basket, Bought
from loomwright.repair.parts_need import METRE, Need, Reason, bought_as
from loomwright.services.diagnose import Progress
from loomwright.services.weighed import Weighed, weigh

__all__ = [
    "BuyReport",
    "CutLength",
    "OneMore",
    "Pack",
    "Parcel",
    "PartLine",
    "Reason",
    "bought",
    "buy",
    "kept_at",
]

_MM = 1000.0


@attrs.frozen(kw_only=True)
class PartLine:
    """One part that is needed; amounts are pieces, or metres of wire.

    Attributes
    ----------
    part, kind, label, colour, unit : what it is
    needed : how much
    reasons : what for
    from_drawer : how much of that lies in the drawer
    bought : how much is bought, leftovers included
    left_over : how much of what is bought is not needed
    nowhere : how much nobody sells
    """

    part: str
    kind: str
    label: str
    colour: str
    unit: str
    needed: float
    reasons: tuple[Reason, ...]
    from_drawer: float
    bought: float
    left_over: float
    nowhere: float

    @property
    def name(self) -> str:
        """The part with its colour."""
        return f"{self.part} {self.colour}".strip()

    def json(self) -> dict[str, Any]:
        """The line as the documented JSON."""
        return {
            "part": self.part,
            "kind": self.kind,
            "label": self.label,
            "colour": self.colour,
            "unit": self.unit,
            "needed": round(self.needed, 3),
            "reasons": [
                {"count": round(each.count, 3), "words": each.words} for each in self.reasons
            ],
            "from_drawer": round(self.from_drawer, 3),
            "bought": round(self.bought, 3),
            "left_over": round(self.left_over, 3),
            "nowhere": round(self.nowhere, 3),
        }


@attrs.frozen(kw_only=True)
class Pack:
    """Packs of one offer; `size` in pieces, or metres of wire; `price` of one pack."""

    offer: str
    name: str
    packs: int
    size: float
    unit: str
    price: float

    @property
    def total(self) -> float:
        """Price of all of them."""
        return self.packs * self.price


@attrs.frozen(kw_only=True)
class Parcel:
    """What is ordered from one supplier.

    Attributes
    ----------
    supplier, label : who that is
    packs : what is ordered
    goods, postage : prices
    lead_days : until it is there [d]
    """

    supplier: str
    label: str
    packs: tuple[Pack, ...]
    goods: float
    postage: float
    lead_days: float

    @property
    def total(self) -> float:
        """Price of the parcel with its postage."""
        return self.goods + self.postage

    def json(self) -> dict[str, Any]:
        """The parcel as the documented JSON."""
        return {
            "supplier": self.supplier,
            "label": self.label,
            "packs": [attrs.asdict(each) | {"total": round(each.total, 2)} for each in self.packs],
            "goods": round(self.goods, 2),
            "postage": round(self.postage, 2),
            "lead_days": self.lead_days,
        }


@attrs.frozen(kw_only=True)
class OneMore:
    """What one more pack of a part costs in this order, and in a parcel of its own later."""

    name: str
    now: float
    later: float


@attrs.frozen(kw_only=True)
class CutLength:
    """How a length of wire is cut.

    Attributes
    ----------
    name : wire with its colour
    offer : what it is bought as, empty for a length in the drawer
    length_m : the whole [m]
    pieces : wire of the loom and its length [mm], the longest first
    """

    name: str
    offer: str
    length_m: float
    pieces: tuple[tuple[str, int], ...]

    @property
    def left_m(self) -> float:
        """What is left of it [m]."""
        return self.length_m - sum(length for _, length in self.pieces) / _MM

    def json(self) -> dict[str, Any]:
        """The cut as the documented JSON."""
        return {
            "name": self.name,
            "offer": self.offer,
            "length_m": self.length_m,
            "pieces": [{"wire": wire, "length_mm": length} for wire, length in self.pieces],
        }


@attrs.frozen(kw_only=True)
class BuyReport:
    """What an offer takes in parts, and the cheapest basket for it.

    Attributes
    ----------
    job, currency : title, and what prices are in
    offer : name of the offer
    cures : what is done
    lines : the parts
    parcels : a parcel a supplier
    goods, postage, total : prices of all parcels
    lead_days : until the last parcel is there [d]
    later : what one more pack costs now and later
    cuts : how wire is cut
    notes : what no part fits, what is not known
    """

    job: str
    currency: str
    offer: str
    cures: tuple[str, ...]
    lines: tuple[PartLine, ...]
    parcels: tuple[Parcel, ...]
    goods: float
    postage: float
    total: float
    lead_days: float
    later: tuple[OneMore, ...]
    cuts: tuple[CutLength, ...]
    notes: tuple[str, ...]

    @property
    def nowhere(self) -> tuple[PartLine, ...]:
        """The parts that nobody sells, in part or as a whole."""
        return tuple(line for line in self.lines if line.nowhere > 0)

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "currency": self.currency,
            "offer": self.offer,
            "cures": list(self.cures),
            "parts": [line.json() for line in self.lines],
            "parcels": [parcel.json() for parcel in self.parcels],
            "goods": round(self.goods, 2),
            "postage": round(self.postage, 2),
            "total": round(self.total, 2),
            "lead_days": self.lead_days,
            "later": [
                {"name": each.name, "now": round(each.now, 2), "later": round(each.later, 2)}
                for each in self.later
            ],
            "cuts": [each.json() for each in self.cuts],
            "notes": list(self.notes),
        }


def buy(job: Job, *, offer: str = "what pays", progress: Progress | None = None) -> BuyReport:
    """The parts of an offer, and the cheapest basket for them.

    Parameters
    ----------
    job : the loom with its catalogue, suppliers, offers and stock
    offer : name of the offer
    progress : told how far the work is

    Raises
    ------
    NotFound
        when there is no such offer.
    OutOfRange
        when no basket keeps the suppliers' terms, or wire cannot be cut.
    Stopped
        when `progress` answers False.
    """
    return bought(weigh(job, progress=progress), offer=offer)


def bought(seen: Weighed, *, offer: str = "what pays") -> BuyReport:
    """The same where the offers are weighed already."""
    job, wanted = seen.job, seen.offer(offer)
    outlay = wanted.outlay
    if outlay is None or wanted.choice is None:
        return _nothing(job, offer, (f"the offer is not possible: {wanted.why_not}",))
    basket, needs = outlay.basket, outlay.need.needs
    labels = {str(part.part): part.label or "" for part in job.catalogue}
    units = {need.key: need.unit for need in needs}
    return BuyReport(
        job=job.about.title,
        currency=_currency(job),
        offer=offer,
        cures=wanted.choice.cures,
        lines=tuple(_line(need, labels, basket) for need in needs),
        parcels=tuple(_parcels(job, basket, units)),
        goods=basket.goods,
        postage=basket.postage,
        total=basket.total,
        lead_days=basket.lead_days,
        later=tuple(
            OneMore(name=each.part, now=each.now, later=each.later) for each in basket.later
        ),
        cuts=tuple(_cuts(needs, basket)),
        notes=tuple(dict.fromkeys(_notes(job, wanted.choice.cures, outlay.need.notes))),
    )


def kept_at(job: Job) -> dict[str, str]:
    """Where the drawer keeps each part, by what it is bought as; the places it names alone."""
    found: dict[str, list[str]] = {}
    for row in job.stock:
        if row.kept:
            found.setdefault(bought_as(row.part, row.colour), []).append(row.kept)
    return {name: ", ".join(dict.fromkeys(places)) for name, places in found.items()}


def _nothing(job: Job, offer: str, notes: tuple[str, ...]) -> BuyReport:
    return BuyReport(
        job=job.about.title, currency=_currency(job), offer=offer, cures=(), lines=(),
        parcels=(), goods=0.0, postage=0.0, total=0.0, lead_days=0.0, later=(), cuts=(),
        notes=notes,
    )  # fmt: skip


def _currency(job: Job) -> str:
    told = (job.about.currency, *(row.currency for row in job.suppliers))
    return next((each for each in told if each), "")


def _notes(job: Job, cures: tuple[str, ...], notes: tuple[str, ...]) -> Iterator[str]:
    if cures and not job.offers:
        yield "the table offers is empty, so nothing can be bought"
    yield from notes


def _line(need: Need, labels: Mapping[str, str], basket: Basket) -> PartLine:
    scale = _MM if need.unit == METRE else 1.0
    got = sum(each.packs * each.offer.pack for each in basket.bought if each.offer.part == need.key)
    over = basket.left_over.get(need.key, 0)
    nowhere = basket.nowhere.get(need.key, 0)
    drawer = need.count - (got - over + nowhere) / scale
    return PartLine(
        part=need.part,
        kind=need.kind,
        label=labels.get(need.part, ""),
        colour=need.colour,
        unit=need.unit,
        needed=need.count,
        reasons=need.reasons,
        from_drawer=max(0.0, drawer),
        bought=got / scale,
        left_over=over / scale,
        nowhere=nowhere / scale,
    )


def _parcels(job: Job, basket: Basket, units: Mapping[str, str]) -> Iterator[Parcel]:
    rows = {str(row.supplier): row for row in reversed(job.suppliers)}
    for name in basket.suppliers:
        packs = tuple(
            _pack(each, units[each.offer.part])
            for each in basket.bought
            if each.offer.supplier == name
        )
        yield Parcel(
            supplier=name,
            label=rows[name].label or "",
            packs=packs,
            goods=sum(pack.total for pack in packs),
            postage=rows[name].postage or 0.0,
            lead_days=rows[name].lead_days or 0.0,
        )


def _pack(each: Bought, unit: str) -> Pack:
    size = each.offer.pack / _MM if unit == METRE else float(each.offer.pack)
    return Pack(
        offer=each.offer.offer, name=each.offer.part, packs=each.packs, size=size, unit=unit,
        price=each.offer.price,
    )  # fmt: skip


def _cuts(needs: tuple[Need, ...], basket: Basket) -> Iterator[CutLength]:
    """The cuts, each piece with the wire that it is for."""
    for need in needs:
        waiting: dict[int, list[str]] = {}
        for piece in need.cuts:
            waiting.setdefault(piece.length_mm, []).append(piece.wire)
        for cut in basket.cuts:
            if cut.part == need.key:
                pieces = tuple((waiting[length].pop(0), length) for length in cut.pieces)
                yield CutLength(
                    name=need.key, offer=cut.offer, length_m=cut.length_mm / _MM, pieces=pieces
                )
