"""A piece of a drawing that is larger than a sheet, with the rectangles in which it lies.

Who prints sheet by sheet takes the pieces that touch a sheet, and leaves out what none touch.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

import attrs

from loomwright.drawings import svg

Rect = tuple[float, float, float, float]
"""Left, top, right, bottom [mm]."""
Spot = tuple[float, float]
MIDDLE = "middle"
"""Class of the middle lines of branches."""


@attrs.frozen
class Part:
    """Something drawn.

    Attributes
    ----------
    drawn : the element
    rects : where it lies
    """

    drawn: svg.Element
    rects: tuple[Rect, ...]

    def touches(self, rect: Rect) -> bool:
        """Whether any of it may lie in a rectangle."""
        return any(
            a < rect[2] and c > rect[0] and b < rect[3] and d > rect[1] for a, b, c, d in self.rects
        )


def line(points: Sequence[Spot], **attributes: svg.Value) -> Part:
    """A line through points; long ones have several rectangles, so that few sheets are touched."""
    path = "M" + " L".join(f"{svg.number(x)} {svg.number(y)}" for x, y in points)
    wide = attributes.get("stroke_width", 0.3)
    half = float(wide) / 2
    drawn = svg.element("path", d=path, fill="none", **attributes)
    return Part(drawn, tuple(_rects(points, half)))


_PIECE_MM = 100.0


def _rects(points: Sequence[Spot], half: float) -> Iterable[Rect]:
    for (a, b), (c, d) in pairwise(points):
        straight = abs(a - c) < 1e-6 or abs(b - d) < 1e-6
        count = 1 if straight else max(math.ceil(math.hypot(c - a, d - b) / _PIECE_MM), 1)
        for n in range(count):
            x0, x1 = (a + (c - a) * share / count for share in (n, n + 1))
            y0, y1 = (b + (d - b) * share / count for share in (n, n + 1))
            yield (
                min(x0, x1) - half, min(y0, y1) - half, max(x0, x1) + half, max(y0, y1) + half
            )  # fmt: skip


def words(
    text: str,
    at: Spot,
    size: float,
    *,
    turn: float = 0.0,
    bold: bool = False,
    anchor: str = "start",
) -> Part:
    """Words with their baseline at a spot.

    Parameters
    ----------
    text : the words
    at : where they begin, or their middle [mm]
    size : of the letters [mm]
    turn : about the spot, clockwise [°]
    bold : whether they are bold
    anchor : `start` or `middle`
    """
    attributes: dict[str, svg.Value] = {"x": at[0], "y": at[1], "font_size": size}
    if turn:
        x, y = svg.number(at[0]), svg.number(at[1])
        attributes["transform"] = f"rotate({svg.number(turn)} {x} {y})"
    if bold:
        attributes["font_weight"] = "bold"
    if anchor != "start":
        attributes["text_anchor"] = anchor
    long = 1.1 * svg.width(text, size)
    first = -long / 2 if anchor == "middle" else 0.0
    corners = [
        (first, -size),
        (first + long, -size),
        (first + long, 0.3 * size),
        (first, 0.3 * size),
    ]
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    spots = [(at[0] + x * cos - y * sin, at[1] + x * sin + y * cos) for x, y in corners]
    return Part(svg.element("text", text, **attributes), (round_(spots),))


def block(drawn: svg.Element, rect: Rect) -> Part:
    """An element that lies in a rectangle."""
    return Part(drawn, (rect,))


def round_(spots: Sequence[Spot]) -> Rect:
    """The rectangle round some spots."""
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    return min(xs), min(ys), max(xs), max(ys)
