"""The wires of a new loom by kind: what is cut from one and the same wire, and where that is had.

A kind is a wire of the catalogue in one colour; where none of the catalogue is sure to fit, a
section, insulation and colour. What lies in the drawer and what is on sale is matched by part and
colour; where nothing is on sale, a reel of a usual length stands for what is to be found.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import ceil

import attrs

from loomwright.loom import Job, Wire
from loomwright.repair.market import Market, market
from loomwright.repair.needs import Needs
from loomwright.repair.packs import PackOffer
from loomwright.repair.part_choice import PartChoice
from loomwright.repair.parts_need import bought_as


@attrs.frozen(kw_only=True)
class WireToCut:
    """A wire of the new loom and the length it is cut to [mm]."""

    wire: Wire
    length_mm: int


@attrs.frozen(kw_only=True)
class OnSale:
    """A length that can be bought, any number of times.

    Attributes
    ----------
    length_mm : how long it is
    offer, supplier : who sells it as what; empty where nobody on record does
    packs : how many packs of the offer come in that one length
    price : of the length, None where it is not known
    """

    length_mm: int
    offer: str = ""
    supplier: str = ""
    packs: int = 1
    price: float | None = None


@attrs.frozen(kw_only=True)
class WireKind:
    """What is cut from one and the same wire.

    Attributes
    ----------
    name : what it is bought as, `WIRE-075 BN`; without a part `0.75 mm² PVC 105 BN`
    part : of the catalogue, empty where none is sure to fit
    colour, section_mm2 : of the wires
    insulations : as the wires name them, each once
    wires : what is cut, the longest first
    drawer_mm : lengths in the drawer
    on_sale : lengths that can be bought, the shortest first
    """

    name: str
    part: str
    colour: str
    section_mm2: float
    insulations: tuple[str, ...]
    wires: tuple[WireToCut, ...]
    drawer_mm: tuple[int, ...]
    on_sale: tuple[OnSale, ...]


@attrs.frozen(kw_only=True)
class LeftOut:
    """A wire that cannot be planned, and what is not known of it."""

    wire: Wire
    lacks: tuple[str, ...]


def wire_kinds(
    job: Job, cut_mm: Mapping[str, float], *, value: Mapping[str, float]
) -> tuple[tuple[WireKind, ...], tuple[LeftOut, ...]]:
    """The kinds of wire of a new loom, and the wires that are left out.

    Parameters
    ----------
    job : its wires, catalogue, offers and stock
    cut_mm : length that each wire is cut to, by its name; rounded up to whole millimetres
    value : defaults by name: `reel_length`, and what part choice needs
    """
    sale = market(job)
    choice = PartChoice(Needs(job, value), sale.part_price)
    groups: dict[tuple[str, str, float, str], list[WireToCut]] = {}
    left_out = []
    for wire in job.wires:
        lacks = tuple(_lacks(wire, cut_mm))
        if lacks or wire.section_mm2 is None:
            left_out.append(LeftOut(wire=wire, lacks=lacks))
            continue
        colour, part = bought_as("", wire.colour).strip(), choice.wire(wire) or ""
        # By part alone where there is one, so that its drawer is shared out once.
        own = (0.0, "") if part else (wire.section_mm2, (wire.insulation or "").strip())
        cut = WireToCut(wire=wire, length_mm=ceil(cut_mm[str(wire.wire)] - 1e-6))
        groups.setdefault((part, colour, *own), []).append(cut)
    reel = ceil(value["reel_length"])
    kinds = [_kind(part, colour, cuts, sale, reel) for (part, colour, *_), cuts in groups.items()]
    kinds.sort(key=lambda each: (each.section_mm2, each.name))
    return tuple(kinds), tuple(left_out)


def _lacks(wire: Wire, cut_mm: Mapping[str, float]) -> Iterator[str]:
    if not cut_mm.get(str(wire.wire), 0.0) > 0.0:
        yield "length"
    if wire.section_mm2 is None:
        yield "section"
    if not (wire.colour or "").strip():
        yield "colour"


def _kind(
    part: str, colour: str, cuts: Iterable[WireToCut], sale: Market, reel_mm: int
) -> WireKind:
    wires = tuple(sorted(cuts, key=lambda each: -each.length_mm))
    first = wires[0].wire
    insulations = tuple(dict.fromkeys((each.wire.insulation or "").strip() for each in wires))
    own = f"{first.section_mm2:g} mm² {insulations[0]}".strip()
    name = bought_as(part or own, colour)
    found = sale.offers if part else ()
    return WireKind(
        name=name,
        part=part,
        colour=colour,
        section_mm2=first.section_mm2 or 0.0,
        insulations=insulations,
        wires=wires,
        drawer_mm=tuple(sale.drawer.get(name, ())) if part else (),
        on_sale=_on_sale(wires, [each for each in found if each.part == name], reel_mm),
    )


def _on_sale(
    wires: tuple[WireToCut, ...], offers: Iterable[PackOffer], reel_mm: int
) -> tuple[OnSale, ...]:
    """Each length at its least price; a usual reel where none that is sold is long enough."""
    total, longest = sum(each.length_mm for each in wires), wires[0].length_mm
    best: dict[int, OnSale] = {}
    for offer in offers:
        most = -(-total // offer.pack) if offer.one_length else 1
        for packs in range(1, most + 1):
            each = OnSale(
                length_mm=packs * offer.pack, offer=offer.offer, supplier=offer.supplier,
                packs=packs, price=packs * offer.price,
            )  # fmt: skip
            known = best.get(each.length_mm)
            if known is None or (known.price or 0.0) > (each.price or 0.0):
                best[each.length_mm] = each
    if max(best, default=0) < longest:
        length = max(reel_mm, longest)
        best[length] = OnSale(length_mm=length)
    return tuple(each for _, each in sorted(best.items()))
