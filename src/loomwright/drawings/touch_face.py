"""One side of a plug's face for a screen: every cavity a link, as large as a thumb.

Drawn like the face on paper (`face.py`): same shell, same cavities, but not to scale.
"""

from __future__ import annotations

from collections.abc import Mapping

import attrs

from loomwright.drawings import svg
from loomwright.drawings.cavity import cavity
from loomwright.drawings.face import NO_LATCH_OR_KEY
from loomwright.drawings.insulation import INK
from loomwright.drawings.shell import WALL, Box, fittings, room, shell
from loomwright.drawings.views import SEEN, View, both
from loomwright.services.draw import PlugSheet

CELL = 12.0
"""From cavity to cavity, before it is enlarged [mm]."""
_EDGE = 2.0
_FRAME = 1.0
_LEAST_TIMES, _MOST_TIMES = 1.25, 2.0
_PHONE_MM = 80.0  # width within which a small face is drawn as large as fits


@attrs.frozen
class CavityLink:
    """Where touching a cavity leads.

    Attributes
    ----------
    href : address of the link
    words : what it is called for who cannot see it
    more : other attributes of the link, by name
    """

    href: str
    words: str
    more: Mapping[str, str] = attrs.field(factory=dict)


def touch_svg(
    sheet: PlugSheet, side: str, links: Mapping[str, CavityLink], *, here: str = ""
) -> str:
    """One side of a plug's face as SVG text.

    A cavity is at least 15 mm = 56 CSS px high and wide, so it can be touched with a thumb.

    Parameters
    ----------
    sheet : the plug, the wires in its cavities
    side : `mating` or `wire`
    links : by name of the cavity; one without a link is drawn only
    here : the cavity that is looked at, empty for none
    """
    view = _seen(sheet, side)
    box = Box(
        x=_EDGE + room(view, "left"), y=_EDGE + room(view, "top"),
        wide=view.columns * CELL + 2 * WALL, high=view.rows * CELL + 2 * WALL,
    )  # fmt: skip
    wide = box.x + box.wide + room(view, "right") + _EDGE
    mark = f"{sheet.plug.plug}-{side}"
    cells = [
        _linked(
            _cell(sheet, name, view, box, here=name == here, mark=f"{mark}-{name}"),
            links.get(name), here=name == here,
        )
        for name in view.at
    ]  # fmt: skip
    on_shell = [f"{word} at the {at}" for word, at in fittings(view)]
    return svg.drawing(
        [*shell(view, box, mark=f"{mark}-shell"), *cells],
        wide=wide,
        high=box.y + box.high + room(view, "bottom") + _EDGE,
        title=f"Plug {sheet.plug.plug}, {SEEN[side]}",
        desc="; ".join(on_shell) or NO_LATCH_OR_KEY,
        times=min(max(_PHONE_MM / wide, _LEAST_TIMES), _MOST_TIMES),
        touched=True,
    )  # fmt: skip


def _seen(sheet: PlugSheet, side: str) -> View:
    views = both(sheet.plug.face, sheet.plug.seen_from, latch=sheet.latch, keys=sheet.keys)
    return next(view for view in views if view.side == side)


def _cell(
    sheet: PlugSheet, name: str, view: View, box: Box, *, here: bool, mark: str
) -> svg.Element:
    """A cavity with the whole of its square to be touched, a heavy frame where one looks."""
    column, row = view.at[name]
    x, y = box.x + WALL + column * CELL, box.y + WALL + row * CELL
    frame = svg.element(
        "rect", x=x + _FRAME / 2, y=y + _FRAME / 2, width=CELL - _FRAME, height=CELL - _FRAME,
        fill="none", stroke=INK if here else "none", stroke_width=_FRAME, pointer_events="all",
        class_="touched",
    )  # fmt: skip
    drawn = cavity(
        name, sheet.wires[name], corner=(x, y), size=CELL, side=view.side, paint=sheet.paint,
        mark=mark,
    )  # fmt: skip
    return svg.group([drawn, frame])


def _linked(drawn: svg.Element, link: CavityLink | None, *, here: bool) -> svg.Element:
    if link is None:
        return drawn
    current: dict[str, svg.Value] = {"aria_current": "true"} if here else {}
    return svg.element("a", drawn, href=link.href, aria_label=link.words, **current, **link.more)
