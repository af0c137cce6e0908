"""A plug's face as small as a thumb, to find the cavities that the probes go to.

Seen from the wire side, where a probe goes in beside the wire. Red stands on a round mark, black on
a square one, so that they are told apart without colours.
"""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.drawings import svg
from loomwright.drawings.insulation import INK, PAPER
from loomwright.drawings.shell import WALL, WORD, Box, room, shell
from loomwright.drawings.views import SEEN, WIRE, View, both
from loomwright.loom import Plug, schema

CELL = 10.0
"""Width and height of a cavity [mm]."""
RED, BLACK = "red", "black"
_RED_INK = "#b3161b"
_EDGE = 2.0
_LEAST_WIDE = 40.0
_WORD_SHARE = 0.034  # of the width: a wide plug is shown no wider than a phone


def probe_face_svg(plug: Plug, marks: Mapping[str, str]) -> str:
    """The drawing as SVG text.

    Parameters
    ----------
    plug : with its face
    marks : `red` or `black` by cavity
    """
    latch = plug.latch if plug.latch in schema.SIDES else ""
    keys = [side for side in plug.keying if side in schema.SIDES]
    view = both(plug.face, plug.seen_from, latch=latch or "", keys=keys)[1]
    wide, high = view.columns * CELL + 2 * WALL, view.rows * CELL + 2 * WALL
    word = max(WORD, _WORD_SHARE * wide)
    reach = {side: room(view, side, word=word) + _EDGE for side in schema.SIDES}
    whole = max(wide + reach["left"] + reach["right"], _LEAST_WIDE)
    left = reach["left"] + (whole - wide - reach["left"] - reach["right"]) / 2
    box = Box(x=left, y=reach["top"], wide=wide, high=high)
    name = f"face-{plug.plug}"
    cells = [_cell(cavity, _corner(view, cavity, box), marks.get(cavity, "")) for cavity in view.at]
    return svg.drawing(
        [*shell(view, box, mark=name, word=word), *cells],
        wide=whole,
        high=high + reach["top"] + reach["bottom"],
        title=f"Plug {plug.plug} {SEEN[WIRE]}",
        desc=face_words(plug, marks),
    )


def face_words(plug: Plug, marks: Mapping[str, str]) -> str:
    """The same in words: `Plug TE seen from the wire side: red in cavity 1 (round mark).`"""
    shapes = {RED: "round mark", BLACK: "square mark"}
    said = [f"{mark} in cavity {cavity} ({shapes[mark]})" for cavity, mark in marks.items()]
    return f"Plug {plug.plug} {SEEN[WIRE]}: {', '.join(said)}."


def _corner(view: View, cavity: str, box: Box) -> tuple[float, float]:
    column, row = view.at[cavity]
    return box.x + WALL + column * CELL, box.y + WALL + row * CELL


def _cell(name: str, corner: tuple[float, float], mark: str) -> svg.Element:
    x, y = corner
    parts = [
        svg.element(
            "rect", x=x + 0.4, y=y + 0.4, width=CELL - 0.8, height=CELL - 0.8, rx=1.5,
            fill=PAPER, stroke=INK, stroke_width=0.3,
        )
    ]  # fmt: skip
    middle = (x + CELL / 2, y + CELL / 2)
    if mark == RED:
        parts.append(svg.element("circle", cx=middle[0], cy=middle[1], r=4.2, fill=_RED_INK))
    elif mark == BLACK:
        parts.append(
            svg.element("rect", x=x + 1, y=y + 1, width=CELL - 2, height=CELL - 2, fill=INK)
        )
    size = svg.fitting(name, 4.6, 0.75 * CELL)
    parts.append(
        svg.text(
            name, middle[0], middle[1] + 0.36 * size, font_size=size, font_weight="bold",
            text_anchor="middle", fill=PAPER if mark else INK,
        )
    )  # fmt: skip
    return svg.group(parts)
