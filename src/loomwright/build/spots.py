"""Spots along the branches: the way between two of them, what lies near, and how far apart.

A spot is a branch and how far along it; a wire runs between places and spots.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.build.tree import LoomTree
from loomwright.loom import Branch

Floats = NDArray[np.float64]
Reach = tuple[str, float, float]
"""A branch, and from where to where along it [mm]."""


@attrs.frozen(order=True)
class Spot:
    """Where on a branch: so far from its `from_place` [mm]."""

    branch: str
    at_mm: float


@attrs.frozen
class Stretch:
    """Part of a branch that a wire runs along, in the wire's own direction [mm]."""

    branch: Branch
    from_mm: float
    to_mm: float

    @property
    def length_mm(self) -> float:
        """Its length [mm]."""
        return abs(self.to_mm - self.from_mm)

    def back(self) -> Stretch:
        """The same in the other direction."""
        return Stretch(self.branch, self.to_mm, self.from_mm)


def stretches(tree: LoomTree, start: str | Spot, end: str | Spot) -> tuple[Stretch, ...] | None:
    """The way between places or spots; None where no branch leads from one to the other."""
    if isinstance(start, Spot) and isinstance(end, Spot) and start.branch == end.branch:
        along = Stretch(tree.branches[start.branch], start.at_mm, end.at_mm)
        return (along,) if along.length_mm else ()
    found: list[tuple[Stretch, ...]] = []
    for first, out in _exits(tree, start):
        for last, home in _exits(tree, end):
            way = tree.way(first, last)
            if way is None:
                return None
            pairs = zip(way.places, way.branches, strict=False)
            between = (_whole(branch, place) for place, branch in pairs)
            found.append((*out, *between, *(each.back() for each in reversed(home))))
    shortest = min(found, key=lambda way: sum(each.length_mm for each in way))
    return tuple(each for each in shortest if each.length_mm)


def _exits(tree: LoomTree, seat: str | Spot) -> Iterator[tuple[str, tuple[Stretch, ...]]]:
    if isinstance(seat, str):
        yield seat, ()
        return
    branch = tree.branches[seat.branch]
    yield branch.from_place, (Stretch(branch, seat.at_mm, 0.0),)
    yield branch.to_place, (Stretch(branch, seat.at_mm, branch.length_mm or 0.0),)


def _whole(branch: Branch, from_place: str) -> Stretch:
    along = Stretch(branch, 0.0, branch.length_mm or 0.0)
    return along if branch.from_place == from_place else along.back()


def near(tree: LoomTree, seat: str | Spot, radius_mm: float) -> Iterator[Reach]:
    """All that lies nearer than so far along the branches [mm]."""
    if isinstance(seat, str):
        yield from _from_place(tree, seat, radius_mm, behind="")
        return
    branch, at = tree.branches[seat.branch], seat.at_mm
    length = branch.length_mm or 0.0
    if radius_mm > 0:
        yield seat.branch, max(0.0, at - radius_mm), min(length, at + radius_mm)
    for place, gone in ((branch.from_place, at), (branch.to_place, length - at)):
        yield from _from_place(tree, place, radius_mm - gone, behind=seat.branch)


def _from_place(tree: LoomTree, place: str, left_mm: float, *, behind: str) -> Iterator[Reach]:
    if left_mm <= 0:
        return
    for branch, there in tree.neighbours.get(place, ()):
        if branch.branch == behind:
            continue
        length = branch.length_mm or 0.0
        reach = min(left_mm, length)
        ends = (0.0, reach) if branch.from_place == place else (length - reach, length)
        yield (str(branch.branch), *ends)
        yield from _from_place(tree, there, left_mm - length, behind=str(branch.branch))


@attrs.define(slots=False, eq=False)
class Spots:
    """Spots at equal steps along every branch, its ends among them.

    Attributes
    ----------
    tree : its branches
    step_mm : from spot to spot, counted from each branch's `from_place` [mm]
    """

    tree: LoomTree
    step_mm: float

    @cached_property
    def all(self) -> tuple[Spot, ...]:
        """The spots, branch by branch."""
        return tuple(
            Spot(name, float(at))
            for name, branch in self.tree.branches.items()
            for at in (*np.arange(0.0, branch.length_mm or 0.0, self.step_mm), branch.length_mm)
        )

    @cached_property
    def number(self) -> NDArray[np.int64]:
        """Number of each spot's branch, in the order of the tree."""
        order = {name: i for i, name in enumerate(self.tree.branches)}
        return np.array([order[spot.branch] for spot in self.all])

    @cached_property
    def at_mm(self) -> Floats:
        """How far along its branch each spot is [mm]."""
        return np.array([spot.at_mm for spot in self.all])

    @cached_property
    def left_mm(self) -> Floats:
        """How far it is from each spot to its branch's `to_place` [mm]."""
        lengths = np.array([branch.length_mm for branch in self.tree.branches.values()])
        return np.asarray(lengths[self.number] - self.at_mm)

    @cached_property
    def place_numbers(self) -> Mapping[str, int]:
        """Places numbered."""
        return {place: i for i, place in enumerate(self.tree.neighbours)}

    @cached_property
    def _ends(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Numbers of the places at both ends of each spot's branch."""
        rows = self.tree.branches.values()
        start = np.array([self.place_numbers[branch.from_place] for branch in rows])
        end = np.array([self.place_numbers[branch.to_place] for branch in rows])
        return start[self.number], end[self.number]

    @cached_property
    def _between(self) -> Floats:
        """From place to place [mm]; infinite where no branch leads there."""
        found = np.full((len(self.place_numbers),) * 2, np.inf)
        for place, row in self.place_numbers.items():
            found[row, row], open_places = 0.0, [place]
            while open_places:
                here = open_places.pop()
                gone = found[row, self.place_numbers[here]]
                for branch, there in self.tree.neighbours[here]:
                    column = self.place_numbers[there]
                    if np.isinf(found[row, column]):
                        found[row, column] = gone + (branch.length_mm or 0.0)
                        open_places.append(there)
        return found

    def from_place(self, place: str) -> Floats:
        """From a place to every spot [mm]; infinite where no branch leads there."""
        return self._from(self._between[self.place_numbers[place]])

    def from_spot(self, index: int) -> Floats:
        """From a spot to every spot [mm]."""
        start, end = self._ends
        away = np.minimum(
            self.at_mm[index] + self._between[start[index]],
            self.left_mm[index] + self._between[end[index]],
        )
        same = self.number == self.number[index]
        return np.where(same, np.abs(self.at_mm - self.at_mm[index]), self._from(away))

    def _from(self, places: Floats) -> Floats:
        start, end = self._ends
        return np.asarray(np.minimum(places[start] + self.at_mm, places[end] + self.left_mm))

    def carried(self, values: Floats, weight: float) -> Floats:
        """For each spot the least of `value + weight · way` over all spots."""
        start, end = self._ends
        away = weight * self._between
        out = np.full(len(self.place_numbers), np.inf)
        np.minimum.at(out, start, values + weight * self.at_mm)
        np.minimum.at(out, end, values + weight * self.left_mm)
        at_places = np.min(away + out, axis=1)
        found: Floats = np.minimum(
            at_places[start] + weight * self.at_mm, at_places[end] + weight * self.left_mm
        )
        for branch in range(len(self.tree.branches)):
            own = np.flatnonzero(self.number == branch)
            apart = np.abs(np.subtract.outer(self.at_mm[own], self.at_mm[own]))
            inside = np.min(weight * apart + values[own], axis=1)
            found[own] = np.minimum(found[own], inside)
        return found
