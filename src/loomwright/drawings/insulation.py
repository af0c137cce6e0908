"""A cut wire: a ring of its colour with its tracers, its letters beside it."""

from __future__ import annotations

import math
from collections.abc import Mapping

from loomwright.drawings import svg

CORE = "#e8c9a0"
INK, PAPER = "#000000", "#ffffff"
_CORE_SHARE = 0.45  # of the outer radius
_TRACER_DEG = 18.0  # half the angle of a tracer


def colours(letters: str, paint: Mapping[str, str]) -> tuple[str, ...]:
    """RGB of the base and its tracers; empty when any of the letters has none.

    Two colours joined without a stroke, such as GNYE, are the two colours.

    Parameters
    ----------
    letters : as written, tracers after a stroke
    paint : RGB by code

    Examples
    --------
    >>> colours("bn/wh", {"BN": "#8b5a2b", "WH": "#ffffff"})
    ('#8b5a2b', '#ffffff')
    """
    codes: list[str] = []
    for part in letters.upper().split("/"):
        code = part.strip()
        joined = [code[:2], code[2:]] if len(code) == 4 and code not in paint else [code]
        codes += joined
    return tuple(paint[code] for code in codes) if all(code in paint for code in codes) else ()


def ring(x: float, y: float, radius: float, *, rgb: tuple[str, ...]) -> svg.Element:
    """The end of a wire seen along it; a broken outline when its colour is not known.

    Parameters
    ----------
    x, y : centre [mm]
    radius : of the insulation [mm]
    rgb : base and tracers
    """
    line: dict[str, svg.Value] = {"stroke": INK, "stroke_width": 0.25}
    if not rgb:
        around = svg.element(
            "circle", cx=x, cy=y, r=radius, fill=PAPER, stroke_dasharray="0.8 0.5", **line
        )
    else:
        around = svg.element("circle", cx=x, cy=y, r=radius, fill=rgb[0], **line)
    core = svg.element("circle", cx=x, cy=y, r=radius * _CORE_SHARE, fill=CORE, **line)
    return svg.group([around, *_tracers(x, y, radius, rgb), core], class_="wire")


def _tracers(x: float, y: float, radius: float, rgb: tuple[str, ...]) -> list[svg.Element]:
    """Each tracer on two opposite sides, edged so that it shows in black and white, too."""
    if len(rgb) < 2:
        return []
    step = 180.0 / (len(rgb) - 1)
    half = min(_TRACER_DEG, step / 3)
    return [
        svg.element(
            "path",
            d=_sector(x, y, radius, middle=90.0 + step * n + turn, half=half),
            fill=tracer, stroke=edge(rgb[0]), stroke_width=0.15,
        )
        for n, tracer in enumerate(rgb[1:])
        for turn in (0.0, 180.0)
    ]  # fmt: skip


def _sector(x: float, y: float, radius: float, *, middle: float, half: float) -> str:
    """The path of a piece of a ring between two angles about its middle [degrees]."""
    inner = radius * _CORE_SHARE
    corners = [
        (x + r * math.cos(math.radians(angle)), y + r * math.sin(math.radians(angle)))
        for r, angle in (
            (radius, middle - half), (radius, middle + half),
            (inner, middle + half), (inner, middle - half),
        )
    ]  # fmt: skip
    a, b, c, d = (f"{svg.number(px)} {svg.number(py)}" for px, py in corners)
    outer, within = svg.number(radius), svg.number(inner)
    return f"M{a} A{outer} {outer} 0 0 1 {b} L{c} A{within} {within} 0 0 0 {d} Z"


def edge(rgb: str) -> str:
    """Black or white, whichever stands out more from a colour, on paper without colour, too."""
    return max((PAPER, INK), key=lambda each: contrast(each, rgb))


def contrast(one: str, other: str) -> float:
    """How far two colours stand apart in lightness, from 1 to 21; 3 is enough for a drawn edge.

    (L1 + 0.05) / (L2 + 0.05), the lighter one above.
    Source: W3C Recommendation Web Content Accessibility Guidelines (WCAG) 2.1, 2018, "contrast
    ratio" and "relative luminance", and 1.4.11 for the 3; from memory, not seen for this.

    Parameters
    ----------
    one, other : RGB, `#rrggbb`

    Examples
    --------
    >>> contrast("#000000", "#ffffff"), contrast("#ffffff", "#ffffff")
    (21.0, 1.0)
    """
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return round((light + 0.05) / (dark + 0.05), 6)


def _luminance(rgb: str) -> float:
    """Relative luminance of an sRGB colour, 0 black to 1 white."""
    red, green, blue = (
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in (int(rgb[n : n + 2], 16) / 255 for n in (1, 3, 5))
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
