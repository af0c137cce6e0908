"""The loom as a tree: places, branches with length and zone, plugs and joints at their places.

Not to scale: each branch is one step to the right, the longest way runs straight along the top.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import attrs

from loomwright.drawings import svg
from loomwright.drawings.insulation import INK, PAPER
from loomwright.loom import Branch
from loomwright.services.draw import LoomPlan

MARGIN, STEP = 8.0, 62.0
"""Round the drawing, and from place to place [mm]."""
BODY, SMALL = 2.8, 2.4
_LINE = SMALL * svg.LEADING
_ABOVE = 8.0  # room over a branch for its words
_NOTE = 200.0  # least width, for the notes below


@attrs.frozen
class Spot:
    """A place in the drawing.

    Attributes
    ----------
    name : of the place
    step : branches from the beginning
    row : from the top
    by : the branch that leads there, None for a beginning
    parent : the place it comes from, None for a beginning
    """

    name: str
    step: int
    row: int
    by: Branch | None
    parent: str | None


@attrs.frozen
class Layout:
    """Where everything stands.

    Attributes
    ----------
    spots : by place, every place once
    loops : branches that close a ring, or join two places already joined
    """

    spots: dict[str, Spot]
    loops: tuple[Branch, ...]


def layout(branches: tuple[Branch, ...]) -> Layout:
    """Places in steps and rows, the same for the same sheet.

    The first branch's first place begins; what is not joined to it begins again below. The child
    with the longest way beyond it goes on in its parent's row.

    Parameters
    ----------
    branches : in sheet order
    """
    joined: dict[str, list[tuple[Branch, str]]] = defaultdict(list)
    for branch in branches:
        joined[branch.from_place].append((branch, branch.to_place))
        joined[branch.to_place].append((branch, branch.from_place))
    met: dict[str, tuple[Branch | None, str | None, int]] = {}
    for start in joined:
        if start not in met:
            met |= _reached(start, joined)
    children: dict[str, list[str]] = defaultdict(list)
    reach = dict.fromkeys(met, 0)
    for name, (_, parent, _) in reversed(met.items()):
        if parent is not None:
            children[parent].insert(0, name)
            reach[parent] = max(reach[parent], reach[name] + 1)
    used = {id(by) for by, _, _ in met.values() if by is not None}
    rows = _rows([n for n, (_, parent, _) in met.items() if parent is None], children, reach)
    spots = {name: Spot(name, met[name][2], row, *met[name][:2]) for name, row in rows.items()}
    return Layout(spots, tuple(branch for branch in branches if id(branch) not in used))


def _reached(
    start: str, joined: dict[str, list[tuple[Branch, str]]]
) -> dict[str, tuple[Branch | None, str | None, int]]:
    """Each place that hangs together with one: the branch to it, where from, how many steps."""
    found: dict[str, tuple[Branch | None, str | None, int]] = {start: (None, None, 0)}
    queue = [start]
    for here in queue:
        for branch, there in joined[here]:
            if there not in found:
                found[there] = (branch, here, found[here][2] + 1)
                queue.append(there)
    return found


def _rows(
    beginnings: list[str], children: dict[str, list[str]], reach: dict[str, int]
) -> dict[str, int]:
    """The row of each place, in the order in which they are drawn."""
    rows: dict[str, int] = {}
    last = -1
    waiting = [(name, False) for name in reversed(beginnings)]
    parent_of = {child: parent for parent, names in children.items() for child in names}
    while waiting:
        name, goes_on = waiting.pop()
        last = last if goes_on else last + 1
        rows[name] = rows[parent_of[name]] if goes_on else last
        order = sorted(children[name], key=lambda child: -reach[child])
        waiting += [(child, n == 0) for n, child in reversed(list(enumerate(order)))]
    return rows


def tree_svg(plan: LoomPlan) -> str:
    """The drawing of the loom's tree, as SVG text.

    Parameters
    ----------
    plan : branches, plugs and joints
    """
    found = layout(plan.branches)
    things = hung(plan)
    tops = _tops(found, things, MARGIN + 12)
    steps = max(spot.step for spot in found.spots.values())
    wide = max(2 * MARGIN + STEP * (steps + 1), _NOTE)
    at = {
        name: (MARGIN + 2 + STEP * spot.step, tops[spot.row]) for name, spot in found.spots.items()
    }
    parts = [
        svg.text(f"Loom: {plan.job}", MARGIN, MARGIN + 4, font_size=4.2, font_weight="bold"),
        *(_way(spot, at) for spot in found.spots.values() if spot.by is not None),
        *(_loop(branch, at) for branch in found.loops),
        *(_place(name, *at[name], things.get(name, [])) for name in found.spots),
    ]
    y = tops[len(tops) - 1] + 4
    for words in notes(found, things):
        said = svg.paragraph(words, MARGIN, y, size=SMALL, room=wide - 2 * MARGIN)
        parts.append(svg.group(said, class_="note"))
        y += len(said) * _LINE + 1
    return svg.drawing(
        parts, wide=wide, high=y + MARGIN - 4, title=f"The loom as a tree: {plan.job}",
        desc="; ".join(
            f"{branch.branch} from {branch.from_place} to {branch.to_place}, {measure(branch)}"
            for branch in plan.branches
        ),
    )  # fmt: skip


def measure(branch: Branch) -> str:
    """Length and zone of a branch in words."""
    length = "length not recorded" if branch.length_mm is None else f"{branch.length_mm:g} mm"
    return f"{length}, {branch.zone}" if branch.zone else length


def hung(plan: LoomPlan) -> dict[str, list[tuple[str, str]]]:
    """What hangs at each place: its sort, and its name with its label; no place is empty text."""
    found: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for plug in plan.plugs:
        found[plug.place or ""].append(
            ("plug", f"{plug.plug}: {plug.label}" if plug.label else str(plug.plug))
        )
    for joint in plan.joints:
        words = f"{joint.joint}: {joint.label or joint.kind.replace('_', ' ')}"
        found[joint.place or ""].append(("joint", words))
    return found


def _tops(found: Layout, hung: dict[str, list[tuple[str, str]]], first: float) -> list[float]:
    """Where each row's branches run [mm], and at last the end of all of them."""
    count = max(spot.row for spot in found.spots.values()) + 1
    high = [0] * count
    for name, spot in found.spots.items():
        high[spot.row] = max(high[spot.row], len(hung.get(name, ())))
    tops = [first]
    for lines in high:
        tops.append(tops[-1] + BODY * svg.LEADING + lines * _LINE + _ABOVE)
    return tops


