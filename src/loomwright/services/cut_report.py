"""What a cut plan tells: kinds of wire, their lengths with what is cut from each, what to buy."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright.build.cut_kinds import LeftOut, OnSale
from loomwright.build.cut_proof import BY_LENGTH, BY_SEARCH, BY_SIZES, Proof

__all__ = [
    "BY_LENGTH",
    "BY_SEARCH",
    "BY_SIZES",
    "CutReport",
    "CutSource",
    "CutWire",
    "KindCut",
    "LeftOut",
    "OnSale",
    "Proof",
    "Purchase",
]


@attrs.frozen(kw_only=True)
class CutWire:
    """One wire as it is cut.

    Attributes
    ----------
    wire, start, end : its name, and the points it runs between
    colour, section_mm2, insulation : of the wire
    length_mm : what it is cut to
    strip_start_mm, strip_end_mm : how much insulation comes off there, least and most; None where
        the terminal or its barrel is not known
    """

    wire: str
    start: str
    end: str
    colour: str
    section_mm2: float
    insulation: str
    length_mm: int
    strip_start_mm: tuple[float, float] | None
    strip_end_mm: tuple[float, float] | None


@attrs.frozen(kw_only=True)
class CutSource:
    """A length of wire, and what is cut from it.

    Attributes
    ----------
    bought : how it is bought; None for a length in the drawer
    kept : where the drawer keeps it, empty when not written down
    length_mm : the whole
    wires : in the order they are cut, the longest first
    goes_back : whether what is left is long enough to keep
    """

    bought: OnSale | None
    kept: str
    length_mm: int
    wires: tuple[CutWire, ...]
    goes_back: bool

    @property
    def to_be_found(self) -> bool:
        """Whether it is on no offer, so that a shorter one does if all its wires come out of it."""
        return self.bought is not None and not self.bought.offer

    @property
    def used_mm(self) -> int:
        """What is cut from it [mm]."""
        return sum(each.length_mm for each in self.wires)

    @property
    def left_mm(self) -> int:
        """What is left of it [mm]."""
        return self.length_mm - self.used_mm


@attrs.frozen(kw_only=True)
class KindCut:
    """One kind of wire.

    Attributes
    ----------
    name : what it is bought as; without a part its section, insulation and colour
    part, label, colour, section_mm2, insulations : what it is; `part` empty where none is sure to
        fit
    sources : lengths with their cuts, the drawer first
    reels, bought_mm, drawer_mm : new lengths, their length together, and what is opened in the
        drawer, each against the least that any plan takes
    """

    name: str
    part: str
    label: str
    colour: str
    section_mm2: float
    insulations: tuple[str, ...]
    sources: tuple[CutSource, ...]
    reels: Proof
    bought_mm: Proof
    drawer_mm: Proof

    @property
    def needed_mm(self) -> int:
        """Length of its wires together."""
        return sum(source.used_mm for source in self.sources)

    @property
    def wires(self) -> int:
        """How many wires are cut from it."""
        return sum(len(source.wires) for source in self.sources)

    @property
    def waste_mm(self) -> int:
        """Ends too short to keep."""
        return sum(each.left_mm for each in self.sources if not each.goes_back)

    @property
    def back_mm(self) -> int:
        """What goes back into the drawer."""
        return sum(each.left_mm for each in self.sources if each.goes_back)

    @property
    def proved(self) -> bool:
        """Whether no plan does better."""
        return self.reels.proved and self.bought_mm.proved and self.drawer_mm.proved


@attrs.frozen(kw_only=True)
class Purchase:
    """Lengths to buy, of one kind and length.

    Attributes
    ----------
    name : of the kind
    length_mm, count : how long each is, and how many
    least_mm : what is really cut from each; so long each must be at least
    offer, supplier, packs, price : how it is bought; empty, 1 a length and None on no offer
    """

    name: str
    length_mm: int
    count: int
    least_mm: tuple[int, ...]
    offer: str
    supplier: str
    packs: int
    price: float | None


@attrs.frozen(kw_only=True)
class CutReport:
    """The cut plan of a job.

    Attributes
    ----------
    job, currency : title, and what prices are in
    kinds : the thinnest first
    left_out : wires that cannot be planned, with what is not known of them
    buy : what to buy
    keep_mm : ends from this length on go back into the drawer
    notes : what the plan rests on that deserves a look
    """

    job: str
    currency: str
    kinds: tuple[KindCut, ...]
    left_out: tuple[LeftOut, ...]
    buy: tuple[Purchase, ...]
    keep_mm: float
    notes: tuple[str, ...]

    @property
    def colours_mm(self) -> dict[str, int]:
        """Length of wire that the loom takes, by colour."""
        found: dict[str, int] = {}
        for kind in self.kinds:
            found[kind.colour] = found.get(kind.colour, 0) + kind.needed_mm
        return dict(sorted(found.items()))

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "currency": self.currency,
            "kinds": [_kind_json(each) for each in self.kinds],
            "left_out": [
                {"wire": str(each.wire.wire), "lacks": list(each.lacks)} for each in self.left_out
            ],
            "buy": [attrs.asdict(each) | {"least_mm": list(each.least_mm)} for each in self.buy],
            "colours_mm": self.colours_mm,
            "keep_mm": self.keep_mm,
            "notes": list(self.notes),
        }


def _kind_json(kind: KindCut) -> dict[str, Any]:
    return {
        "name": kind.name,
        "part": kind.part,
        "label": kind.label,
        "colour": kind.colour,
        "section_mm2": kind.section_mm2,
        "insulations": list(kind.insulations),
        "needed_mm": kind.needed_mm,
        "waste_mm": kind.waste_mm,
        "back_mm": kind.back_mm,
        "proved": kind.proved,
        **{
            name: attrs.asdict(proof)
            for name, proof in (
                ("reels", kind.reels),
                ("bought_mm", kind.bought_mm),
                ("drawer_mm", kind.drawer_mm),
            )
        },
        "sources": [_source_json(each) for each in kind.sources],
    }


def _source_json(source: CutSource) -> dict[str, Any]:
    return {
        "from_drawer": source.bought is None,
        "kept": source.kept,
        "offer": source.bought.offer if source.bought else "",
        "length_mm": source.length_mm,
        "left_mm": source.left_mm,
        "goes_back": source.goes_back,
        "wires": [attrs.asdict(each) for each in source.wires],
    }
