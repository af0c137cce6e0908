"""The parts list: what is needed and why, what the drawer holds, what is ordered, cut lengths."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

import attrs

from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.services.buy import BuyReport, CutLength, Pack, Parcel, PartLine, kept_at
from loomwright.services.labels import Labels
from loomwright.services.words import sentence
from loomwright.services.workup import WorkUp

NONE = "–"


@attrs.frozen(kw_only=True)
class NeedRow:
    """One part that is needed.

    Attributes
    ----------
    part, label : its name, with the colour of a wire, and what it is
    needed : how much
    why : what for: places, spares with their chance, trial crimps
    drawer, order, missing : how much lies in the drawer, is ordered, and has no offer
    """

    part: str
    label: str
    needed: str
    why: tuple[str, ...]
    drawer: str
    order: str
    missing: str


@attrs.frozen(kw_only=True)
class DrawerRow:
    """One part that is taken from the drawer.

    Attributes
    ----------
    part, label : what it is
    take : how much
    kept : where it lies, empty when not written down
    """

    part: str
    label: str
    take: str
    kept: str


@attrs.frozen(kw_only=True)
class PackRow:
    """Packs of one part.

    Attributes
    ----------
    offer : what the supplier's offer is called
    part, label : what is in it
    packs, size : how many packs, and how much is in one
    each, total : price of one, and of all
    """

    offer: str
    part: str
    label: str
    packs: str
    size: str
    each: str
    total: str


@attrs.frozen(kw_only=True)
class Order:
    """What is ordered from one supplier.

    Attributes
    ----------
    supplier : who that is
    packs : what is ordered
    postage, total : of the parcel
    lead : until it is there
    """

    supplier: str
    packs: tuple[PackRow, ...]
    postage: str
    total: str
    lead: str


@attrs.frozen(kw_only=True)
class CutRow:
    """One length of wire.

    Attributes
    ----------
    source : the length, and where it comes from
    pieces : how long, and for which wire; the longest first
    left : what is left of it
    """

    source: str
    pieces: tuple[tuple[str, str], ...]
    left: str


@attrs.frozen(kw_only=True)
class CutGroup:
    """The lengths of one wire and colour.

    Attributes
    ----------
    wire : part and colour
    lengths : each with its pieces
    """

    wire: str
    lengths: tuple[CutRow, ...]


@attrs.frozen(kw_only=True)
class MoreRow:
    """One more pack.

    Attributes
    ----------
    part, label : of what
    now, later : its price in this order, and in a parcel of its own
    """

    part: str
    label: str
    now: str
    later: str


@attrs.frozen(kw_only=True)
class PartsList(Context):
    """What the template is given.

    Attributes
    ----------
    summary : what it comes to, in a sentence or two
    money : currency behind a heading of prices, with a space; empty where there is none
    needs : the parts
    drawer : what is taken from the drawer
    orders : a parcel a supplier
    no_order : why nothing is ordered; empty otherwise
    cuts : how wire is cut
    missing : what has no offer, or no part fits, in sentences
    more : what one more pack costs now and later
    notes : what this rests on
    """

    summary: tuple[str, ...]
    money: str
    needs: tuple[NeedRow, ...]
    drawer: tuple[DrawerRow, ...]
    orders: tuple[Order, ...]
    no_order: str
    cuts: tuple[CutGroup, ...]
    missing: tuple[str, ...]
    more: tuple[MoreRow, ...]
    notes: tuple[str, ...]


def parts_list(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The parts of the offer that the work follows.

    Parameters
    ----------
    known : the job and what is known of it
    made_on : the day, ISO 8601
    """
    report = known.buy
    labels = {line.name: line.label for line in report.lines}
    yield Paper(
        name="parts-list",
        template="parts-list",
        context=PartsList(
            **headed(known.job, "Parts list", made_on),
            summary=tuple(_summary(report)),
            money=f" {report.currency}" if report.currency else "",
            needs=tuple(_need(line, known.labels) for line in report.lines),
            drawer=tuple(_drawer(known)),
            orders=tuple(_order(parcel, labels) for parcel in report.parcels),
            no_order=_no_order(known),
            cuts=tuple(_cuts(report, known.labels)),
            missing=tuple(_missing(known)),
            more=tuple(
                MoreRow(
                    part=each.name, label=labels.get(each.name, ""),
                    now=_price(each.now), later=_price(each.later),
                )
                for each in report.later
            ),
            notes=tuple(_notes(report)),
        ),
    )  # fmt: skip


def _summary(report: BuyReport) -> Iterator[str]:
    yield f"For the offer “{report.offer}”."
    if report.parcels:
        money = f" {report.currency}" if report.currency else ""
        last = "the last" if len(report.parcels) > 1 else "it"
        yield (
            f"{_count(len(report.parcels), 'parcel')}, {_price(report.total)}{money} with "
            f"{_price(report.postage)}{money} postage; {last} is there in "
            f"{_count(round(report.lead_days), 'day')}."
        )


