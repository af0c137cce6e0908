"""A plug's shell in one view: its outline, the latch as a bar on it, each key as a rib in it.

Which side they sit on is all that is known of them: they are drawn in the middle of it, and their
size says nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.drawings import svg
from loomwright.drawings.insulation import INK, PAPER
from loomwright.drawings.views import MATING, TOWARDS, View

WALL = 3.0
"""From the cavities to the outline [mm]."""
WORD = 2.4
"""Size of the words beside latch and keys [mm]."""
LATCH_WORD, KEY_WORD = "latch", "key"
_BAR, _GAP = 1.6, 0.8  # thickness of the latch, and from it to its word
_RIB_WIDE, _RIB_DEEP = 2.4, 2.0
_LEADING = 1.15


@attrs.frozen(kw_only=True)
class Box:
    """The outline [mm].

    Attributes
    ----------
    x, y : left and top
    wide, high : size
    """

    x: float
    y: float
    wide: float
    high: float

    def on(self, side: str, *, out: float) -> tuple[float, float]:
        """A place before the middle of a side, so far out of the outline, or in it when below 0."""
        dx, dy = TOWARDS[side]
        return (
            self.x + self.wide / 2 + dx * (self.wide / 2 + out),
            self.y + self.high / 2 + dy * (self.high / 2 + out),
        )


def room(view: View, side: str, *, word: float = WORD) -> float:
    """How far latch, keys and their words reach out of one side [mm].

    Parameters
    ----------
    view : either side of the plug
    side : of the shell
    word : size of the words [mm]
    """
    lines = sum(on == side for _, on in fittings(view))
    bar = _BAR if view.latch == side else 0.0
    return bar + _GAP + word * _LEADING * lines if lines else 0.0


def fittings(view: View) -> tuple[tuple[str, str], ...]:
    """Latch and keys, each as its word with its side in this view."""
    latch = ((LATCH_WORD, view.latch),) if view.latch else ()
    return (*latch, *((KEY_WORD, side) for side in view.keys))


def shell(view: View, box: Box, *, mark: str, word: float = WORD) -> Iterator[svg.Element]:
    """The outline with what sits on it.

    Parameters
    ----------
    view : the side it is seen from, with latch and keys
    box : the outline
    mark : the beginning of the elements' ids
    word : size of the words beside latch and keys [mm]
    """
    yield from _outline(view.side, box)
    if view.latch:
        yield _latch(view.latch, box, mark=f"{mark}-{LATCH_WORD}", word=word)
    for side in view.keys:
        out = room(attrs.evolve(view, keys=()), side, word=word) or _GAP
        yield _key(side, box, out=out, mark=f"{mark}-{KEY_WORD}-{side}", word=word)


def _outline(side: str, box: Box) -> Iterator[svg.Element]:
    """Double for the mating face with its collar, broken for the wire side."""
    line: dict[str, svg.Value] = {"fill": PAPER, "stroke": INK, "stroke_width": 0.5}
    at: dict[str, svg.Value] = {
        "x": box.x, "y": box.y, "width": box.wide, "height": box.high, "rx": 2,
    }  # fmt: skip
    if side != MATING:
        yield svg.element("rect", **at, **line, stroke_dasharray="3 1.2")
        return
    yield svg.element("rect", **at, **line)
    yield svg.element(
        "rect",
        x=box.x + 1.2, y=box.y + 1.2, width=box.wide - 2.4, height=box.high - 2.4, rx=1.2, **line,
    )  # fmt: skip


def _latch(side: str, box: Box, *, mark: str, word: float) -> svg.Element:
    """A full bar outside the outline, two fifths of the side long."""
    along = 0.4 * (box.high if TOWARDS[side][0] else box.wide)
    middle = box.on(side, out=_BAR / 2)
    bar = _block(middle, side, along=along, deep=_BAR, fill=INK)
    at = box.on(side, out=_BAR + _GAP)
    return _named(LATCH_WORD, [bar], side=side, at=at, mark=mark, size=word)


def _key(side: str, box: Box, *, out: float, mark: str, word: float) -> svg.Element:
    """An open rib from the outline inwards; its word outside, beyond the latch's."""
    rib = _block(
        box.on(side, out=-_RIB_DEEP / 2), side, along=_RIB_WIDE, deep=_RIB_DEEP, fill=PAPER
    )
    return _named(KEY_WORD, [rib], side=side, at=box.on(side, out=out), mark=mark, size=word)


def _block(
    middle: tuple[float, float], side: str, *, along: float, deep: float, fill: str
) -> svg.Element:
    """A rectangle about a place, so long along the side and so deep across it."""
    wide, high = (deep, along) if TOWARDS[side][0] else (along, deep)
    return svg.element(
        "rect", x=middle[0] - wide / 2, y=middle[1] - high / 2, width=wide, height=high,
        fill=fill, stroke=INK, stroke_width=0.4,
    )  # fmt: skip


def _named(
    word: str,
    drawn: list[svg.Element],
    *,
    side: str,
    at: tuple[float, float],
    mark: str,
    size: float,
) -> svg.Element:
    """What is drawn with its word: level above and below, upwards on the left and right.

    Parameters
    ----------
    word : the word
    drawn : what it stands for
    side : of the shell
    at : where the room for the word begins, nearest to the outline [mm]
    mark : the element's id
    size : of the word [mm]
    """
    x, y = at
    centred: dict[str, svg.Value] = {"font_size": size, "text_anchor": "middle"}
    if side in ("left", "right"):
        x += -0.2 * size if side == "left" else 0.8 * size
        turned = f"rotate(-90 {svg.number(x)} {svg.number(y)})"
        said = svg.text(word, x, y, transform=turned, **centred)
    else:
        said = svg.text(word, x, y + (-0.2 * size if side == "top" else 0.8 * size), **centred)
    told = svg.element("title", f"{word} at the {side}")
    return svg.group([told, *drawn, said], id=mark, class_=word)
