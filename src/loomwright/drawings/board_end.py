"""A box of a board: the plugs and joints of a place, each with its face and its wires."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.drawings import svg
from loomwright.drawings.insulation import INK, PAPER, colours, ring
from loomwright.drawings.shell import Box as Outline
from loomwright.drawings.shell import shell
from loomwright.drawings.views import SEEN, View, both
from loomwright.services.board import Box
from loomwright.services.board_ends import (
    CELL,
    COLUMNS,
    FACE_EDGE,
    HEAD,
    PAD,
    ROW,
    TEXT,
    End,
    Item,
    ListedWire,
    arrangement,
    face_beside,
    face_room,
    face_size,
    list_columns,
    list_rows,
)

NOT_KNOWN = "?"
_LIST = sum(width for _, width in COLUMNS)
_LINE: dict[str, svg.Value] = {"stroke": INK, "stroke_width": 0.3}


def end_box(end: End, box: Box) -> svg.Element:
    """The box of a place with all that it shows, where it stands on the board.

    Parameters
    ----------
    end : what it shows
    box : where it stands, and how large it is
    """
    frame = svg.element(
        "rect", x=0, y=0, width=box.wide, height=box.high, fill=PAPER, stroke=INK,
        stroke_width=0.5,
    )  # fmt: skip
    room = box.wide - 2 * PAD
    head = svg.text(
        svg.shortened(end.place, HEAD, room), PAD, PAD + 0.8 * HEAD,
        font_size=HEAD, font_weight="bold",
    )  # fmt: skip
    parts = [frame, head]
    for placed in arrangement(end, (box.wide, box.high)):
        made = svg.group(_item(placed.item), transform=f"translate({_at(placed.left, placed.top)})")
        parts.append(made)
    return svg.group(parts, transform=f"translate({_at(box.left, box.top)})", class_="end")


def _at(x: float, y: float) -> str:
    return f"{svg.number(x)} {svg.number(y)}"


def _item(item: Item) -> Iterator[svg.Element]:
    """Name and label, the face, the list."""
    y = 0.8 * TEXT
    what = "Plug" if item.kind == "plug" else item.kind.capitalize()
    yield svg.text(f"{what} {item.name}", 0, y, font_size=TEXT, font_weight="bold")
    told = SEEN["wire"] if item.sheet else ""
    under = ", ".join(filter(None, (item.label, told)))
    room = _LIST * list_columns(item) + (face_size(item.sheet)[0] if item.sheet else 0.0)
    size = max(svg.fitting(under, TEXT, room), 0.75 * TEXT)
    yield svg.text(svg.shortened(under, size, room), 0, y + ROW, font_size=size)
    left, top = 0.0, 2 * ROW + 1
    if item.sheet is not None:
        face = face_size(item.sheet)
        yield svg.group(_face(item), transform=f"translate({_at(0, top)})", class_="face")
        left, top = (face[0] + PAD, top) if face_beside(item) else (0.0, top + face[1] + PAD)
    yield svg.group(_list(item), transform=f"translate({_at(left, top)})", class_="list")


def _face(item: Item) -> Iterator[svg.Element]:
    """The wire side, from where the terminals go in; large enough to read each number."""
    if item.sheet is None:
        return
    sheet = item.sheet
    view = both(sheet.plug.face, sheet.plug.seen_from, latch=sheet.latch, keys=sheet.keys)[1]
    sides = max(face_room(sheet, "left"), face_room(sheet, "right"))
    outline = Outline(
        x=sides, y=face_room(sheet, "top"),
        wide=view.columns * CELL + 2 * FACE_EDGE, high=view.rows * CELL + 2 * FACE_EDGE,
    )  # fmt: skip
    yield from shell(view, outline, mark=f"board-{item.name}", word=TEXT)
    for name, (column, row) in view.at.items():
        x, y = outline.x + FACE_EDGE + column * CELL, outline.y + FACE_EDGE + row * CELL
        yield from _cavity(item, view, name, corner=(x, y))


def _cavity(
    item: Item, view: View, name: str, *, corner: tuple[float, float]
) -> Iterator[svg.Element]:
    """Its number, with a ring in the wire's colour below; a dash where it stays empty."""
    x, y = corner
    yield svg.element(
        "rect", x=x + 0.4, y=y + 0.4, width=CELL - 0.8, height=CELL - 0.8, rx=2,
        fill=PAPER, **_LINE,
    )  # fmt: skip
    size = svg.fitting(name, TEXT, CELL - 1.6)
    yield svg.text(
        name, x + CELL / 2, y + 0.5 + 0.85 * TEXT, font_size=size, font_weight="bold",
        text_anchor="middle",
    )  # fmt: skip
    inside = [wire for wire in item.wires if wire.here == name]
    paint = item.sheet.paint if item.sheet else {}
    step = CELL / (len(inside) + 1)
    for n, wire in enumerate(inside[:3], start=1):
        yield ring(x + step * n, y + 0.76 * CELL, 1.7, rgb=colours(wire.letters, paint))
    if not inside:
        middle = y + 0.74 * CELL
        yield svg.element("line", x1=x + 4, y1=middle, x2=x + CELL - 4, y2=middle, **_LINE)


def _list(item: Item) -> Iterator[svg.Element]:
    """The wires line by line, under the names of the columns."""
    rows, columns = list_rows(item), list_columns(item)
    for column in range(columns):
        left = _LIST * column
        heads = tuple(name if item.sheet or n else "" for n, (name, _) in enumerate(COLUMNS))
        yield from _line(heads, left, 0.8 * TEXT, bold=True)
        yield svg.element("line", x1=left, y1=ROW - 0.6, x2=left + _LIST - 4, y2=ROW - 0.6, **_LINE)
        for n, wire in enumerate(item.wires[rows * column : rows * (column + 1)], start=1):
            yield from _line(_cells(wire), left, ROW * n + 0.95 * TEXT, bold=False)


def _cells(wire: ListedWire) -> tuple[str, ...]:
    section = NOT_KNOWN if wire.section_mm2 is None else f"{wire.section_mm2:g}"
    return wire.here, wire.wire, wire.letters or NOT_KNOWN, section, wire.there


def _line(cells: tuple[str, ...], left: float, y: float, *, bold: bool) -> Iterator[svg.Element]:
    x = left
    for words, (_, width) in zip(cells, COLUMNS, strict=True):
        if words:
            size = max(svg.fitting(words, TEXT, width - 1.5), 0.6 * TEXT)
            weight = "bold" if bold else "normal"
            cut = svg.shortened(words, size, width - 1)
            yield svg.text(cut, x, y, font_size=size, font_weight=weight)
        x += width
