"""A piece of loom laid flat on a board, and the check that it is laid as a board must be.

The rule for room: no two points of the loom that lie `fork_mm` or farther from each other along it
come nearer than `clear_mm` on the board. Nearer along the loom they are one bundle or its fork. A
box keeps half of `clear_mm` from every line, and no line of the loom crosses another.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import combinations, pairwise

import attrs

from loomwright.build.board_lines import Spot, apart, crosses, line_length, meets, rect_gap
from loomwright.loom import Branch

SAME = 1e-6
"""Lengths and places that differ by less are the same [mm]."""


@attrs.frozen
class Run:
    """A branch as it is laid.

    Attributes
    ----------
    branch : the branch
    points : corners from its `from_place` to its `to_place` [mm]
    """

    branch: Branch
    points: tuple[Spot, ...]


@attrs.frozen
class Box:
    """Room for the plugs, joints and wire list of a place.

    Attributes
    ----------
    place : whose
    left, top, wide, high : of the box [mm]
    leader : the line from the place to the box; None where it stands apart, by its name alone
    """

    place: str
    left: float
    top: float
    wide: float
    high: float
    leader: tuple[Spot, Spot] | None = None

    @property
    def rect(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom [mm]."""
        return self.left, self.top, self.left + self.wide, self.top + self.high


@attrs.frozen(kw_only=True, slots=False)
class Layout:
    """A piece of loom laid flat, its upper left corner at 0, 0.

    Attributes
    ----------
    runs : every branch, in the order of the piece
    boxes : one for each place that has something to show
    wide_mm, high_mm : of all of it
    clear_mm : least distance of stretches that are no neighbours
    fork_mm : along the loom, so far they count as neighbours
    bend_mm : radius of the bends
    fan : whether it is the plain fan, for want of a better one
    """

    runs: tuple[Run, ...]
    boxes: tuple[Box, ...]
    wide_mm: float
    high_mm: float
    clear_mm: float
    fork_mm: float
    bend_mm: float
    fan: bool = False

    @cached_property
    def at(self) -> dict[str, Spot]:
        """Where each place lies [mm]."""
        found: dict[str, Spot] = {}
        for run in self.runs:
            found.setdefault(run.branch.from_place, run.points[0])
            found.setdefault(run.branch.to_place, run.points[-1])
        return found


