"""Lines on a flat board: lengths, points along them, bends, and how near two stretches come.

Coordinates are millimetres, x to the right and y downwards; headings are degrees from the x axis
towards the y axis.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

Spot = tuple[float, float]
"""x and y [mm]."""
Move = tuple[float, float]
"""Straight on [mm], then a bend [°]."""

STEP_DEG = 22.5
"""A bend is drawn in straight steps of this much."""


def line_length(points: Sequence[Spot]) -> float:
    """Length of a line [mm].

    Parameters
    ----------
    points : its corners
    """
    return sum(math.dist(one, other) for one, other in pairwise(points))


def bend_length(turn_deg: float, radius_mm: float) -> float:
    """Length of a bend as it is drawn [mm].

    Parameters
    ----------
    turn_deg : how far it turns, a multiple of 22.5 [°]
    radius_mm : of the arc on which its corners lie
    """
    return abs(turn_deg) / STEP_DEG * _chord(radius_mm)


def drawn(start: Spot, heading_deg: float, moves: Iterable[Move], radius_mm: float) -> list[Spot]:
    """The corners of a line that goes straight on and bends by turns.

    Parameters
    ----------
    start : where it begins
    heading_deg : where it goes first
    moves : straight pieces, each with the bend at its end
    radius_mm : of all bends
    """
    (x, y), heading, chord = start, heading_deg, _chord(radius_mm)
    points = [start]
    for ahead, turn in moves:
        if ahead > 0:
            across, down = _towards(heading)
            x, y = x + ahead * across, y + ahead * down
            points.append((x, y))
        step = math.copysign(STEP_DEG, turn)
        for _ in range(round(abs(turn) / STEP_DEG)):
            across, down = _towards(heading + step / 2)
            x, y = x + chord * across, y + chord * down
            points.append((x, y))
            heading += step
    return points


def outline(start: Spot, heading_deg: float, moves: Iterable[Move], radius_mm: float) -> list[Spot]:
    """The same line by the ends of its straight pieces and bends alone; parameters as of `drawn`.

    Examples
    --------
    >>> moves = ((100.0, 90.0), (50.0, 0.0))
    >>> outline((0, 0), 45.0, moves, 60.0)[-1] == drawn((0, 0), 45.0, moves, 60.0)[-1]
    True
    """
    (x, y), heading = start, heading_deg
    points = [start]
    for ahead, turn in moves:
        if ahead > 0:
            across, down = _towards(heading)
            x, y = x + ahead * across, y + ahead * down
            points.append((x, y))
        if turn:
            across, down = _arc(heading, turn, radius_mm)
            x, y = x + across, y + down
            points.append((x, y))
            heading += turn
    return points


def along(points: Sequence[Spot], at_mm: float) -> tuple[Spot, float]:
    """The point of a line so far from its beginning, and the heading there [°].

    Parameters
    ----------
    points : corners of the line
    at_mm : from its first corner; beyond its end, its end
    """
    left = at_mm
    for one, other in pairwise(points):
        long = math.dist(one, other)
        if left <= long or other is points[-1]:
            share = min(max(left / long, 0.0), 1.0) if long else 0.0
            at = (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))
            return at, math.degrees(math.atan2(other[1] - one[1], other[0] - one[0]))
        left -= long
    return points[-1], 0.0


def crosses(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    """Whether two straight stretches meet anywhere, ends included."""
    if (
        (a[0] < c[0] and a[0] < d[0] and b[0] < c[0] and b[0] < d[0])
        or (a[0] > c[0] and a[0] > d[0] and b[0] > c[0] and b[0] > d[0])
        or (a[1] < c[1] and a[1] < d[1] and b[1] < c[1] and b[1] < d[1])
        or (a[1] > c[1] and a[1] > d[1] and b[1] > c[1] and b[1] > d[1])
    ):
        return False  # bounding boxes apart: nearly all calls end here
    sides = _side(a, b, c), _side(a, b, d), _side(c, d, a), _side(c, d, b)
    if sides[0] * sides[1] < 0 and sides[2] * sides[3] < 0:
        return True
    ends = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(side == 0 and _within(*end) for side, end in zip(sides, ends, strict=True))


def apart(
    one: tuple[Spot, Spot], other: tuple[Spot, Spot], *, from_mm: tuple[float, float], least: float
) -> float:
    """How near two straight stretches come where they lie far from each other along the loom [mm].

    The least of |p - q| over points p, q with s(p) + t(q) >= `least`, where s and t count along the
    loom from a point between them. The distance is convex and so is the region, so it is reached
    either at the nearest points of the whole stretches or on the line s + t = `least`; infinite
    where no pair is so far.

    Parameters
    ----------
    one, other : the stretches
    from_mm : s at the beginning of `one`, t at the beginning of `other`, both growing from there
    least : the least s + t looked at [mm]
    """
    room = least - sum(from_mm)
    long, wide = math.dist(*one), math.dist(*other)
    if room > long + wide:
        return math.inf
    s, t, gap = _nearest(one, other)
    if s * long + t * wide >= room:
        return gap
    low, high = max(room - wide, 0.0), min(room, long)
    return _on_line(one, other, room=room, span=(low, high), sizes=(long, wide))


def meets(a: Spot, b: Spot, rect: tuple[float, float, float, float]) -> bool:
    """Whether a straight stretch meets a rectangle.

    Parameters
    ----------
    a, b : ends of the stretch
    rect : left, top, right, bottom
    """
    left, top, right, bottom = rect
    if max(a[0], b[0]) < left or min(a[0], b[0]) > right:
        return False
    if max(a[1], b[1]) < top or min(a[1], b[1]) > bottom:
        return False
    return rect_gap(a, b, rect) <= 0


def rect_gap(a: Spot, b: Spot, rect: tuple[float, float, float, float]) -> float:
    """How near a straight stretch comes to a rectangle, 0 where they meet [mm].

    Parameters
    ----------
    a, b : ends of the stretch
    rect : left, top, right, bottom
    """
    left, top, right, bottom = rect
    if left <= a[0] <= right and top <= a[1] <= bottom:
        return 0.0
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    return min(0.0 if crosses(a, b, *side) else _nearest((a, b), side)[2] for side in sides)


@lru_cache(maxsize=256)
def _chord(radius_mm: float) -> float:
    return 2 * radius_mm * math.sin(math.radians(STEP_DEG / 2))


@lru_cache(maxsize=4096)
def _towards(heading_deg: float) -> Spot:
    turn = math.radians(heading_deg)
    return math.cos(turn), math.sin(turn)


@lru_cache(maxsize=4096)
def _arc(heading_deg: float, turn_deg: float, radius_mm: float) -> Spot:
    """From the beginning of a bend to its end."""
    return drawn((0.0, 0.0), heading_deg, ((0.0, turn_deg),), radius_mm)[-1]


def _side(a: Spot, b: Spot, c: Spot) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _within(a: Spot, b: Spot, c: Spot) -> bool:
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])


def _share(at: Spot, line: tuple[Spot, Spot]) -> float:
    """Where on a stretch the point nearest to a spot lies, 0 to 1."""
    (x, y), (u, v) = line
    dx, dy = u - x, v - y
    square = dx * dx + dy * dy
    return min(max(((at[0] - x) * dx + (at[1] - y) * dy) / square, 0.0), 1.0) if square else 0.0


def _at(line: tuple[Spot, Spot], share: float) -> Spot:
    (x, y), (u, v) = line
    return x + share * (u - x), y + share * (v - y)


def _nearest(one: tuple[Spot, Spot], other: tuple[Spot, Spot]) -> tuple[float, float, float]:
    """Shares along two stretches at which they are nearest, and how near [mm]."""
    if crosses(*one, *other) and (s := _meeting(one, other)) is not None:
        return s, _share(_at(one, s), other), 0.0
    found = []
    for end in (0.0, 1.0):
        t = _share(_at(one, end), other)
        found.append((math.dist(_at(one, end), _at(other, t)), end, t))
        s = _share(_at(other, end), one)
        found.append((math.dist(_at(one, s), _at(other, end)), s, end))
    gap, s, t = min(found)
    return s, t, gap


def _meeting(one: tuple[Spot, Spot], other: tuple[Spot, Spot]) -> float | None:
    """Where on a stretch it meets another; None where they lie in one line."""
    before, after = _side(*other, one[0]), _side(*other, one[1])
    return None if before == after else before / (before - after)


def _on_line(
    one: tuple[Spot, Spot],
    other: tuple[Spot, Spot],
    *,
    room: float,
    span: tuple[float, float],
    sizes: tuple[float, float],
) -> float:
    """The least distance with s between two values and t = `room` - s: q - p moves evenly."""

    def gap(s: float) -> Spot:
        p = _at(one, s / sizes[0] if sizes[0] else 0.0)
        q = _at(other, (room - s) / sizes[1] if sizes[1] else 0.0)
        return p[0] - q[0], p[1] - q[1]

    ends = (gap(span[0]), gap(span[1]))
    return math.hypot(*_at(ends, _share((0.0, 0.0), ends)))
