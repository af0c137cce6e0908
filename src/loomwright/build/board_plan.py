"""What is laid on a board, and in which order: the trunk, and what hangs on it."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import attrs

from loomwright.build.board_boxes import Size
from loomwright.build.board_layout import Rule, Ways
from loomwright.loom import Branch

_STRIPS = 3.0  # clear distances that a branch is wide on the board, with its words
Near = Mapping[str, list[tuple[Branch, str]]]
"""The branches at each place, each with the place at its other end."""


@attrs.frozen(kw_only=True)
class Bounds:
    """What a board is laid by [mm].

    Attributes
    ----------
    width_mm : of the table
    clear_mm, fork_mm, bend_mm : as of the layout
    long : whether the trunk runs straight on, however long the board becomes
    """

    width_mm: float
    clear_mm: float
    fork_mm: float
    bend_mm: float
    long: bool = False


@attrs.frozen
class Step:
    """A branch as one comes to it from the beginning of the trunk.

    Attributes
    ----------
    branch : the branch
    start, end : its places in this order
    trunk : whether it is part of the trunk
    """

    branch: Branch
    start: str
    end: str
    trunk: bool


@attrs.frozen(kw_only=True)
class Plan:
    """What is laid, and in which order.

    Attributes
    ----------
    orders : every branch once, each after the one that leads to it: the trunk first, and as one
        comes along it
    boxes : sizes by place, those that may be chosen from
    leaves : places at which only one branch ends
    needs : board that is needed by all that hangs on each place [mm²]
    rule : for room
    bounds : measures
    deep_mm : most height of the board
    """

    orders: tuple[tuple[Step, ...], tuple[Step, ...]]
    boxes: Mapping[str, Sequence[Size]]
    leaves: frozenset[str]
    needs: Mapping[str, float]
    rule: Rule
    bounds: Bounds
    deep_mm: float


def trunk_of(branches: Sequence[Branch], copper: Mapping[str, float]) -> tuple[str, ...]:
    """Places along the trunk: the way with the most copper, section times length.

    Parameters
    ----------
    branches : of a piece, a tree
    copper : section of all wires in each branch [mm²]
    """
    near = _near(branches)
    start = max(_weights(min(near), near, copper).items(), key=lambda each: (each[1][0], each[0]))[
        0
    ]
    reached = _weights(start, near, copper)
    end = max(reached.items(), key=lambda each: (each[1][0], each[0]))[0]
    way = [end]
    while way[-1] != start:
        way.append(reached[way[-1]][1])
    return tuple(way)


def _farthest(reached: Mapping[str, tuple[float, str]]) -> str:
    return max(reached, key=lambda place: (reached[place][0], place))


def _near(branches: Sequence[Branch]) -> dict[str, list[tuple[Branch, str]]]:
    found: dict[str, list[tuple[Branch, str]]] = defaultdict(list)
    for each in branches:
        found[each.from_place].append((each, each.to_place))
        found[each.to_place].append((each, each.from_place))
    return found


def _weights(start: str, near: Near, copper: Mapping[str, float]) -> dict[str, tuple[float, str]]:
    """Copper on the way to every place, and the place before it."""
    found, open_ = {start: (0.0, start)}, [start]
    while open_:
        here = open_.pop()
        for branch, there in near[here]:
            if there not in found:
                # A branch whose wires are not known still has its length.
                weight = (copper.get(str(branch.branch), 0.0) + 1e-3) * (branch.length_mm or 0.0)
                found[there] = (found[here][0] + weight, here)
                open_.append(there)
    return found


def plan_of(
    branches: Sequence[Branch],
    copper: Mapping[str, float],
    boxes: Mapping[str, Sequence[Size]],
    bounds: Bounds,
) -> Plan:
    near, trunk = _near(branches), trunk_of(branches, copper)
    room = sum(min(wide * high for wide, high in sizes) for sizes in boxes.values())
    lines = sum(each.length_mm or 0.0 for each in branches) * _STRIPS * bounds.clear_mm
    deep = 3 * (room + lines) / bounds.width_mm
    steps = tuple(_trunk_first(trunk, near))
    return Plan(
        orders=(steps, tuple(_along(trunk, near))),
        needs=_needs(steps, boxes, bounds),
        boxes=boxes,
        leaves=frozenset(place for place, ends in near.items() if len(ends) == 1),
        rule=Rule(Ways(branches), bounds.clear_mm, bounds.fork_mm),
        bounds=bounds,
        deep_mm=math.ceil(max(4000.0 if bounds.long else 1800.0, deep) / 100.0) * 100.0,
    )


def _needs(
    steps: Sequence[Step], boxes: Mapping[str, Sequence[Size]], bounds: Bounds
) -> dict[str, float]:
    """Board that all beyond a place needs, about: strips, and boxes [mm²]."""
    found: dict[str, float] = defaultdict(float)
    for step in reversed(steps):
        strip = (step.branch.length_mm or 0.0) * _STRIPS * bounds.clear_mm
        box = min((wide * high for wide, high in boxes.get(step.end, ())), default=0.0)
        found[step.start] += found[step.end] + strip + box
    return found


def _trunk_first(trunk: Sequence[str], near: Near) -> Iterator[Step]:
    """The trunk, then what hangs on it, the longest first."""
    done = set(trunk)
    for start, end in pairwise(trunk):
        yield _trunk_step(start, end, near)
    for place in sorted(trunk, key=lambda each: (-_reach(each, near, set(trunk)), each)):
        yield from _hung(place, near, done)


def _along(trunk: Sequence[str], near: Near) -> Iterator[Step]:
    """The trunk place by place, each with what hangs there as soon as the trunk goes on."""
    done = set(trunk)
    for start, end in pairwise(trunk):
        yield _trunk_step(start, end, near)
        yield from _hung(start, near, done)
    yield from _hung(trunk[-1], near, done)


def _trunk_step(start: str, end: str, near: Near) -> Step:
    branch = next(each for each, there in near[start] if there == end)
    return Step(branch, start, end, trunk=True)


def _hung(place: str, near: Near, done: set[str]) -> Iterator[Step]:
    """What hangs on a place beyond those done, each branch before what hangs on it."""
    open_ = [place]
    while open_:
        here = open_.pop()
        sides = [(each, there) for each, there in near[here] if there not in done]
        sides.sort(key=lambda each: (-_reach(each[1], near, done | {here}), each[1]))
        for branch, there in sides:
            yield Step(branch, here, there, trunk=False)
        done |= {there for _, there in sides}
        open_ += [there for _, there in reversed(sides)]


def _reach(place: str, near: Near, done: set[str]) -> float:
    """Length of all branches that hang on a place beyond those done [mm]."""
    seen, open_, long = {*done, place}, [place], 0.0
    while open_:
        for branch, there in near[open_.pop()]:
            if there not in seen:
                seen.add(there)
                open_.append(there)
                long += branch.length_mm or 0.0
    return long
