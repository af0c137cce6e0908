"""Where pegs go on a board: at both sides of forks and bends, along the way, and at ends."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import attrs

from loomwright.build.board_layout import Layout, Run
from loomwright.build.board_lines import Spot, along, line_length

FORK, END, BEND, WAY = "fork", "end", "bend", "way"
_STRAIGHT_DEG = 0.01
_FAR_MM = 45.0  # a peg in a narrow fork sits no farther out than this


@attrs.frozen
class Station:
    """Pegs that stand together.

    Attributes
    ----------
    number : on the drawing, from 1
    why : `fork`, `end`, `bend` or `way`
    pegs : where each stands [mm]
    """

    number: int
    why: str
    pegs: tuple[Spot, ...]


def stations(
    layout: Layout, *, across_mm: Mapping[str, float], gap_mm: float, step_mm: float
) -> tuple[Station, ...]:
    """All pegs of a board.

    Parameters
    ----------
    layout : the board
    across_mm : width of the branches' bundles by name, where known
    gap_mm : from the edge of a bundle to the middle of a peg
    step_mm : most between pegs along a branch
    """
    found = [*_at_places(layout, across_mm, gap_mm)]
    for run in layout.runs:
        off = across_mm.get(str(run.branch.branch), 0.0) / 2 + gap_mm
        found += _along(run, off, step_mm)
    return tuple(Station(n, why, pegs) for n, (why, pegs) in enumerate(found, start=1))


def _at_places(
    layout: Layout, across_mm: Mapping[str, float], gap_mm: float
) -> Iterator[tuple[str, tuple[Spot, ...]]]:
    leaving: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for run in layout.runs:
        half = across_mm.get(str(run.branch.branch), 0.0) / 2
        leaving[run.branch.from_place].append((_heading(run.points), half))
        leaving[run.branch.to_place].append((_heading(run.points[::-1]), half))
    for place, ways in leaving.items():
        at, off = layout.at[place], max(half for _, half in ways) + gap_mm
        if len(ways) == 1:
            yield END, _beside(at, ways[0][0], off)
        else:
            yield FORK, tuple(_between(at, sorted(heading for heading, _ in ways), off))


def _heading(points: Sequence[Spot]) -> float:
    (ax, ay), (bx, by) = points[:2]
    return math.degrees(math.atan2(by - ay, bx - ax)) % 360


def _between(at: Spot, headings: Sequence[float], off: float) -> Iterator[Spot]:
    """A peg in each gap between neighbouring branches, where both of them touch it."""
    for one, other in pairwise([*headings, headings[0] + 360]):
        half = math.radians((other - one) / 2)
        far = min(off / max(math.sin(min(half, math.pi / 2)), 1e-6), _FAR_MM)
        middle = math.radians(one) + half
        yield at[0] + far * math.cos(middle), at[1] + far * math.sin(middle)


def _beside(at: Spot, heading: float, off: float) -> tuple[Spot, Spot]:
    turn = math.radians(heading + 90)
    dx, dy = off * math.cos(turn), off * math.sin(turn)
    return (at[0] + dx, at[1] + dy), (at[0] - dx, at[1] - dy)


def _along(run: Run, off: float, step_mm: float) -> Iterator[tuple[str, tuple[Spot, ...]]]:
    """Pegs at the bends of a branch and between its bends and ends."""
    bends = list(_bends(run.points))
    stops = [0.0, *bends, line_length(run.points)]
    for low, high in pairwise(stops):
        count = math.ceil((high - low) / step_mm - 1e-9)
        for n in range(1, count):
            at, heading = along(run.points, low + (high - low) * n / count)
            yield WAY, _beside(at, heading, off)
    for bend in bends:
        at, heading = along(run.points, bend)
        yield BEND, _beside(at, heading, off)


def _bends(points: Sequence[Spot]) -> Iterator[float]:
    """The middle of each bend, along the line [mm]; corners that follow each other are one bend."""
    at, corners = 0.0, []
    ways = list(pairwise(points))
    for n, (one, other) in enumerate(ways):
        long = math.dist(one, other)
        if n and _turned(ways[n - 1], (one, other)):
            corners.append((at, n))
        at += long
    group: list[tuple[float, int]] = []
    for corner in [*corners, (math.inf, -1)]:
        if group and corner[1] != group[-1][1] + 1:
            yield (group[0][0] + group[-1][0]) / 2
            group = []
        group.append(corner)


def _turned(one: tuple[Spot, Spot], other: tuple[Spot, Spot]) -> bool:
    first, second = _heading(one), _heading(other)
    return abs((second - first + 180) % 360 - 180) > _STRAIGHT_DEG