@attrs.frozen
class Stretch:
    """A straight stretch of a branch.

    Attributes
    ----------
    branch : whose
    ends : where it begins and ends [mm]
    from_mm : along the branch, where it begins
    """

    branch: Branch
    ends: tuple[Spot, Spot]
    from_mm: float

    @property
    def long(self) -> float:
        """Its length [mm]."""
        return math.dist(*self.ends)

    @property
    def rect(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom [mm]."""
        (a, b), (c, d) = self.ends
        return min(a, c), min(b, d), max(a, c), max(b, d)


def stretches(run: Run) -> Iterator[Stretch]:
    """The straight stretches of a branch."""
    at = 0.0
    for ends in pairwise(run.points):
        yield Stretch(run.branch, ends, at)
        at += math.dist(*ends)


class Ways:
    """How far places lie from each other along the loom.

    Parameters
    ----------
    branches : of a piece
    """

    def __init__(self, branches: Sequence[Branch]) -> None:
        self.near: dict[str, list[tuple[str, float]]] = defaultdict(list)
        for each in branches:
            self.near[each.from_place].append((each.to_place, each.length_mm or 0.0))
            self.near[each.to_place].append((each.from_place, each.length_mm or 0.0))
        self._within: dict[tuple[str, float], dict[str, float]] = {}

    def within(self, place: str, most: float) -> dict[str, float]:
        """Places that lie nearer than so far along the loom, each with how far [mm]."""
        key = (place, most)
        if key not in self._within:
            found, open_ = {place: 0.0}, [place]
            while open_:
                here = open_.pop()
                for there, long in self.near[here]:
                    if there not in found and found[here] + long < most:
                        found[there] = found[here] + long
                        open_.append(there)
            self._within[key] = found
        return self._within[key]

    def between(self, one: Branch, other: Branch, most: float) -> tuple[str, str, float]:
        """The end of each branch that faces the other, and the way between those [mm].

        A way of `most` or longer is given as `most`: beyond it, it does not matter how long.
        """
        found = (one.from_place, other.from_place, most)
        for here in (one.from_place, one.to_place):
            for there in (other.from_place, other.to_place):
                long = self.within(here, most).get(there, most)
                if long < found[2]:
                    found = (here, there, long)
        return found


@attrs.frozen
class Rule:
    """The rule for room between stretches.

    Attributes
    ----------
    ways : of the piece
    clear_mm, fork_mm : as of the layout
    """

    ways: Ways
    clear_mm: float
    fork_mm: float

    def clash(self, one: Stretch, other: Stretch) -> str:
        """What is wrong between two stretches, in words; empty where nothing is."""
        names = f"branches {one.branch.branch} and {other.branch.branch}"
        if _cross(one, other):
            return f"{names} cross"
        gap = self.gap(one, other)
        return f"{names} come within {gap:.3f} mm" if gap < self.clear_mm - SAME else ""

    def gap(self, one: Stretch, other: Stretch) -> float:
        """How near they come where they are no neighbours along the loom [mm]."""
        if one.branch == other.branch:
            first, second = sorted((one, other), key=lambda each: each.from_mm)
            between = second.from_mm - first.from_mm - first.long
            back = (first.ends[1], first.ends[0])
            return apart(back, second.ends, from_mm=(0.0, between), least=self.fork_mm)
        here, there, between = self.ways.between(one.branch, other.branch, self.fork_mm)
        s, t = _from(one, here), _from(other, there)
        return apart(s[0], t[0], from_mm=(s[1] + between, t[1]), least=self.fork_mm)


def _cross(one: Stretch, other: Stretch) -> bool:
    """Whether they meet elsewhere than in a corner or place they share."""
    if not crosses(*one.ends, *other.ends):
        return False
    shared = [a for a in one.ends for b in other.ends if math.dist(a, b) <= SAME]
    if not shared or not _joined(one, other):
        return True
    # Neighbours meet in their common corner only, unless one folds back onto the other.
    (ax, ay), (bx, by) = (
        max(each.ends, key=lambda end: math.dist(end, shared[0])) for each in (one, other)
    )
    x, y = shared[0]
    ahead = (ax - x) * (bx - x) + (ay - y) * (by - y)
    turned = (ax - x) * (by - y) - (ay - y) * (bx - x)
    return ahead > 0 and abs(turned) <= SAME * ahead


def _joined(one: Stretch, other: Stretch) -> bool:
    if one.branch == other.branch:
        first, second = sorted((one, other), key=lambda each: each.from_mm)
        return abs(first.from_mm + first.long - second.from_mm) <= SAME
    return bool(_places(one.branch) & _places(other.branch))


def _places(branch: Branch) -> set[str]:
    return {branch.from_place, branch.to_place}


def _from(each: Stretch, place: str) -> tuple[tuple[Spot, Spot], float]:
    """A stretch as one walks from an end of its branch, and how far it begins from there."""
    if place == each.branch.from_place:
        return each.ends, each.from_mm
    back = (each.ends[1], each.ends[0])
    return back, (each.branch.length_mm or 0.0) - each.from_mm - each.long


def faults(layout: Layout) -> list[str]:
    """What is wrong with a layout, in words; nothing where it is as a board must be."""
    laid = [each for run in layout.runs for each in stretches(run)]
    return [
        *_wrong_lengths(layout),
        *_torn(layout),
        *_too_near(layout, laid),
        *_boxes_in_the_way(layout, laid),
        *_outside(layout),
    ]


def least_gap(layout: Layout) -> float:
    """How near branches come that are no neighbours, at most the distance asked for [mm]."""
    laid = [each for run in layout.runs for each in stretches(run)]
    rule = Rule(Ways([run.branch for run in layout.runs]), layout.clear_mm, layout.fork_mm)
    gaps = (rule.gap(one, other) for one, other in _pairs(laid, layout.clear_mm))
    return min([layout.clear_mm, *gaps])


def _wrong_lengths(layout: Layout) -> Iterator[str]:
    for run in layout.runs:
        long, wanted = line_length(run.points), run.branch.length_mm or 0.0
        if abs(long - wanted) > SAME:
            yield f"branch {run.branch.branch} is {long:.6f} mm long, not {wanted:g} mm"


def _torn(layout: Layout) -> Iterator[str]:
    for run in layout.runs:
        ends = ((run.branch.from_place, run.points[0]), (run.branch.to_place, run.points[-1]))
        for place, spot in ends:
            if math.dist(layout.at[place], spot) > SAME:
                yield f"branch {run.branch.branch} does not reach {place}"


def _too_near(layout: Layout, laid: Sequence[Stretch]) -> Iterator[str]:
    rule = Rule(Ways([run.branch for run in layout.runs]), layout.clear_mm, layout.fork_mm)
    for one, other in _pairs(laid, layout.clear_mm):
        if clash := rule.clash(one, other):
            yield clash


def _pairs(laid: Sequence[Stretch], clear: float) -> Iterator[tuple[Stretch, Stretch]]:
    """Pairs whose bounding boxes come near enough to be looked at, by a sweep over x."""
    open_: list[tuple[Stretch, tuple[float, float, float, float]]] = []
    for one in sorted(laid, key=lambda each: each.rect[0]):
        left, top, _, bottom = rect = one.rect
        open_ = [each for each in open_ if each[1][2] + clear > left]
        for other, (_, above, _, below) in open_:
            if top < below + clear and above < bottom + clear:
                yield other, one
        open_.append((one, rect))


def _boxes_in_the_way(layout: Layout, laid: Sequence[Stretch]) -> Iterator[str]:
    for one, other in combinations(layout.boxes, 2):
        (a, b, c, d), (e, f, g, h) = one.rect, other.rect
        if a < g and e < c and b < h and f < d:
            yield f"the boxes of {one.place} and {other.place} overlap"
    for box in layout.boxes:
        left, top, right, bottom = box.rect
        for each in laid:
            half, (a, b, c, d) = layout.clear_mm / 2, each.rect
            if c + half < left or right + half < a or d + half < top or bottom + half < b:
                continue
            if rect_gap(*each.ends, box.rect) < half - SAME:
                name = each.branch.branch
                yield f"the box of {box.place} stands in the way of branch {name}"
        if box.leader:
            yield from _leader_in_the_way(layout, laid, box, box.leader)


def _leader_in_the_way(
    layout: Layout, laid: Sequence[Stretch], box: Box, leader: tuple[Spot, Spot]
) -> Iterator[str]:
    here = layout.at[box.place]
    for each in laid:
        at_place = any(math.dist(end, here) <= SAME for end in each.ends)
        if not at_place and crosses(*leader, *each.ends):
            name = each.branch.branch
            yield f"the leader of {box.place} crosses branch {name}"
    for other in layout.boxes:
        if other is box:
            continue
        if meets(*leader, other.rect):
            yield f"the leader of {box.place} runs through the box of {other.place}"
        if other.leader and crosses(*leader, *other.leader):
            yield f"the leaders of {box.place} and {other.place} cross"


def _outside(layout: Layout) -> Iterator[str]:
    half = layout.clear_mm / 2
    for run in layout.runs:
        for x, y in run.points:
            if not (
                half - SAME <= x <= layout.wide_mm - half + SAME
                and half - SAME <= y <= layout.high_mm - half + SAME
            ):
                yield f"branch {run.branch.branch} leaves the board"
                break
    for box in layout.boxes:
        left, top, right, bottom = box.rect
        if (
            min(left, top) < -SAME
            or right > layout.wide_mm + SAME
            or bottom > layout.high_mm + SAME
        ):
            yield f"the box of {box.place} leaves the board"
