"""The way of one circuit, piece by piece, with the ohms of each and from the beginning.

Every piece is one row; a branching steps to the right, and its line starts where the way divides.
"""

from __future__ import annotations

from collections.abc import Callable

from loomwright.drawings import svg
from loomwright.drawings.insulation import INK, PAPER
from loomwright.services.draw_circuit import CircuitPiece, CircuitSheet

MARGIN, ROW, LANE = 8.0, 9.0, 8.0
"""Round the drawing, from piece to piece, and from branching to branching [mm]."""
BODY, SMALL = 2.8, 2.4
_WORDS, _OHMS = 76.0, 22.0  # widths of the columns
_SHORT = 1.5  # by which a way that ends stays short of the next row
_LINE: dict[str, svg.Value] = {"stroke": INK, "stroke_width": 0.5}

Spot = tuple[float, float]


def circuit_svg(sheet: CircuitSheet) -> str:
    """The drawing of a circuit from a point to its ends, as SVG text.

    Parameters
    ----------
    sheet : the pieces in order, branch by branch
    """
    deepest = max((piece.depth for piece in sheet.pieces), default=0)
    left = MARGIN + LANE * (deepest + 1) + 4
    wide = left + _WORDS + 2 * _OHMS + MARGIN
    parts, y = _head(sheet, left, wide)
    reached: dict[str, Spot] = {sheet.point: (MARGIN + 2, y)}
    drawn = []
    for n, piece in enumerate(sheet.pieces):
        start = reached.get(piece.start, (MARGIN + 2, y + ROW * n))
        low = y + ROW * (n + 1)
        lane = MARGIN + 2 + LANE * piece.depth
        drawn.append(_piece(piece, start, (lane, low), left=left))
        reached[piece.end] = (lane, low)
    if not sheet.pieces:
        drawn.append(svg.text("Nothing conducts from here in this state.", left, y, font_size=BODY))
    foot = "Calculated for a sound loom from lengths, sections and the parts' values."
    high = y + ROW * len(sheet.pieces) + 10
    return svg.drawing(
        [*parts, *drawn, _begin(MARGIN + 2, y), svg.text(foot, MARGIN, high, font_size=SMALL)],
        wide=wide, high=high + MARGIN - 3, title=_title(sheet),
        desc="; ".join(
            f"{piece.what}, {piece.start} to {piece.end}, {piece.own}" for piece in sheet.pieces
        ),
    )  # fmt: skip


def _title(sheet: CircuitSheet) -> str:
    label = f" ({sheet.label})" if sheet.label else ""
    return f"Circuit from {sheet.point}{label}"


def _head(sheet: CircuitSheet, left: float, wide: float) -> tuple[list[svg.Element], float]:
    """Title, state, the heads of the columns; where the way begins."""
    room = wide - 2 * MARGIN
    title = svg.paragraph(
        _title(sheet), MARGIN, MARGIN + 4, size=4.2, room=room, font_weight="bold"
    )
    y = MARGIN + 4 + 4.2 * svg.LEADING * len(title)
    state = f"{sheet.job}; state: {sheet.state or 'at rest'}; all plugs on"
    below = svg.paragraph(state, MARGIN, y - 1, size=SMALL, room=room)
    y += SMALL * svg.LEADING * len(below) + 5
    heads = [
        svg.text("What lies there", left, y, font_size=SMALL, font_weight="bold"),
        *(
            svg.text(
                words, left + _WORDS + _OHMS * n, y,
                font_size=SMALL, font_weight="bold", text_anchor="end",
            )
            for n, words in ((1, "Its own"), (2, "So far"))
        ),
    ]  # fmt: skip
    return [*title, *below, *heads], y + 2


def _begin(x: float, y: float) -> svg.Element:
    return svg.element("circle", cx=x, cy=y, r=1.2, fill=INK)


def _piece(piece: CircuitPiece, start: Spot, end: Spot, *, left: float) -> svg.Element:
    """A piece: the line to its row, its sign, what it is, its ohms."""
    (x0, y0), (x, low) = start, end
    high = low - ROW
    low -= _SHORT if piece.ends else 0.0
    divides = []
    if x == x0:
        path = f"M{svg.number(x0)} {svg.number(y0)} V{svg.number(low)}"
    else:
        turn = svg.number(high + 0.5)
        path = f"M{svg.number(x0)} {svg.number(y0)} V{turn} H{svg.number(x)} V{svg.number(low)}"
        divides = [svg.element("circle", cx=x0, cy=high + 0.5, r=0.7, fill=INK)]
    line = svg.element("path", d=path, fill="none", **_LINE)
    middle, base = high + ROW / 2, high + ROW / 2 + 0.4
    ends = f"; {piece.ends}" if piece.ends else ""
    said = [
        svg.text(svg.shortened(piece.what, BODY, _WORDS), left, base, font_size=BODY),
        svg.text(
            svg.shortened(f"{piece.start} to {piece.end}{ends}", SMALL, _WORDS),
            left, base + SMALL * 1.3, font_size=SMALL,
        ),
        *(
            svg.text(words, left + _WORDS + _OHMS * n, base, font_size=BODY, text_anchor="end")
            for n, words in ((1, piece.own), (2, piece.so_far))
        ),
    ]  # fmt: skip
    stop = [_stop(piece, x, low)] if piece.ends else []
    sign = _SIGNS.get(piece.kind, _plain)(x, middle)
    return svg.group([line, *divides, *sign, *stop, *said], class_="piece")


def _stop(piece: CircuitPiece, x: float, y: float) -> svg.Element:
    """The end of a way: the earth's bars, or a short bar."""
    bars = (2.4, 1.6, 0.8) if "earth" in piece.ends else (2.0,)
    return svg.group(
        svg.element("line", x1=x - half, y1=y + 0.6 * n, x2=x + half, y2=y + 0.6 * n, **_LINE)
        for n, half in enumerate(bars)
    )


def _box(x: float, y: float) -> list[svg.Element]:
    return [svg.element("rect", x=x - 1.5, y=y - 3, width=3, height=6, fill=PAPER, **_LINE)]


def _pair(x: float, y: float) -> list[svg.Element]:
    """Two halves of a contact, one in the other."""
    return [
        svg.element("path", d=f"M{svg.number(x - 1.5)} {svg.number(y + dy)} "
                    f"L{svg.number(x)} {svg.number(y + dy + 1.5)} "
                    f"L{svg.number(x + 1.5)} {svg.number(y + dy)}", fill="none", **_LINE)
        for dy in (-1.5, 0.0)
    ]  # fmt: skip


def _joined(x: float, y: float) -> list[svg.Element]:
    return [svg.element("circle", cx=x, cy=y, r=1.2, fill=PAPER, **_LINE)]


def _plain(x: float, y: float) -> list[svg.Element]:
    return []


_SIGNS: dict[str, Callable[[float, float], list[svg.Element]]] = {
    "element": _box,
    "battery": _box,
    "contact": _pair,
    "earth": _joined,
    "case": _joined,
    "feed": _joined,
}
"""The sign of each kind of piece; a wire is the line itself."""
