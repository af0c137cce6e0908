"""The cheapest lengths to open so that all pieces can be cut: a proven optimum where time allows.

For each length of which there are some, x_p of them cut by pattern p, or, where it can be cut in
too many ways, piece by piece: with x_jb pieces of length l_j from length b, and y_b 1 where it is
opened,

    min  Σ cost      Σ a_jp x_p + Σ x_jb >= pieces of length j      Σ_j l_j x_jb <= length_b y_b

Solved by branch and cut (HiGHS: Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import attrs
import numpy as np

from loomwright.build.cut_fill import Cuts
from loomwright.loom.errors import OutOfRange
from loomwright.repair.cutting import Pattern, patterns, without_surplus

_MOST_WAYS = 4_000
"""Ways to cut one length that are all reckoned with; beyond it each piece is placed by itself."""
_MOST_SIZES = 300
"""Different lengths of pieces that are made into ways."""
_MOST_PLACES = 4_000
"""Pieces times lengths that are placed one by one; beyond it nothing is tried."""
_SLACK = 1e-6
_INFEASIBLE = 2


@attrs.frozen(kw_only=True)
class Length:
    """A length of wire that pieces are cut from.

    Attributes
    ----------
    length_mm : how long it is
    new : whether it is bought
    """

    length_mm: int
    new: bool = False


@attrs.frozen(kw_only=True)
class Group:
    """Lengths of one kind.

    Attributes
    ----------
    length : of each
    count : how many there are
    cost : of opening one
    """

    length: Length
    count: int
    cost: int = 0


Opened = tuple[Length, Cuts]
"""A length and what is cut from it."""


@attrs.frozen(kw_only=True)
class Cheapest:
    """What was found.

    Attributes
    ----------
    opened : the lengths with their cuts; None where no way was found
    cost : of opening them
    least : what any way costs at least
    impossible : whether it is proved that there is no way
    """

    opened: tuple[Opened, ...] | None = None
    cost: int = 0
    least: int = 0
    impossible: bool = False


def cheapest(
    wanted: Mapping[int, int],
    groups: Sequence[Group],
    *,
    seconds: float,
    ways: Mapping[int, tuple[Pattern, ...]] | None = None,
) -> Cheapest:
    """Open lengths of least cost that all pieces come out of.

    Parameters
    ----------
    wanted : how many pieces of each length [mm]
    groups : the lengths there are
    seconds : most that it may take
    ways : ways to cut each length, where only these are to be tried; then nothing is proved
    """
    if seconds <= 0.0:
        return Cheapest()
    model = _Model(dict(wanted))
    for group in groups:
        model.costs[group.length] = group.cost
        told = ways.get(group.length.length_mm, ()) if ways is not None else _all(wanted, group)
        if told is not None:
            model.by_ways(group, told)
        elif not model.one_by_one(group):
            return Cheapest()
    return model.solved(seconds, proving=ways is None)


def _all(wanted: Mapping[int, int], group: Group) -> tuple[Pattern, ...] | None:
    """Every way to cut a length, None where there are too many."""
    length = group.length.length_mm
    fitting = {each: count for each, count in wanted.items() if each <= length}
    if len(fitting) > _MOST_SIZES:
        return None
    try:
        return patterns(fitting, length, most=_MOST_WAYS) if fitting else ()
    except OutOfRange:
        return None


@attrs.define(eq=False)
class _Model:
    """Cost of opening each length; variables with their cost and most; rows of at least so much."""

    wanted: dict[int, int]
    costs: dict[Length, int] = attrs.field(factory=dict, init=False)
    cost: list[int] = attrs.field(factory=list, init=False)
    most: list[int] = attrs.field(factory=list, init=False)
    rows: list[dict[int, int]] = attrs.field(factory=list, init=False)
    low: list[int] = attrs.field(factory=list, init=False)
    cover: dict[int, dict[int, int]] = attrs.field(init=False)
    cut_by: list[tuple[Length, int, Pattern]] = attrs.field(factory=list, init=False)
    cut_from: list[tuple[Length, dict[int, int]]] = attrs.field(factory=list, init=False)

    def __attrs_post_init__(self) -> None:
        self.cover = {length: {} for length in self.wanted}

    def variable(self, cost: int, most: int) -> int:
        self.cost.append(cost)
        self.most.append(most)
        return len(self.cost) - 1

    def at_least(self, row: dict[int, int], low: int) -> None:
        self.rows.append(row)
        self.low.append(low)

    def by_ways(self, group: Group, ways: Sequence[Pattern]) -> None:
        """Lengths that are each cut by one pattern."""
        row = {}
        for way in ways:
            place = self.variable(group.cost, group.count)
            row[place] = -1
            self.cut_by.append((group.length, place, way))
            for length, count in way:
                self.cover[length][place] = count
        self.at_least(row, -group.count)

    def one_by_one(self, group: Group) -> bool:
        """Lengths that every piece is placed in by itself; False where that takes too many."""
        size = group.length.length_mm
        if group.count * len(self.wanted) > _MOST_PLACES:
            return False
        before = None
        for _ in range(group.count):
            opened = self.variable(group.cost, 1)
            row, places = {opened: size}, {}
            for length, count in self.wanted.items():
                if length <= size:
                    places[length] = self.variable(0, min(count, size // length))
                    row[places[length]] = -length
                    self.cover[length][places[length]] = 1
            self.at_least(row, 0)
            if before is not None:  # alike lengths are opened in their order
                self.at_least({before: 1, opened: -1}, 0)
            before = opened
            self.cut_from.append((group.length, places))
        return True

    def solved(self, seconds: float, *, proving: bool) -> Cheapest:
        # late: a second of loading for a few milliseconds of work
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import coo_array

        rows = [*self.rows, *self.cover.values()]
        low = np.array([*self.low, *self.wanted.values()], float)
        if not self.cost:
            return Cheapest(impossible=proving and bool(self.wanted))
        index = [(number, place) for number, row in enumerate(rows) for place in row]
        values = [float(value) for row in rows for value in row.values()]
        at = np.array(index, dtype=int).reshape(-1, 2)
        shape = (len(rows), len(self.cost))
        matrix = coo_array((np.array(values), (at[:, 0], at[:, 1])), shape=shape).tocsc()
        done = milp(
            np.array(self.cost, float),
            constraints=LinearConstraint(matrix, low, np.inf),
            integrality=np.ones(len(self.cost)),
            bounds=Bounds(0.0, np.array(self.most, float)),
            options={"mip_rel_gap": 0.0, "time_limit": seconds},
        )
        least = 0.0 if done.mip_dual_bound is None else float(done.mip_dual_bound)
        least = least if proving and np.isfinite(least) else 0.0
        if done.x is None:
            return Cheapest(impossible=proving and done.status == _INFEASIBLE)
        opened = self.told([round(float(value)) for value in done.x])
        if opened is None:
            return Cheapest(least=_whole(least))
        cost = sum(self.costs[length] for length, _ in opened)
        return Cheapest(opened=opened, cost=cost, least=min(cost, _whole(least)))

    def told(self, found: Sequence[int]) -> tuple[Opened, ...] | None:
        """The lengths with their cuts; None where rounding broke one."""
        lengths = [*self._lengths(found)]
        cuts = without_surplus([way for _, way in lengths], self.wanted)
        opened = [(length, cut) for (length, _), cut in zip(lengths, cuts, strict=True) if cut]
        whole = sum(map(len, cuts)) == sum(self.wanted.values())
        fits = all(sum(cut) <= length.length_mm for length, cut in opened)
        return tuple(opened) if whole and fits else None

    def _lengths(self, found: Sequence[int]) -> Iterator[tuple[Length, Pattern]]:
        for length, place, way in self.cut_by:
            yield from [(length, way)] * found[place]
        for length, places in self.cut_from:
            way = tuple((each, found[place]) for each, place in places.items() if found[place])
            yield length, tuple(sorted(way, reverse=True))


def _whole(bound: float) -> int:
    """A bound on a whole number, rounded up but for what rounding may have added."""
    return int(np.ceil(bound - _SLACK * max(1.0, abs(bound))))
