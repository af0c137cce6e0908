"""A board cut into sheets: which sheets it takes, and the drawing of each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import attrs

from loomwright.drawings import svg
from loomwright.drawings.board_parts import MIDDLE, Part, Rect, Spot
from loomwright.drawings.insulation import INK, PAPER

_SHIFTS = 6  # beginnings of the first sheet that are tried in each direction
_MAP_MM = 160.0
_MARK = 0.25


@attrs.frozen(kw_only=True)
class Tile:
    """One sheet.

    Attributes
    ----------
    row, column : from the top and from the left, from 0
    name : letter of the row and number of the column, such as B3
    rect : of the drawing that it shows [mm]
    neighbours : names of the sheets above, below, left, right; empty where there is none
    """

    row: int
    column: int
    name: str
    rect: Rect
    neighbours: tuple[str, str, str, str]


@attrs.frozen(kw_only=True)
class Tiling:
    """Sheets that show a whole drawing.

    Attributes
    ----------
    tiles : row by row, those that nothing is drawn on left out
    rows, columns : of the whole grid
    area : width and height of the drawing that a sheet shows [mm]
    overlap : what neighbours have in common [mm]
    start : left and top of the first sheet [mm]
    """

    tiles: tuple[Tile, ...]
    rows: int
    columns: int
    area: tuple[float, float]
    overlap: float
    start: Spot


def tiling(
    parts: Sequence[Part],
    size: tuple[float, float],
    *,
    areas: Sequence[tuple[float, float]],
    overlap: float,
) -> Tiling:
    """The fewest sheets, over all ways to hold the paper and to begin the first sheet.

    Parameters
    ----------
    parts : of the drawing
    size : of the drawing [mm]
    areas : width and height that a sheet shows, for each way to hold it [mm]
    overlap : what neighbours have in common [mm]
    """
    rects = [rect for part in parts for rect in part.rects]
    found: list[tuple[int, int, Tiling]] = []
    for area in areas:
        for start in _starts(size, area, overlap):
            made = _cut(rects, size, area, overlap, start)
            found.append((len(made.tiles), made.rows * made.columns, made))
    return min(found, key=lambda each: each[:2])[2]


def _starts(size: tuple[float, float], area: tuple[float, float], overlap: float) -> Iterator[Spot]:
    """Left and top of the first sheet: as far before the drawing as the grid has to spare."""
    spare = [
        _count(whole, part, overlap) * (part - overlap) + overlap - whole
        for whole, part in zip(size, area, strict=True)
    ]
    for down in range(_SHIFTS):
        for across in range(_SHIFTS):
            yield -spare[0] * across / (_SHIFTS - 1), -spare[1] * down / (_SHIFTS - 1)


def _count(whole: float, part: float, overlap: float) -> int:
    return max(math.ceil((whole - overlap) / (part - overlap) - 1e-9), 1)


def _cut(
    rects: Sequence[Rect],
    size: tuple[float, float],
    area: tuple[float, float],
    overlap: float,
    start: Spot,
) -> Tiling:
    columns, rows = (_count(whole, part, overlap) for whole, part in zip(size, area, strict=True))
    step = (area[0] - overlap, area[1] - overlap)
    used = _used(rects, start, step, (columns, rows))
    tiles = tuple(
        _tile(row, column, used, start=start, step=step, area=area)
        for row in range(rows)
        for column in range(columns)
        if (row, column) in used
    )
    return Tiling(tiles=tiles, rows=rows, columns=columns, area=area, overlap=overlap, start=start)


def _tile(
    row: int,
    column: int,
    used: set[tuple[int, int]],
    *,
    start: Spot,
    step: tuple[float, float],
    area: tuple[float, float],
) -> Tile:
    left, top = start[0] + column * step[0], start[1] + row * step[1]

    def named(down: int, across: int) -> str:
        there = (row + down, column + across)
        return _name(*there) if there in used else ""

    return Tile(
        row=row,
        column=column,
        name=_name(row, column),
        rect=(left, top, left + area[0], top + area[1]),
        neighbours=(named(-1, 0), named(1, 0), named(0, -1), named(0, 1)),
    )


def _used(
    rects: Sequence[Rect], start: Spot, step: tuple[float, float], count: tuple[int, int]
) -> set[tuple[int, int]]:
    """Sheets on whose own part, its overlap left out, something is drawn."""
    found: set[tuple[int, int]] = set()
    for left, top, right, bottom in rects:
        columns = _span(left - start[0], right - start[0], step[0], count[0])
        rows = _span(top - start[1], bottom - start[1], step[1], count[1])
        found |= {(row, column) for row in rows for column in columns}
    return found


def _span(low: float, high: float, step: float, count: int) -> range:
    last = count - 1
    return range(min(max(int(low // step), 0), last), min(max(int(high // step), 0), last) + 1)


def _name(row: int, column: int) -> str:
    letters = ""
    row += 1
    while row:
        row, rest = divmod(row - 1, 26)
        letters = chr(65 + rest) + letters
    return f"{letters}{column + 1}"


def tile_svg(parts: Sequence[Part], tile: Tile, overlap: float) -> str:
    """What one sheet shows, with dashed lines where it overlaps its neighbours.

    Parameters
    ----------
    parts : of the whole drawing
    tile : the sheet
    overlap : what neighbours have in common [mm]
    """
    left, top, right, bottom = tile.rect
    shifted = f"translate({-left:.4f} {-top:.4f})"
    shown = [part.drawn for part in parts if part.touches(tile.rect)]
    marks = list(_marks(tile, right - left, bottom - top, overlap))
    return svg.drawing(
        [svg.group(shown, transform=shifted), *marks],
        wide=right - left, high=bottom - top, title=f"Sheet {tile.name}",
        desc="A piece of a board.",
    )  # fmt: skip


def _marks(tile: Tile, wide: float, high: float, overlap: float) -> Iterator[svg.Element]:
    """Where to cut: a cross in each corner of the sheet's own part, broken lines to neighbours."""
    above, below, left, right = tile.neighbours
    lines = (
        (above, 0.0, overlap, wide, overlap),
        (below, 0.0, high - overlap, wide, high - overlap),
        (left, overlap, 0.0, overlap, high),
        (right, wide - overlap, 0.0, wide - overlap, high),
    )
    for name, x1, y1, x2, y2 in lines:
        if name:
            yield svg.element(
                "line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=INK, stroke_width=_MARK,
                stroke_dasharray="1 4",
            )  # fmt: skip
    half = overlap / 2
    for x in (half, wide - half):
        for y in (half, high - half):
            path = (
                f"M{x - half:.2f} {y:.2f} H{x + half:.2f} M{x:.2f} {y - half:.2f} V{y + half:.2f}"
            )
            yield svg.element("path", d=path, fill="none", stroke=INK, stroke_width=_MARK)