def _way(spot: Spot, at: dict[str, tuple[float, float]]) -> svg.Element:
    """A branch: down from the place it leaves, then right to the place it reaches."""
    (x0, y0), (x1, y1) = at[str(spot.parent)], at[spot.name]
    words = f"{spot.by.branch}: {measure(spot.by)}" if spot.by is not None else ""
    line = svg.element(
        "path",
        d=f"M{svg.number(x0)} {svg.number(y0)} V{svg.number(y1)} H{svg.number(x1)}",
        fill="none", stroke=INK, stroke_width=0.7,
    )  # fmt: skip
    said = svg.text(svg.shortened(words, SMALL, STEP - 6), x0 + 3, y1 - 1.4, font_size=SMALL)
    return svg.group([line, said], class_="branch")


def _loop(branch: Branch, at: dict[str, tuple[float, float]]) -> svg.Element:
    """A branch that closes a ring, broken; its words stand in the notes."""
    (x0, y0), (x1, y1) = at[branch.from_place], at[branch.to_place]
    bow = svg.number(min(y0, y1) - 5)
    ends = [f"{svg.number(x)} {svg.number(y)}" for x, y in ((x0, y0), (x1, y1))]
    path = f"M{ends[0]} C{svg.number(x0 + 6)} {bow} {svg.number(x1 - 6)} {bow} {ends[1]}"
    drawn = svg.element(
        "path", d=path, fill="none", stroke=INK, stroke_width=0.5, stroke_dasharray="2 1.2"
    )
    return svg.group([svg.element("title", f"{branch.branch}: {measure(branch)}"), drawn],
                     class_="loop")  # fmt: skip


def _place(name: str, x: float, y: float, things: list[tuple[str, str]]) -> svg.Element:
    """A place with what hangs there: a box before a plug, a dot before a joint."""
    dot = svg.element("circle", cx=x, cy=y, r=1.1, fill=INK)
    left, top, room = x + 3, y + BODY * 1.3, STEP - 9
    parts = [
        svg.element("title", f"{name}: {len(things)} plugs and joints"),
        dot,
        svg.text(svg.shortened(name, BODY, room), left, top, font_size=BODY, font_weight="bold"),
    ]
    for n, (sort, words) in enumerate(things):
        base = top + _LINE * (n + 1)
        parts += [sign(sort, left, base - 1.8),
                  svg.text(svg.shortened(words, SMALL, room - 3), left + 3, base,
                           font_size=SMALL, class_=sort)]  # fmt: skip
    return svg.group(parts, class_="place")


def sign(sort: str, x: float, y: float) -> svg.Element:
    """A box for a plug, a dot for a joint; its left and upper edge [mm]."""
    if sort == "joint":
        return svg.element("circle", cx=x + 0.9, cy=y + 0.9, r=0.9, fill=INK)
    return svg.element(
        "rect", x=x, y=y, width=1.8, height=1.8, fill=PAPER, stroke=INK, stroke_width=0.3
    )


def notes(found: Layout, hung: dict[str, list[tuple[str, str]]]) -> Iterator[str]:
    """What the signs mean, and what could not be drawn in its place."""
    yield (
        "Box: plug. Dot: joint. Not to scale. On each branch: its name, its length as recorded, "
        "its heat zone."
    )
    for branch in found.loops:
        ends = f"{branch.from_place} and {branch.to_place}"
        yield f"Broken line: {branch.branch} also joins {ends}, {measure(branch)}."
    for place, things in hung.items():
        if place not in found.spots:
            where = f'"{place}", which no branch reaches' if place else "place not recorded"
            yield f"{where[0].upper()}{where[1:]}: {', '.join(words for _, words in things)}."
