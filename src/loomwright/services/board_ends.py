"""What a board shows at each place: plugs with their wires, earths, posts, splices; how large.

The measures are those of the drawing, for letters that are read at arm's length: 5.4 mm, whose
capitals are 3.5 mm high or a little more.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

import attrs

from loomwright.build.tree import LoomTree, Piece
from loomwright.loom import Joint, Plug, Point, Wire
from loomwright.services.draw import PlugSheet, plug_sheets

TEXT, HEAD = 5.4, 7.0
"""Sizes of letters [mm]."""
ROW = 7.4
"""From line to line [mm]."""
CELL = 12.0
"""A cavity in the drawing of a face [mm]."""
FACE_EDGE, FITTING, FITTING_WORD = 4.0, 3.0, 6.6
"""Round the cavities of a face; for its latch and keys, and for each of their words [mm]."""
COLUMNS = (("cavity", 17.0), ("wire", 22.0), ("colour", 30.0), ("mm²", 17.0), ("to", 34.0))
"""The columns of a wire list with their widths [mm]."""
PAD = 4.0
"""Round everything in a box, and between the things in it [mm]."""
_LIST = sum(width for _, width in COLUMNS)
_MOST_ROWS, _BESIDE = 13, 70.0
_SPLIT = 3  # things at a place from which they may stand in two columns


@attrs.frozen(kw_only=True)
class ListedWire:
    """A wire in a list.

    Attributes
    ----------
    wire : its name
    letters : its colour as written on the sheet, empty when not known
    section_mm2 : None when not known
    here : cavity; empty at a joint
    there : the point at its other end
    """

    wire: str
    letters: str
    section_mm2: float | None
    here: str
    there: str


@attrs.frozen(kw_only=True)
class Item:
    """A plug or joint with its wires of this board.

    Attributes
    ----------
    name, label : of the plug or joint
    kind : `plug`, or the kind of joint in words
    sheet : of a plug, what its face shows
    wires : in the order of its cavities
    """

    name: str
    label: str
    kind: str
    sheet: PlugSheet | None
    wires: tuple[ListedWire, ...]


@attrs.frozen(kw_only=True)
class End:
    """What a place shows.

    Attributes
    ----------
    place : its name
    items : plugs and joints, in the order of their tables
    """

    place: str
    items: tuple[Item, ...]


@attrs.frozen
class Placed:
    """Where a thing stands in a box, from its upper left corner [mm]."""

    item: Item
    left: float
    top: float


def ends(tree: LoomTree, piece: Piece, wires: Iterable[Wire]) -> dict[str, End]:
    """What each place of a piece shows; no place that shows nothing.

    Parameters
    ----------
    tree : the loom
    piece : part of it
    wires : of the piece
    """
    at: dict[str, list[Wire]] = defaultdict(list)
    for wire in wires:
        for owner in dict.fromkeys((wire.from_point.owner, wire.to_point.owner)):
            at[owner].append(wire)
    sheets = {str(each.plug.plug): each for each in plug_sheets(tree.job)} if tree.job.plugs else {}
    found: dict[str, list[Item]] = {place: [] for place in piece.places}
    for plug in tree.job.plugs:
        if plug.place in found and at[plug.plug]:
            found[plug.place].append(_plug(plug, at[plug.plug], sheets[plug.plug]))
    for joint in tree.job.joints:
        if joint.place in found and at[joint.joint]:
            found[joint.place].append(_joint(joint, at[joint.joint]))
    return {place: End(place=place, items=tuple(items)) for place, items in found.items() if items}


def wires_of(tree: LoomTree) -> tuple[tuple[Wire, ...], ...]:
    """The wires of each piece of a loom; a wire within one place goes with what it meets there."""
    number = {str(b.branch): n for n, piece in enumerate(tree.pieces) for b in piece.branches}
    piece_of: dict[str, int] = {}
    local: list[Wire] = []
    owners: dict[str, int] = {}
    for wire in tree.job.wires:
        way = tree.ways[str(wire.wire)]
        if way is None:
            continue
        if not way.branches:
            local.append(wire)
            continue
        piece_of[str(wire.wire)] = number[str(way.branches[0].branch)]
        for point in (wire.from_point, wire.to_point):
            owners.setdefault(point.owner, piece_of[str(wire.wire)])
    _join_local(tree, local, owners, piece_of)
    return tuple(
        tuple(wire for wire in tree.job.wires if piece_of.get(str(wire.wire)) == n)
        for n in range(len(tree.pieces))
    )


def _join_local(
    tree: LoomTree, local: Sequence[Wire], owners: dict[str, int], piece_of: dict[str, int]
) -> None:
    """Give wires that stay at a place to the piece of what they meet, else to its first piece."""
    waiting = list(local)
    while waiting:
        met = [each for each in waiting if _met(each, owners) is not None] or waiting[:1]
        for wire in met:
            found = _met(wire, owners)
            if found is None:
                found = _first_at(tree, tree.place_of(wire.from_point))
            piece_of[str(wire.wire)] = found
            for point in (wire.from_point, wire.to_point):
                owners.setdefault(point.owner, found)
        waiting = [each for each in waiting if each not in met]


def _met(wire: Wire, owners: Mapping[str, int]) -> int | None:
    return owners.get(wire.from_point.owner, owners.get(wire.to_point.owner))


def _first_at(tree: LoomTree, place: str | None) -> int:
    """The first piece at a place; none of them where no branch leads there."""
    return next((n for n, piece in enumerate(tree.pieces) if place in piece.places), -1)


def _plug(plug: Plug, wires: Sequence[Wire], sheet: PlugSheet) -> Item:
    order = {name: n for n, name in enumerate(plug.face.cavities)}
    listed = [each for wire in wires for each in _listed(wire, plug.plug)]
    listed.sort(key=lambda each: (order.get(each.here, len(order)), each.wire))
    return Item(
        name=plug.plug, label=plug.label or "", kind="plug", sheet=sheet, wires=tuple(listed)
    )


def _joint(joint: Joint, wires: Sequence[Wire]) -> Item:
    return Item(
        name=joint.joint,
        label=joint.label or "",
        kind=joint.kind.replace("_", " "),
        sheet=None,
        wires=tuple(each for wire in wires for each in _listed(wire, joint.joint)),
    )


def _listed(wire: Wire, owner: str) -> Iterator[ListedWire]:
    pairs = ((wire.from_point, wire.to_point), (wire.to_point, wire.from_point))
    for here, there in pairs:
        if here.owner == owner:
            yield ListedWire(
                wire=str(wire.wire), letters=(wire.colour or "").strip(),
                section_mm2=wire.section_mm2, here=_terminal(here), there=str(there),
            )  # fmt: skip


def _terminal(point: Point) -> str:
    return point.terminal or ""


def face_size(sheet: PlugSheet) -> tuple[float, float]:
    """Room for the drawing of a face, with latch and keys [mm]."""
    rows = sheet.plug.face.rows
    sides = [sheet.latch, *sheet.keys]
    across = any(side in ("left", "right") for side in sides)
    above, below = (sides.count(side) for side in ("top", "bottom"))
    wide = max(len(row) for row in rows) * CELL + 2 * FACE_EDGE
    high = len(rows) * CELL + 2 * FACE_EDGE
    return (
        wide + 2 * _fittings(max(sides.count("left"), sides.count("right")) if across else 0),
        high + _fittings(above) + _fittings(below),
    )


def _fittings(count: int) -> float:
    return FITTING + FITTING_WORD * count if count else 0.0


def face_room(sheet: PlugSheet, side: str) -> float:
    """Room for latch and keys on one side of a face [mm]."""
    return _fittings([sheet.latch, *sheet.keys].count(side))


def list_columns(item: Item) -> int:
    """Columns of lines in which the wires of a plug or joint are listed."""
    return math.ceil(len(item.wires) / _MOST_ROWS)


def list_rows(item: Item) -> int:
    """Lines in a column of its wires, the heading not counted."""
    return math.ceil(len(item.wires) / list_columns(item))


def face_beside(item: Item) -> bool:
    """Whether the face stands beside the list, not above it."""
    return item.sheet is not None and face_size(item.sheet)[0] <= _BESIDE


def item_size(item: Item) -> tuple[float, float]:
    """Room for a plug or joint: name, label, face, list [mm]."""
    wide = _LIST * list_columns(item)
    high = (list_rows(item) + 1) * ROW
    head = 2 * ROW + 1
    if item.sheet is None:
        return wide, head + high
    face = face_size(item.sheet)
    if face_beside(item):
        return wide + face[0] + PAD, head + max(high, face[1])
    return max(wide, face[0]), head + high + face[1] + PAD


def sizes(end: End) -> tuple[tuple[float, float], ...]:
    """Sizes of box that a place may have, one for each arrangement [mm]."""
    return tuple(arranged(end, columns)[1] for columns in _arrangements(end))


def arrangement(end: End, size: tuple[float, float]) -> tuple[Placed, ...]:
    """Where each thing of a place stands in a box of one of its sizes."""
    made = [arranged(end, columns) for columns in _arrangements(end)]
    return next((placed for placed, each in made if each == size), made[0][0])


def _arrangements(end: End) -> tuple[int, ...]:
    return (1, 2) if len(end.items) >= _SPLIT else (1,)


def arranged(end: End, columns: int) -> tuple[tuple[Placed, ...], tuple[float, float]]:
    """Where each thing of a place stands in so many columns, and the size of its box [mm]."""
    measured = [item_size(item) for item in end.items]
    whole = sum(high for _, high in measured) / columns
    placed: list[Placed] = []
    left, top, deep, wide = PAD, PAD + 1.4 * ROW, 0.0, 0.0
    start = top
    for item, (across, down) in zip(end.items, measured, strict=True):
        if top > start and top - start + down / 2 > whole and left == PAD and columns > 1:
            left, top, wide = left + wide + 2 * PAD, start, 0.0
        placed.append(Placed(item, left, top))
        top += down + PAD
        wide, deep = max(wide, across), max(deep, top)
    return tuple(placed), (math.ceil(left + wide + PAD), math.ceil(deep))
