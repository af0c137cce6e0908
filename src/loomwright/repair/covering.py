"""The whole-number model of a basket: packs, parcels, and the cuts of wire.

Beside packs n and parcels y (see `basket`) there is, for every kind of wire, how often a reel or a
length in the drawer is cut by each pattern (`cutting`), how many pieces are cut from what comes in
one length, and which pieces nobody sells a length for. A piece goes without only where no offer is
long enough.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

import attrs
import numpy as np

from loomwright.loom.errors import OutOfRange
from loomwright.repair.cutting import Pattern, alike, patterns, without_surplus
from loomwright.repair.packs import Cut, Lengths, PackOffer, Supplier

_MOST_WAYS = 2_000
"""Patterns of one reel that a basket reckons with; lengths are made alike beyond it."""
_SLACK = 1e-9


@attrs.frozen(kw_only=True)
class Covering:
    """The solution: packs of each offer, cuts, and what nobody sells [mm]."""

    packs: list[int]
    cuts: tuple[Cut, ...]
    nowhere: dict[str, int]


def cover(
    wanted: Mapping[str, int],
    wires: Mapping[str, Lengths],
    offers: Sequence[PackOffer],
    suppliers: Mapping[str, Supplier],
    *,
    keep_value: float,
) -> Covering:
    """The packs of least cost that cover what is wanted; a proven optimum.

    Parameters
    ----------
    wanted : parts beyond the drawer
    wires : pieces of wire
    offers : packs of those parts and wires
    suppliers : by name
    keep_value : share of its price that what is left over is worth
    """
    return _Model(wanted, wires, offers, suppliers, keep_value).solved()


@attrs.define(eq=False)
class _Source:
    """Lengths of one kind, and the variables of what is cut from them."""

    part: str
    offer: int | None  # number of the offer, None for the drawer
    length_mm: int
    ways: dict[int, Pattern] = attrs.field(factory=dict)
    loose: dict[int, int] = attrs.field(factory=dict)  # variable by length, where one length comes


@attrs.define(eq=False)
class _Model:
    wanted: Mapping[str, int]
    wires: Mapping[str, Lengths]
    offers: Sequence[PackOffer]
    suppliers: Mapping[str, Supplier]
    keep_value: float
    cost: list[float] = attrs.field(factory=list, init=False)
    upper: list[float] = attrs.field(factory=list, init=False)
    rows: list[dict[int, float]] = attrs.field(factory=list, init=False)
    low: list[float] = attrs.field(factory=list, init=False)
    rounded: dict[str, dict[int, int]] = attrs.field(factory=dict, init=False)
    sources: list[_Source] = attrs.field(factory=list, init=False)
    without: dict[tuple[str, int], int] = attrs.field(factory=dict, init=False)

    def solved(self) -> Covering:
        """Build, solve, and read the solution."""
        self.parcels()
        for part, count in self.wanted.items():
            own = {i: float(o.pack) for i, o in enumerate(self.offers) if o.part == part}
            self.at_least(own, count)
        for part, lengths in self.wires.items():
            self.wire(part, lengths)
        found = self.optimum() if self.cost else []
        return Covering(
            packs=found[: len(self.offers)],
            cuts=tuple(cut for part in self.wires for cut in self.cuts(part, found)),
            nowhere=self.nowhere(found),
        )

    # Building

    def variable(self, cost: float, upper: float) -> int:
        """A whole number from 0 up; its place."""
        self.cost.append(cost)
        self.upper.append(upper)
        return len(self.cost) - 1

    def at_least(self, row: dict[int, float], low: float) -> None:
        """A condition: the sum is at least that."""
        self.rows.append(row)
        self.low.append(low)

    def parcels(self) -> None:
        """Packs first, then parcels: a least order for each, no pack without its parcel."""
        unit: dict[str, float] = {}
        for offer in self.offers:
            each = offer.price / offer.pack
            unit[offer.part] = min(each, unit.get(offer.part, math.inf))
        most = [self.most(offer) for offer in self.offers]
        for offer, count in zip(self.offers, most, strict=True):
            kept = self.keep_value * offer.pack * unit[offer.part]
            self.variable(offer.price - kept, count)
        for name in sorted({offer.supplier for offer in self.offers}):
            parcel = self.variable(self.suppliers[name].postage, 1)
            here = {i: offer for i, offer in enumerate(self.offers) if offer.supplier == name}
            least = self.suppliers[name].least_order
            self.at_least({parcel: -least} | {i: o.price for i, o in here.items()}, 0)
            for i in here:
                self.at_least({i: -1.0, parcel: float(most[i])}, 0)

    def most(self, offer: PackOffer) -> int:
        """More than this of one offer is never needed, but for reaching a least order."""
        wire = self.wires.get(offer.part)
        if wire is None:
            need = math.ceil(self.wanted[offer.part] / offer.pack)
        elif offer.one_length:
            need = math.ceil(sum(mm * n for mm, n in wire.pieces.items()) / offer.pack) + 1
        else:
            need = sum(wire.pieces.values())
        least = self.suppliers[offer.supplier].least_order
        return need + (math.ceil(least / offer.price) if offer.price else 0)

    def wire(self, part: str, lengths: Lengths) -> None:
        """Every piece from a reel, from what is cut to order, or from the drawer."""
        own = {i: offer for i, offer in enumerate(self.offers) if offer.part == part}
        whole = [offer.pack for offer in own.values() if not offer.one_length]
        exact = {mm: n for mm, n in lengths.pieces.items() if n > 0}
        self.rounded[part] = alike(
            exact, (*whole, *lengths.drawer), sold_mm=max(whole, default=None), most=_MOST_WAYS
        )
        pieces: Counter[int] = Counter()
        longest: dict[int, int] = {}
        for length, count in exact.items():
            up = self.rounded[part][length]
            pieces[up] += count
            longest[up] = max(length, longest.get(up, 0))
        rows: dict[int, dict[int, float]] = {length: {} for length in pieces}
        for i, offer in own.items():
            source = _Source(part, i, offer.pack)
            if offer.one_length:
                self.cut_to_order(source, pieces, rows)
            else:
                self.reels(source, pieces, rows)
        for length, count in Counter(lengths.drawer).items():
            self.reels(_Source(part, None, length), pieces, rows, at_hand=count)
        anything = any(offer.one_length for offer in own.values())
        for length, count in pieces.items():
            if not anything and longest[length] > max(whole, default=0):
                self.without[part, length] = self.variable(0.0, count)
                rows[length][self.without[part, length]] = 1.0
            self.at_least(rows[length], count)

    def cut_to_order(
        self, source: _Source, pieces: Mapping[int, int], rows: dict[int, dict[int, float]]
    ) -> None:
        """Pieces of one long length: their sum."""
        row = {-1 if source.offer is None else source.offer: float(source.length_mm)}
        for length, count in pieces.items():
            source.loose[length] = self.variable(0.0, count)
            rows[length][source.loose[length]] = 1.0
            row[source.loose[length]] = -float(length)
        self.at_least(row, 0)
        self.sources.append(source)

    def reels(
        self,
        source: _Source,
        pieces: Mapping[int, int],
        rows: dict[int, dict[int, float]],
        *,
        at_hand: int = 0,
    ) -> None:
        """Reels, or lengths in the drawer, each cut by one pattern."""
        row = {} if source.offer is None else {source.offer: 1.0}
        fitting = {mm: n for mm, n in pieces.items() if mm <= source.length_mm}
        for way in patterns(fitting, source.length_mm, most=_MOST_WAYS) if fitting else ():
            place = self.variable(0.0, sum(fitting.values()))
            source.ways[place] = way
            row[place] = -1.0
            for length, count in way:
                rows[length][place] = float(count)
        if row:
            self.at_least(row, -at_hand)
        self.sources.append(source)

    # Solving and reading

    def optimum(self) -> list[int]:
        """The value of every variable."""
        # late: a second of loading for a few milliseconds of work
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import coo_array

        # Going without costs more than anything that could be bought instead.
        dear = 1.0 + sum(max(0.0, c) * u for c, u in zip(self.cost, self.upper, strict=True))
        for place in self.without.values():
            self.cost[place] = dear
        places = [(r, place) for r, row in enumerate(self.rows) for place in row]
        values = [value for row in self.rows for value in row.values()]
        index = np.array(places, dtype=int).reshape(-1, 2)
        matrix = coo_array(
            (np.array(values), (index[:, 0], index[:, 1])), shape=(len(self.rows), len(self.cost))
        )
        done = milp(
            np.array(self.cost),
            constraints=LinearConstraint(matrix.tocsc(), np.array(self.low) - _SLACK, np.inf),
            integrality=np.ones(len(self.cost)),
            bounds=Bounds(0.0, np.array(self.upper)),
            options={"mip_rel_gap": 0.0},
        )
        if done.x is None:
            raise OutOfRange(
                "no basket keeps every supplier's least order", where="offers",
                expected="lower a least order, or add an offer",
            )  # fmt: skip
        return [round(float(value)) for value in done.x]

    def nowhere(self, found: Sequence[int]) -> dict[str, int]:
        """Millimetres of each wire that no length is sold for."""
        missing: dict[str, int] = {}
        for (part, length), place in self.without.items():
            if found[place]:
                missing[part] = missing.get(part, 0) + length * found[place]
        return missing

    def cuts(self, part: str, found: Sequence[int]) -> Iterator[Cut]:
        """What is cut from each length of one wire, the drawer first; in lengths as asked for."""
        exact: dict[int, list[int]] = {}
        for length, count in self.wires[part].pieces.items():
            if count > 0:
                exact.setdefault(self.rounded[part][length], []).extend([length] * count)
        wanted = {length: len(each) for length, each in exact.items()}
        own = [source for source in self.sources if source.part == part]
        own.sort(key=lambda source: source.offer is not None)
        lengths: list[tuple[_Source, int, Pattern]] = []
        for source in own:
            for place, way in source.ways.items():
                lengths += [(source, source.length_mm, way)] * found[place]
            loose = tuple((mm, found[place]) for mm, place in source.loose.items() if found[place])
            if loose and source.offer is not None:
                lengths.append((source, source.length_mm * found[source.offer], loose))
        cut = without_surplus([way for _, _, way in lengths], wanted)
        for (source, length, _), pieces in zip(lengths, cut, strict=True):
            if pieces:
                offer = "" if source.offer is None else self.offers[source.offer].offer
                yield Cut(
                    part=part,
                    offer=offer if source.offer is None else offer or "bought",
                    length_mm=length,
                    pieces=tuple(sorted((exact[each].pop() for each in pieces), reverse=True)),
                )
