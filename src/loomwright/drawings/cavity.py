"""One cavity of a plug's face: its number, the wires in it as cut ends, their letters."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from loomwright.drawings import svg
from loomwright.drawings.insulation import INK, PAPER, colours, ring
from loomwright.drawings.views import MATING
from loomwright.services.draw import WireEnd

NO_COLOUR = "?"
"""In place of the letters of a wire whose colour is not on the sheet."""
EMPTY = "empty"
LEAST_MM = 1.2
"""Smaller letters cannot be read on paper."""


def cavity(
    name: str,
    ends: Sequence[WireEnd],
    *,
    corner: tuple[float, float],
    size: float,
    side: str,
    paint: Mapping[str, str],
    mark: str,
) -> svg.Element:
    """A cavity; square on the mating face, round on the wire side.

    Parameters
    ----------
    name : of the cavity
    ends : of the wires in it
    corner : left and top [mm]
    size : of its square [mm]
    side : `mating` or `wire`
    paint : RGB by colour code
    mark : the element's id
    """
    x, y = corner
    gap = 0.04 * size
    shell = svg.element(
        "rect",
        x=x + gap, y=y + gap, width=size - 2 * gap, height=size - 2 * gap,
        rx=(0.04 if side == MATING else 0.18) * size,
        fill=PAPER, stroke=INK, stroke_width=0.3,
    )  # fmt: skip
    number_size = svg.fitting(name, 0.22 * size, 0.72 * size)
    number = svg.text(
        name, x + 0.5 * size, y + 0.26 * size,
        font_size=number_size, font_weight="bold", text_anchor="middle",
    )  # fmt: skip
    inside = _wires(ends, x, y, size=size, paint=paint) if ends else _empty(x, y, size)
    said = svg.element("title", f"cavity {name}: {in_words(ends)}")
    return svg.group([said, shell, number, *inside], id=mark, class_="cavity")


def in_words(ends: Sequence[WireEnd]) -> str:
    """The wires of a cavity: `W32 GN/WH to TE.1`, or that it is empty."""
    return "; ".join(f"{end.wire} {letters(end)} to {end.far_end}" for end in ends) or EMPTY


def letters(end: WireEnd) -> str:
    """The letters of a wire's colour, a question mark when they are not known."""
    return end.letters or NO_COLOUR


def _empty(x: float, y: float, size: float) -> list[svg.Element]:
    return [
        svg.text(
            EMPTY, x + 0.5 * size, y + 0.62 * size,
            font_size=0.2 * size, font_style="italic", text_anchor="middle",
        )
    ]  # fmt: skip


def _wires(
    ends: Sequence[WireEnd], x: float, y: float, *, size: float, paint: Mapping[str, str]
) -> list[svg.Element]:
    """Cut ends side by side; their letters below, the left one's on top."""
    count = len(ends)
    radius = size * min(0.2, 0.3 / count)
    middle = y + size * (0.5 if count == 1 else 0.44)
    step = 0.84 * size / count
    rings = [
        ring(x + 0.08 * size + step * (n + 0.5), middle, radius, rgb=colours(end.letters, paint))
        for n, end in enumerate(ends)
    ]
    most = size * (0.24 if count == 1 else 0.34 / count)
    lines = min(max(0.18 * size, LEAST_MM), most)
    top = y + size * (0.89 if count == 1 else 0.92) - lines * (count - 1)
    said = [
        _said(letters(end), x + 0.5 * size, top + lines * n, size=lines, room=0.82 * size)
        for n, end in enumerate(ends)
    ]
    return [*rings, *said]


def _said(words: str, x: float, y: float, *, size: float, room: float) -> svg.Element:
    """Letters as large as fits; what cannot be read at all is cut (the list below has it)."""
    fitted = max(svg.fitting(words, size, room), min(size, LEAST_MM))
    return svg.text(
        svg.shortened(words, fitted, room), x, y,
        font_size=fitted, text_anchor="middle", class_="letters",
    )  # fmt: skip