def _no_order(known: WorkUp) -> str:
    report, offer = known.buy, known.weighed.offer(known.offer)
    if report.parcels:
        return ""
    if offer.choice is None:
        return f"The offer “{offer.name}” is not possible: {offer.why_not}."
    if report.lines and not report.nowhere:
        return "Nothing is ordered: everything that is needed lies in the drawer."
    if report.lines:
        return "Nothing is ordered: what the drawer does not hold has no offer."
    if not report.cures:
        return "Nothing is done by this offer, so no parts are needed."
    return "No parts are needed for this work, or none are known."


def _need(line: PartLine, labels: Labels) -> NeedRow:
    return NeedRow(
        part=line.name,
        label=line.label,
        needed=_amount(line.needed, line.unit),
        why=tuple(_why(line, labels)),
        drawer=_some(line.from_drawer, line.unit),
        order=_some(line.bought, line.unit),
        missing=_some(line.nowhere, line.unit),
    )


def _why(line: PartLine, labels: Labels) -> Iterator[str]:
    """`4 for Throttle switch plug (TH)`, `3 spare, enough in 95 of 100 such jobs`."""
    places: dict[str, list[str]] = {}
    others = []
    for each in line.reasons:
        count = _bare(each.count, line.unit)
        if each.words.startswith(("for ", "spare")):
            others.append(f"{count} {each.words}.")
        else:
            places.setdefault(count, []).append(_called(each.words, labels))
    for count, names in places.items():
        yield f"{count}{' each' if len(names) > 1 else ''} for {'; '.join(names)}."
    yield from others


def _called(name: str, labels: Labels) -> str:
    """A thing within a sentence: its label where it has one, else `wire W23 (CU.4 to TH.2)`."""
    wire, at, plug = name.partition(" at ")
    if at and wire in labels.wires:
        return f"{labels.item(wire)} at {plug}"
    item, called = labels.item(name), labels.called(name)
    return item if sentence(item) == called else called


def _drawer(known: WorkUp) -> Iterator[DrawerRow]:
    kept = kept_at(known.job)
    for line in known.buy.lines:
        if line.from_drawer > 0:
            yield DrawerRow(
                part=line.name,
                label=line.label,
                take=_amount(line.from_drawer, line.unit),
                kept=kept.get(line.name, ""),
            )


def _order(parcel: Parcel, labels: dict[str, str]) -> Order:
    return Order(
        supplier=f"{parcel.supplier}: {parcel.label}" if parcel.label else parcel.supplier,
        packs=tuple(_pack(pack, labels) for pack in parcel.packs),
        postage=_price(parcel.postage),
        total=_price(parcel.total),
        lead=f"There in {_count(round(parcel.lead_days), 'day')}.",
    )


def _pack(pack: Pack, labels: dict[str, str]) -> PackRow:
    return PackRow(
        offer=pack.offer,
        part=pack.name,
        label=labels.get(pack.name, ""),
        packs=_count(pack.packs, "pack"),
        size=_amount(pack.size, pack.unit),
        each=_price(pack.price),
        total=_price(pack.total),
    )


def _cuts(report: BuyReport, labels: Labels) -> Iterator[CutGroup]:
    for wire, cuts in groupby(report.cuts, key=lambda cut: cut.name):
        yield CutGroup(wire=wire, lengths=tuple(_cut(cut, labels) for cut in cuts))


def _cut(cut: CutLength, labels: Labels) -> CutRow:
    length = f"{cut.length_m:.2f} m"
    return CutRow(
        source=f"{length}, offer {cut.offer}" if cut.offer else f"{length}, from the drawer",
        pieces=tuple((f"{length} mm", _called(wire, labels)) for wire, length in cut.pieces),
        left=f"{cut.left_m:.2f} m",
    )


def _missing(known: WorkUp) -> Iterator[str]:
    report = known.buy
    if known.weighed.offer(known.offer).choice is None:
        return
    for line in report.nowhere:
        label = f" ({line.label})" if line.label else ""
        yield f"{line.name}{label}: {_amount(line.nowhere, line.unit)} without an offer."
    for note in report.notes:
        yield f"{sentence(note)}."


def _notes(report: BuyReport) -> Iterator[str]:
    """Only what bears on this list."""
    if report.parcels:
        yield (
            "Prices are those written down with the job; they may have changed. No other choice "
            "of packs and suppliers on offer does better."
        )
    if any(each.words.startswith("spare") for line in report.lines for each in line.reasons):
        yield (
            "Spares are for crimps that fail, reckoned from the job's own trial crimps and common "
            "practice together."
        )
    if any(line.unit == "m" for line in report.lines):
        yield (
            "Every piece of wire is cut from one length: pieces cannot be joined. Hold each "
            "against the old wire before it is cut."
        )
    if any(line.from_drawer for line in report.lines):
        yield "What lies in the drawer is what the table stock says: count it before ordering."
    if report.lines:
        yield "Hold a part against plug, wire and tab before many are opened or crimped."
    else:
        yield "The parts follow from the work, the catalogue, the offers and the stock of the job."


def _some(value: float, unit: str) -> str:
    return _amount(value, unit) if value > 0 else NONE


def _amount(value: float, unit: str) -> str:
    return _bare(value, unit) if unit == "m" else _count(round(value), "piece")


def _bare(value: float, unit: str) -> str:
    """A number among others of its kind: pieces without their unit."""
    return f"{value:.2f} m" if unit == "m" else f"{value:.0f}"


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _price(value: float) -> str:
    return f"{value:.2f}"
