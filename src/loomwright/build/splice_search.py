"""Splices to spots at least cost, no two nearer than so far: exact where it can be, else told.

Each splice has a cost at every spot; two splices with a wire between them cost its way besides. The
best spots without regard to distance are found first; only splices that then come too near each
other are looked at together, and what these may take is all that is searched.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import attrs
import numpy as np

from loomwright.build.splice_choice import whole_numbers
from loomwright.build.spots import Floats, Spots

MOST_TOGETHER = 12
"""So many splices that want one stretch are placed by proof; more of them are improved by turns."""
_MOST_LOOKS = 2_000
_SLACK = 1e-9


@attrs.frozen
class Link:
    """A wire between two splices: their numbers, and its copper section [mm²]."""

    one: int
    other: int
    weight: float


@attrs.frozen
class Seats:
    """Where splices go.

    Attributes
    ----------
    at : number of the spot of each splice
    cost : of all of them
    bound : no places cost less; the same as `cost` where they are proven best
    """

    at: tuple[int, ...]
    cost: float
    bound: float


@attrs.define(slots=False, eq=False)
class SpliceSearch:
    """The question.

    Attributes
    ----------
    spots : where splices may sit
    costs : for each splice its cost at every spot, infinite where it must not sit
    links : wires between two of them, one at most for a pair
    apart_mm : least distance between two splices [mm]
    """

    spots: Spots
    costs: Sequence[Floats]
    links: Sequence[Link]
    apart_mm: float

    def best(self) -> Seats | None:
        """The spots of least cost; None where there is no room for all of them."""
        if any(not np.isfinite(cost).any() for cost in self.costs):
            return None
        groups = {members: self._alone(members) for members in self._chains()}
        while True:
            touching = self._touching(groups)
            if not touching:
                break
            together = tuple(sorted(name for members in touching for name in members))
            bound = sum(groups[members].bound for members in touching)
            solved = self._together(together, bound)
            if solved is None:
                return None
            for members in touching:
                del groups[members]
            groups[together] = solved
        at = dict(pair for members, seats in groups.items()
                  for pair in zip(members, seats.at, strict=True))  # fmt: skip
        return Seats(
            tuple(at[number] for number in range(len(self.costs))),
            sum(each.cost for each in groups.values()),
            sum(each.bound for each in groups.values()),
        )

    # Groups

    @cached_property
    def _weight(self) -> dict[tuple[int, int], float]:
        both = [(each.one, each.other, each.weight) for each in self.links]
        return {pair: w for a, b, w in both for pair in ((a, b), (b, a))}

    def _linked(self, number: int) -> list[int]:
        return [b for a, b in self._weight if a == number]

    def _chains(self) -> list[tuple[int, ...]]:
        """Splices that wires join."""
        found: list[tuple[int, ...]] = []
        left = set(range(len(self.costs)))
        while left:
            group, open_ones = set(), [min(left)]
            while open_ones:
                here = open_ones.pop()
                group.add(here)
                open_ones += [each for each in self._linked(here) if each not in group]
            found.append(tuple(sorted(group)))
            left -= group
        return found

    def _touching(self, groups: dict[tuple[int, ...], Seats]) -> list[tuple[int, ...]]:
        """The first groups that are too near each other; one alone that is too near to itself."""
        placed = [(members, at) for members, seats in groups.items() for at in seats.at]
        for i, (one, at) in enumerate(placed):
            apart = self.spots.from_spot(at)
            for other, there in placed[i + 1 :]:
                if apart[there] < self.apart_mm - _SLACK:
                    return [one] if one == other else [one, other]
        return []

    # Without regard to distance

    def _order(self, members: Sequence[int]) -> list[tuple[int, int | None]]:
        """Members so that each comes after the one it hangs on."""
        found: list[tuple[int, int | None]] = []
        open_ones: list[tuple[int, int | None]] = [(each, None) for each in reversed(members)]
        while open_ones:
            here, above = open_ones.pop()
            if here in {number for number, _ in found}:
                continue
            found.append((here, above))
            open_ones += [(each, here) for each in reversed(self._linked(here)) if each in members]
        return found

    def outlook(self, order: Sequence[tuple[int, int | None]]) -> dict[int, Floats]:
        """For each splice its cost with the least of all that hangs on it, at every spot."""
        found = {number: self.costs[number].copy() for number, _ in order}
        for number, above in reversed(order):
            if above is not None:
                weight = self._weight[number, above]
                found[above] = found[above] + self.spots.carried(found[number], weight)
        return found

    def _alone(self, members: tuple[int, ...]) -> Seats:
        """The best of a chain, distance aside; proven where its wires close no ring."""
        order = self._order(members)
        outlook = self.outlook(order)
        at: dict[int, int] = {}
        for number, above in order:
            way = 0.0 if above is None else self.way(number, above, at[above])
            at[number] = int(np.argmin(outlook[number] + way))
        root = order[0][0]
        cost = self.cost(at)
        return Seats(tuple(at[each] for each in members), cost, float(outlook[root].min()))

    def way(self, number: int, other: int, there: int) -> Floats:
        """Cost of the wire between two splices, the other being at a spot."""
        return self._weight[number, other] * self.spots.from_spot(there)

    def cost(self, at: dict[int, int]) -> float:
        """What splices at these spots cost, with the wires between them."""
        own = sum(float(self.costs[number][spot]) for number, spot in at.items())
        return own + sum(
            each.weight * float(self.spots.from_spot(at[each.one])[at[each.other]])
            for each in self.links if each.one in at and each.other in at
        )  # fmt: skip

    # Too near each other

    def _together(self, members: tuple[int, ...], bound: float) -> Seats | None:
        if len(members) > MOST_TOGETHER:
            return self._by_turns(members, bound)
        if not any(a in members for a, _ in self._weight):
            return self._by_whole_numbers(members)
        return _Looking(self, self._order(members)).seats(members, bound)

    def free(self, taken: Sequence[int]) -> Floats:
        """Nothing where a spot is far enough from those taken, infinite elsewhere."""
        found = np.zeros(len(self.spots.all))
        for spot in taken:
            found[self.spots.from_spot(spot) < self.apart_mm - _SLACK] = np.inf
        return found

    def _by_turns(self, members: tuple[int, ...], bound: float) -> Seats | None:
        """One after another to the best spot left, then each again until nothing is gained."""
        at: dict[int, int] = {}
        for _ in range(2 * len(members)):
            before = dict(at)
            for number, _ in self._order(members):
                others = {each: spot for each, spot in at.items() if each != number}
                cost = self.costs[number] + self.free([*others.values()])
                for each in self._linked(number):
                    if each in others:
                        cost = cost + self.way(number, each, others[each])
                if not np.isfinite(cost).any():
                    return None
                at[number] = int(np.argmin(cost))
            if at == before:
                break
        return Seats(tuple(at[each] for each in members), self.cost(at), bound)

    def _by_whole_numbers(self, members: tuple[int, ...]) -> Seats | None:
        """Splices without wires between them, by whole-number optimisation.

        Others can take so many spots at most from a splice; so one of its cheapest so many and one
        is left for it, and no dearer one need be looked at.
        """
        few = (len(members) - 1) * self._most_taken + 1
        rows = [
            (number, int(spot)) for number in members
            for spot in np.argsort(self.costs[number], kind="stable")[:few]
            if np.isfinite(self.costs[number][spot])
        ]  # fmt: skip
        chosen = whole_numbers(
            rows, [float(self.costs[number][spot]) for number, spot in rows], self._crowds(rows)
        )
        if chosen is None:
            return None
        at = dict(chosen)
        cost = self.cost(at)
        return Seats(tuple(at[each] for each in members), cost, cost)

    @cached_property
    def _most_taken(self) -> int:
        """Spots that one splice can take from another."""
        allowed = np.isfinite(np.array(self.costs)).any(axis=0)
        near = (int((self.spots.from_spot(int(i))[allowed] < self.apart_mm).sum())
                for i in np.flatnonzero(allowed))  # fmt: skip
        return max(near)

    def _crowds(self, rows: Sequence[tuple[int, int]]) -> list[list[int]]:
        """Rows of which one at most can be: along a branch by windows, across branches by pairs."""
        at: dict[int, list[int]] = {}
        for place, (_, spot) in enumerate(rows):
            at.setdefault(spot, []).append(place)
        branch, found = self.spots.number, []
        for spot in sorted(at):
            apart = self.spots.from_spot(spot) < self.apart_mm - _SLACK
            near = [each for each in at if each >= spot and apart[each]]
            window = [each for each in near if branch[each] == branch[spot]]
            found.append([row for each in window for row in at[each]])
            found += [at[spot] + at[each] for each in near if branch[each] != branch[spot]]
        return found


@attrs.define(eq=False)
class _Looking:
    """Splices with wires between them: spot by spot, never where the outlook is no better."""

    search: SpliceSearch
    order: list[tuple[int, int | None]]
    outlook: dict[int, Floats] = attrs.field(init=False)
    best: dict[int, int] = attrs.field(factory=dict)
    cost: float = np.inf
    looks: int = 0

    def seats(self, members: tuple[int, ...], bound: float) -> Seats | None:
        """The best that was found; proven unless the looks ran out."""
        self.outlook = self.search.outlook(self.order)
        self.look({}, 0.0)
        if not self.best:
            return None
        proven = self.looks < _MOST_LOOKS
        at = tuple(self.best[each] for each in members)
        return Seats(at, self.cost, self.cost if proven else bound)

    def look(self, at: dict[int, int], spent: float) -> None:
        """Place the next splice everywhere it could still be better."""
        if len(at) == len(self.order):
            cost = self.search.cost(at)  # with wires that close a ring, too
            if cost < self.cost:
                self.best, self.cost = dict(at), cost
            return
        free = self.search.free([*at.values()])
        hopes = {number: self.hope(number, above, at) + free
                 for number, above in self.order[len(at):]
                 if above is None or above in at}  # fmt: skip
        number, above = self.order[len(at)]
        hope = hopes.pop(number) + sum(float(each.min()) for each in hopes.values())
        own = self.search.costs[number]
        if above is not None:
            own = own + self.search.way(number, above, at[above])
        for spot in np.argsort(hope, kind="stable"):
            if spent + hope[spot] >= self.cost - _SLACK or self.looks >= _MOST_LOOKS:
                return
            self.looks += 1
            self.look(at | {number: int(spot)}, spent + float(own[spot]))

    def hope(self, number: int, above: int | None, at: dict[int, int]) -> Floats:
        """The least cost of a splice and all that hangs on it, at every spot."""
        seen = self.outlook[number]
        return seen if above is None else seen + self.search.way(number, above, at[above])