def map_svg(parts: Sequence[Part], made: Tiling, size: tuple[float, float]) -> str:
    """How the sheets lie: the drawing small, the sheets that there are, by name.

    Parameters
    ----------
    parts : of the drawing
    made : its sheets
    size : of the drawing [mm]
    """
    step = (made.area[0] - made.overlap, made.area[1] - made.overlap)
    wide, high = made.columns * step[0] + made.overlap, made.rows * step[1] + made.overlap
    scale = _MAP_MM / wide
    shifted = f"scale({scale:.5f}) translate({-made.start[0]:.3f} {-made.start[1]:.3f})"
    small = svg.group(
        (
            svg.element("path", d=dict(part.drawn.attributes)["d"], fill="none", stroke=INK,
                        stroke_width=0.8 / scale)
            for part in parts
            if ("class", MIDDLE) in part.drawn.attributes
        ),
        transform=shifted,
    )  # fmt: skip
    cells = [_cell(tile, made, scale) for tile in made.tiles]
    return svg.drawing(
        [small, *cells], wide=_MAP_MM, high=high * scale, title="How the sheets lie",
        desc=", ".join(tile.name for tile in made.tiles),
    )  # fmt: skip


def _cell(tile: Tile, made: Tiling, scale: float) -> svg.Element:
    wide, high = ((each - made.overlap) * scale for each in made.area)
    x, y = tile.column * wide, tile.row * high
    frame = svg.element(
        "rect", x=x, y=y, width=wide, height=high, fill="none", stroke=INK, stroke_width=0.3
    )
    size = min(svg.fitting(tile.name, 5.0, 0.8 * wide), 0.7 * high)
    behind = svg.element(
        "rect", x=x + 0.6, y=y + 0.6, width=0.75 * size * len(tile.name), height=1.1 * size,
        fill=PAPER,
    )  # fmt: skip
    said = svg.text(tile.name, x + 1, y + 0.3 + size, font_size=size, font_weight="bold")
    return svg.group([frame, behind, said])
