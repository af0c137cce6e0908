"""A cut plan in words: what a length is, what is left of it, and what is proved of the plan."""

from __future__ import annotations

from loomwright.services.counting import counted
from loomwright.services.cut_report import (
    BY_LENGTH,
    BY_SIZES,
    CutReport,
    CutSource,
    CutWire,
    KindCut,
    LeftOut,
    Proof,
    Purchase,
)
from loomwright.services.words import listed

__all__ = [
    "bought_words",
    "label_words",
    "left_out_words",
    "left_words",
    "metres",
    "proof_words",
    "source_words",
    "strip_words",
    "sum_words",
]

_WHY = {
    BY_LENGTH: "by the lengths of its wires together",
    BY_SIZES: "by the lengths that can lie side by side",
}


def metres(mm: int) -> str:
    """`12.35 m`, rounded up: it is what is needed, or what there is in whole centimetres."""
    return f"{-(-mm // 10) / 100:.2f} m"


def source_words(source: CutSource) -> str:
    """`5.00 m from the drawer, hook`, `10.00 m, new, offer C05`."""
    length, sold = metres(source.length_mm), source.bought
    if sold is None:
        return f"{length} from the drawer{f', {source.kept}' if source.kept else ''}"
    if source.to_be_found:
        return f"at least {metres(source.used_mm)}, to be found: on no offer"
    in_one = f", {sold.packs} packs in one length" if sold.packs > 1 else ""
    return f"{length}, new, offer {sold.offer}{in_one}"


def left_words(source: CutSource) -> str:
    """What is left of a length, and where that goes; empty where its length is still open."""
    if source.to_be_found:
        return ""
    if source.left_mm == 0:
        return "nothing left"
    return f"{source.left_mm} mm left, {'to the drawer' if source.goes_back else 'waste'}"


def label_words(wire: CutWire) -> str:
    """What stands on a wire's label: `CU.4 to TH.2, GN/WH 0.75 mm², 1840 mm`."""
    return (
        f"{wire.start} to {wire.end}, {wire.colour} {wire.section_mm2:g} mm², {wire.length_mm} mm"
    )


def strip_words(strip: tuple[float, float] | None) -> str:
    """`4 to 4.5 mm`; empty where it is not known."""
    if strip is None:
        return ""
    low, high = strip
    return f"{low:g} mm" if low == high else f"{low:g} to {high:g} mm"


def proof_words(kind: KindCut) -> str:
    """What is proved of the plan of one kind, and what is not."""
    if kind.proved:
        shown = [each.by for each in (kind.reels, kind.bought_mm, kind.drawer_mm) if each.got]
        last = next((by for by in shown if by not in _WHY), shown[0] if shown else BY_LENGTH)
        return f"Proved: no plan takes less ({_WHY.get(last, 'by trying every way')})."
    lacking = [
        _gap(kind.reels, counted(kind.reels.least, "new length")),
        _gap(kind.bought_mm, f"{metres(kind.bought_mm.least)} bought"),
        _gap(kind.drawer_mm, f"{metres(kind.drawer_mm.least)} opened in the drawer"),
    ]
    return f"Not proved in the time there was: {', '.join(filter(None, lacking))} might do."


def _gap(proof: Proof, least: str) -> str:
    return "" if proof.proved else least


def sum_words(report: CutReport) -> str:
    """`64 wires of 49 kinds, 106.10 m; 0.35 m waste; 4.20 m back into the drawer`."""
    kinds = report.kinds
    wires = sum(kind.wires for kind in kinds)
    told = [f"{counted(wires, 'wire')} of {counted(len(kinds), 'kind')}"]
    told[0] += f", {metres(sum(kind.needed_mm for kind in kinds))}"
    known = [each for kind in kinds for each in kind.sources if not each.to_be_found]
    back = sum(each.left_mm for each in known if each.goes_back)
    waste = sum(each.left_mm for each in known if not each.goes_back)
    told.append(f"{metres(waste)} waste" if waste else "no waste")
    if back:
        told.append(f"{metres(back)} back into the drawer")
    return "; ".join(told)


def bought_words(each: Purchase, currency: str) -> str:
    """`2 × 10.00 m WIRE-075 GN/WH: offer C05 of SUP-C, 13.60 EUR`.

    What is on no offer is told with the least that each length must be: `WIRE-075 BK 3.10 m`.
    """
    if not each.offer:
        return f"{each.name} {listed([metres(mm) for mm in each.least_mm])}"
    said = f"{each.count} × {metres(each.length_mm)} {each.name}"
    more = f", {each.packs} packs" if each.packs > each.count else ""
    price = "" if each.price is None else f", {each.price:.2f} {currency}".rstrip()
    return f"{said}: offer {each.offer} of {each.supplier}{more}{price}"


def left_out_words(report: CutReport) -> tuple[str, ...]:
    """Wires that are not planned, those that lack the same together."""
    found: dict[tuple[str, ...], list[LeftOut]] = {}
    for each in report.left_out:
        found.setdefault(each.lacks, []).append(each)
    return tuple(
        f"{', '.join(str(each.wire.wire) for each in some)}: {' and '.join(lacks)} not known"
        for lacks, some in found.items()
    )
