"""One reading before and after the work on a scale of what a sound loom reads.

The box is the band of a sound loom, each value set in the band of its own temperature, so that a
cold and a hot reading can be compared: −1 and +1 are the edges. An open circle is before, a filled
dot after; an arrow says that a value lies beyond the end. Black on white, with its words in `desc`.
"""

from __future__ import annotations

import math

import attrs

from loomwright.drawings import svg

WIDE, HIGH = 120.0, 17.0
_LEFT, _RIGHT, _LINE = 4.0, 116.0, 8.6
_DOT, _BOX, _LETTERS = 1.5, 6.0, 2.7
_LEAST, _MOST = 2.4, 8.0


@attrs.frozen(kw_only=True)
class Marks:
    """Where a reading stands.

    Attributes
    ----------
    reading : its name
    before, after : in half widths of the band, infinite beyond any scale, None where not read
    words : the same as a sentence, for who cannot see the drawing
    """

    reading: str
    before: float | None
    after: float | None
    words: str


def reach(marks: list[Marks]) -> float:
    """Half width of a scale that shows all of them, in half widths of the band."""
    known = [
        abs(each)
        for mark in marks
        for each in (mark.before, mark.after)
        if each is not None and math.isfinite(each)
    ]
    return min(max(1.15 * max(known, default=0.0), _LEAST), _MOST)


def reading_scale(marks: Marks, *, reach: float) -> str:
    """The drawing as SVG text.

    Parameters
    ----------
    marks : where the reading stands
    reach : half width of the scale, in half widths of the band; alike on one paper
    """
    wide = max(reach, _LEAST)
    middle = 0.5 * (_LEFT + _RIGHT)
    unit = (0.5 * (_RIGHT - _LEFT) - 3.0) / wide
    parts = [
        svg.element("line", x1=_LEFT, y1=_LINE, x2=_RIGHT, y2=_LINE, stroke="#000000",
                    stroke_width=0.35),
        svg.element("rect", x=middle - unit, y=_LINE - _BOX / 2, width=2 * unit, height=_BOX,
                    fill="#ffffff", stroke="#000000", stroke_width=0.5),
        svg.element("line", x1=middle, y1=_LINE - _BOX / 2, x2=middle, y2=_LINE + _BOX / 2,
                    stroke="#000000", stroke_width=0.25),
        _word("sound", middle, _LINE + _BOX / 2 + 3.6, anchor="middle"),
        _word("too low", _LEFT, _LINE + _BOX / 2 + 3.6, anchor="start"),
        _word("too high", _RIGHT, _LINE + _BOX / 2 + 3.6, anchor="end"),
    ]  # fmt: skip
    places = {
        name: middle + unit * max(-wide, min(wide, value))
        for name, value in (("before", marks.before), ("after", marks.after))
        if value is not None
    }
    near = len(places) == 2 and abs(places["before"] - places["after"]) < 11.0
    for name, value in (("before", marks.before), ("after", marks.after)):
        if value is None:
            continue
        x = places[name]
        parts.append(_dot(x, filled=name == "after"))
        if abs(value) > wide:
            parts.append(_arrow(x, math.copysign(1.0, value)))
        parts.append(_word(name, *_lettered(x, name, places, near=near)))
    return svg.drawing(
        parts, wide=WIDE, high=HIGH, title=f"Scale of reading {marks.reading}", desc=marks.words
    )


def _lettered(
    x: float, name: str, places: dict[str, float], *, near: bool
) -> tuple[float, float, str]:
    """Place and anchor of a mark's word; words of marks close together lean apart."""
    y = _LINE - _BOX / 2 - 1.3
    if near:
        other = places["after" if name == "before" else "before"]
        first = x < other or (x == other and name == "before")
        return (x - 0.2, y, "end") if first else (x + 0.2, y, "start")
    if x > _RIGHT - 6.0:
        return _RIGHT, y, "end"
    return (_LEFT, y, "start") if x < _LEFT + 6.0 else (x, y, "middle")


def _word(words: str, x: float, y: float, anchor: str) -> svg.Element:
    return svg.text(words, x, y, font_size=_LETTERS, text_anchor=anchor)


def _dot(x: float, *, filled: bool) -> svg.Element:
    return svg.element("circle", cx=x, cy=_LINE, r=_DOT, fill="#000000" if filled else "#ffffff",
                       stroke="#000000", stroke_width=0.55)  # fmt: skip


def _arrow(x: float, way: float) -> svg.Element:
    """A head that points beyond the end of the scale."""
    tip, foot = x + way * 4.2, x + way * 2.2
    points = f"{svg.number(tip)},{svg.number(_LINE)} " + " ".join(
        f"{svg.number(foot)},{svg.number(_LINE + side)}" for side in (-1.1, 1.1)
    )
    return svg.element("polygon", points=points, fill="#000000")
