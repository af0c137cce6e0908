"""The loom as a tree for a small screen: a place under the other, each set in under where it hangs.

As wide as a phone whatever the loom; what `tree` draws to the right goes down here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from loomwright.drawings import svg
from loomwright.drawings.insulation import INK
from loomwright.drawings.tree import Spot, hung, layout, measure, notes, sign
from loomwright.services.draw import LoomPlan

WIDE, MARGIN = 66.0, 3.0
"""Of the drawing, and round it [mm]."""
TIMES = 1.7
"""How much larger it is shown at most."""
BODY, SMALL = 2.8, 2.4
_LINE = SMALL * svg.LEADING
_STEP, _MOST = 3.2, 16.0  # set in a step, and all of them together
_GAP = 2.4  # between places


def upright_tree_svg(plan: LoomPlan) -> str:
    """The drawing of the loom's tree, as SVG text.

    Parameters
    ----------
    plan : branches, plugs and joints
    """
    found, things = layout(plan.branches), hung(plan)
    spots = tuple(found.spots.values())
    step = min(_STEP, _MOST / max(1, *(spot.step for spot in spots)))
    parts, at, y = [], {}, MARGIN
    for spot in spots:
        left = MARGIN + 1.2 + step * spot.step
        block, dot, y = _block(spot, left, y, things.get(spot.name, ()))
        at[spot.name] = (left, dot)
        parts.append(block)
    ways = [_way(spot, at) for spot in spots if spot.by is not None]
    for words in notes(found, things):
        said = svg.paragraph(words, MARGIN, y + SMALL, size=SMALL, room=WIDE - 2 * MARGIN)
        parts.append(svg.group(said, class_="note"))
        y += len(said) * _LINE + 1
    return svg.drawing(
        [*ways, *parts], wide=WIDE, high=y + MARGIN, times=TIMES,
        title=f"The loom as a tree: {plan.job}",
        desc="; ".join(
            f"{branch.branch} from {branch.from_place} to {branch.to_place}, {measure(branch)}"
            for branch in plan.branches
        ),
    )  # fmt: skip


def _block(
    spot: Spot, left: float, top: float, things: Sequence[tuple[str, str]]
) -> tuple[svg.Element, float, float]:
    """A place with all that hangs there; where its dot stands, and where it ends [mm]."""
    words = list(_words(spot, left + 2.4, top, things))
    dot = top + BODY * 0.7
    size = BODY * svg.LEADING + _LINE * (len(things) + (spot.by is not None))
    shown = [svg.element("circle", cx=left, cy=dot, r=1.1, fill=INK), *words]
    return svg.group(shown, class_="place"), dot, top + size + _GAP


def _words(
    spot: Spot, x: float, top: float, things: Sequence[tuple[str, str]]
) -> Iterator[svg.Element]:
    room = WIDE - MARGIN - x
    y = top + BODY
    name = svg.shortened(spot.name, BODY, room)
    yield svg.text(name, x, y, font_size=BODY, font_weight="bold")
    if spot.by is not None:
        y += _LINE
        words = svg.shortened(f"{spot.by.branch}: {measure(spot.by)}", SMALL, room)
        yield svg.text(words, x, y, font_size=SMALL, class_="branch")
    for sort, words in things:
        y += _LINE
        yield sign(sort, x, y - 1.8)
        yield svg.text(
            svg.shortened(words, SMALL, room - 3), x + 3, y, font_size=SMALL, class_=sort
        )


def _way(spot: Spot, at: Mapping[str, tuple[float, float]]) -> svg.Element:
    """Down from the place that it comes from, then right to the place."""
    (x0, y0), (x1, y1) = at[str(spot.parent)], at[spot.name]
    path = f"M{svg.number(x0)} {svg.number(y0)} V{svg.number(y1)} H{svg.number(x1)}"
    return svg.element("path", d=path, fill="none", stroke=INK, stroke_width=0.5)
