"""Where each splice of a new loom goes: least copper, under the rules of the trade.

The place of least copper without any rule is told beside it, and for each stretch that is refused
the rule that refuses it. Where no spot is left, the rule that would have to give is named.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import combinations

import attrs
import numpy as np

from loomwright.build.figures import usable
from loomwright.build.sensor_wires import sensor_wires
from loomwright.build.splice_rules import (
    RULES,
    Barrel,
    Flags,
    Refusal,
    barrel,
    broken_at,
    near_splice,
    refusals,
)
from loomwright.build.splice_search import Link, Seats, SpliceSearch
from loomwright.build.spots import Floats, Spot, Spots, stretches
from loomwright.build.tree import LoomTree
from loomwright.loom import Joint, Point, Wire


@attrs.frozen(kw_only=True)
class Splice:
    """One splice of the new loom.

    Attributes
    ----------
    splice : its name
    wires : all wires in it
    left_out : those whose other end is at no place of the tree; they had no say
    spot : where it goes; None where no spot keeps every rule, or nothing is known
    free : where the least copper is needed, no rule asked
    nearest, must_give : where it would go if these rules gave way, in case `spot` is None
    wire_mm, free_mm : way of its wires together, here and at `free`
    copper_mm3, free_mm3 : copper in that way
    refused : stretches refused, on the branches between its wires' ends and its spots
    place, as_built : the place in the job, and the rules broken there
    barrel : its copper against the catalogue
    sensors : wires of sensors in it
    """

    splice: str
    wires: tuple[str, ...]
    left_out: tuple[str, ...] = ()
    spot: Spot | None = None
    free: Spot | None = None
    nearest: Spot | None = None
    must_give: tuple[str, ...] = ()
    wire_mm: float = 0.0
    free_mm: float = 0.0
    copper_mm3: float = 0.0
    free_mm3: float = 0.0
    refused: tuple[Refusal, ...] = ()
    place: str | None = None
    as_built: tuple[Refusal, ...] = ()
    barrel: Barrel
    sensors: tuple[str, ...] = ()

    @property
    def extra_mm(self) -> float:
        """Wire that the rules cost [mm]; below 0 where thin wires got shorter and thick longer."""
        return self.wire_mm - self.free_mm


@attrs.frozen(kw_only=True)
class SplicePlan:
    """All splices of a loom.

    Attributes
    ----------
    splices : in the order of the sheet
    copper_mm3, free_mm3 : copper in the ways of their wires, with the rules and without
    bound_mm3 : no placing that keeps the rules needs less
    """

    splices: tuple[Splice, ...]
    copper_mm3: float
    free_mm3: float
    bound_mm3: float

    @property
    def proven(self) -> bool:
        """Whether this is known to be the least copper on the grid of spots."""
        return self.copper_mm3 <= self.bound_mm3 * (1 + 1e-9) + 1e-6

    @property
    def spots(self) -> dict[str, Spot]:
        """Where they go, by name."""
        return {each.splice: each.spot for each in self.splices if each.spot is not None}


def place_splices(tree: LoomTree, *, value: Mapping[str, float]) -> SplicePlan:
    """Find a spot for every splice.

    Parameters
    ----------
    tree : branches and what is at their places
    value : defaults by name: those of the rules, `splice_grid`, `wire_section`

    Raises
    ------
    InputProblems : a figure that is too small, see `figures.usable`
    """
    usable(value)
    return _Placing(tree, value).plan()


@attrs.define(slots=False, eq=False)
class _Placing:
    tree: LoomTree
    value: Mapping[str, float]
    spots: Spots = attrs.field(init=False)
    known: tuple[Refusal, ...] = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        self.spots = Spots(self.tree, self.value["splice_grid"])
        self.known = refusals(self.tree, value=self.value)

    def plan(self) -> SplicePlan:
        """Unfit splices are set aside, the others placed together."""
        fit = [each for each in self.joints if np.isfinite(self.alone(each)).any()]
        open_ones = [each for each in fit if np.isfinite(self.ruled(each)).any()]
        free = self.search(fit, [self.alone(each, fit) for each in fit], apart_mm=0.0)
        ruled, crowded = self.ruled_seats(open_ones)
        made = [self.told(each, fit, free, open_ones, ruled, crowded) for each in self.joints]
        placed = {each.splice: each.spot for each in made if each.spot is not None}
        return SplicePlan(
            splices=tuple(attrs.evolve(each, refused=tuple(self.refused(each, placed)))
                          for each in made),
            copper_mm3=ruled.cost, free_mm3=free.cost, bound_mm3=ruled.bound,
        )  # fmt: skip

    # What a splice joins

    @cached_property
    def joints(self) -> list[Joint]:
        return [each for each in self.tree.loom.joints.values() if each.kind == "splice"][::-1]

    def wires(self, joint: Joint) -> list[Wire]:
        return [
            wire for wire in self.tree.loom.wires_at.get(Point(joint.joint), [])
            if wire.from_point != wire.to_point
        ]  # fmt: skip

    def section(self, wire: Wire) -> float:
        return wire.section_mm2 or self.value["wire_section"]

    def far_end(self, joint: Joint, wire: Wire) -> Point:
        own = Point(joint.joint)
        return wire.to_point if wire.from_point == own else wire.from_point

    def anchors(
        self, joint: Joint, moving: Iterable[Joint] = ()
    ) -> Iterator[tuple[Wire, str | None]]:
        """Wires to what stands still, with the place; None where it is at none of the tree."""
        names = {each.joint for each in moving}
        for wire in self.wires(joint):
            end = self.far_end(joint, wire)
            if end.owner not in names:
                place = self.tree.place_of(end)
                yield wire, place if place in self.tree.neighbours else None

    def links(self, moving: list[Joint]) -> list[Link]:
        number = {each.joint: i for i, each in enumerate(moving)}
        found: dict[tuple[int, int], float] = {}
        for one in moving:
            for wire in self.wires(one):
                other = self.far_end(one, wire).owner
                if other in number and number[one.joint] < number[other]:  # type: ignore[index]
                    pair = (number[one.joint], number[other])  # type: ignore[index]
                    found[pair] = found.get(pair, 0.0) + self.section(wire)
        return [Link(*pair, weight) for pair, weight in found.items()]

    # Costs

    def alone(self, joint: Joint, moving: Iterable[Joint] = ()) -> Floats:
        """Copper in its wires at every spot, those to moving splices left out [mm³]."""
        cost = np.zeros(len(self.spots.all))
        held = [(wire, place) for wire, place in self.anchors(joint, moving) if place is not None]
        if not held and not any(True for _ in moving):
            return np.full_like(cost, np.inf)
        for wire, place in held:
            cost = cost + self.section(wire) * self.spots.from_place(place)
        return cost

    @cached_property
    def flags(self) -> dict[str, Flags]:
        """Spots refused, by rule."""
        found = {rule: np.zeros(len(self.spots.all), dtype=bool) for rule in RULES}
        for each in self.known:
            found[each.rule] |= each.holds(self.spots)
        return found

    def ruled(
        self, joint: Joint, moving: Iterable[Joint] = (), *, without: Iterable[str] = ()
    ) -> Floats:
        """The same, infinite where a rule refuses it."""
        kept = [flags for rule, flags in self.flags.items() if rule not in without]
        return np.where(np.any(kept, axis=0), np.inf, self.alone(joint, moving))

    # Placing

    def search(self, moving: list[Joint], costs: list[Floats], *, apart_mm: float) -> Seats:
        found = SpliceSearch(self.spots, costs, self.links(moving), apart_mm).best()
        return found if found is not None else Seats((), 0.0, 0.0)

    def ruled_seats(self, moving: list[Joint]) -> tuple[Seats, bool]:
        """Spots that keep the rules; whether there was no room to keep splices apart."""
        costs = [self.ruled(each, moving) for each in moving]
        found = self.search(moving, costs, apart_mm=self.value["splice_stagger"])
        crowded = len(found.at) < len(moving)
        return (self.search(moving, costs, apart_mm=0.0) if crowded else found), crowded

    def giving(self, joint: Joint) -> tuple[tuple[str, ...], Spot | None]:
        """The fewest rules that would have to give way for a spot, and which one it would be."""
        held = [rule for rule, flags in self.flags.items() if flags.any()]
        for count in range(1, len(held) + 1):
            tried = [
                (float(cost.min()), rules, int(cost.argmin()))
                for rules in combinations(held, count)
                for cost in [self.ruled(joint, without=rules)]
            ]
            cost, rules, index = min(tried)
            if np.isfinite(cost):
                return rules, self.spots.all[index]
        return (), None

    # Telling

    def told(
        self, joint: Joint, fit: list[Joint], free: Seats,
        open_ones: list[Joint], ruled: Seats, crowded: bool,
    ) -> Splice:  # fmt: skip
        """All but the stretches refused, which need every splice placed."""
        wires = self.wires(joint)
        lost = [str(wire.wire) for wire, place in self.anchors(joint, self.joints) if not place]
        sensors = sensor_wires(self.tree)
        made = Splice(
            splice=joint.joint, wires=tuple(str(wire.wire) for wire in wires),
            left_out=tuple(lost), place=joint.place,
            as_built=broken_at(self.tree, joint.place or "", self.known),
            barrel=barrel(self.tree, wires),
            sensors=tuple(str(wire.wire) for wire in wires if str(wire.wire) in sensors),
        )  # fmt: skip
        if joint not in fit:
            return made
        spot = free.at[fit.index(joint)]
        length, copper = self.way(joint, fit, free)
        made = attrs.evolve(made, free=self.spots.all[spot], free_mm=length, free_mm3=copper)
        if joint not in open_ones:
            rules, nearest = self.giving(joint)
            return attrs.evolve(made, must_give=rules, nearest=nearest)
        length, copper = self.way(joint, open_ones, ruled)
        seat = ruled.at[open_ones.index(joint)]
        if crowded and self.too_near(seat, ruled):
            return attrs.evolve(made, must_give=("neighbour",), nearest=self.spots.all[seat])
        return attrs.evolve(made, spot=self.spots.all[seat], wire_mm=length, copper_mm3=copper)

    def too_near(self, seat: int, ruled: Seats) -> bool:
        apart = self.spots.from_spot(seat)[list(ruled.at)]
        return int((apart < self.value["splice_stagger"]).sum()) > 1

    def way(self, joint: Joint, moving: list[Joint], seats: Seats) -> tuple[float, float]:
        """Way of its wires together [mm], and copper in it [mm³]."""
        at = {each.joint: spot for each, spot in zip(moving, seats.at, strict=True)}
        own = at[joint.joint]
        apart = self.spots.from_spot(own)
        ways = [(wire, float(self.spots.from_place(place)[own]))
                for wire, place in self.anchors(joint, moving) if place]  # fmt: skip
        for wire in self.wires(joint):
            other = self.far_end(joint, wire).owner
            if other in at:
                ways.append((wire, float(apart[at[other]])))  # type: ignore[index]
        return sum(mm for _, mm in ways), sum(self.section(wire) * mm for wire, mm in ways)

    def refused(self, made: Splice, placed: Mapping[str, Spot]) -> Iterator[Refusal]:
        """What keeps it from the branches between the ends of its wires and its spots."""
        joint = self.tree.loom.joints[made.splice]
        ends: list[str | Spot] = [place for _, place in self.anchors(joint) if place]
        ends += [spot for spot in (made.free, made.spot, made.nearest) if spot is not None]
        between = {each.branch for each in ends if isinstance(each, Spot)}
        for end in ends[1:]:
            way = stretches(self.tree, ends[0], end) or ()
            between |= {str(stretch.branch.branch) for stretch in way}
        apart = self.value["splice_stagger"]
        others = (
            each for name, spot in placed.items() if name != made.splice
            for each in near_splice(self.tree, name, spot, apart_mm=apart)
        )  # fmt: skip
        for each in (*self.known, *others):
            if each.branch in between:
                yield each
