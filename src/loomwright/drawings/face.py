"""A plug's face to scale: mating face and wire side, always both, side by side."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.drawings import svg
from loomwright.drawings.cavity import EMPTY, LEAST_MM, cavity, in_words, letters
from loomwright.drawings.insulation import INK, PAPER
from loomwright.drawings.views import MATING, SEEN, View, both, warnings
from loomwright.services.draw import PlugSheet

MARGIN, BETWEEN = 8.0, 12.0
"""Round the drawing, and between the two views [mm]."""
BODY, SMALL = 2.8, 2.4
"""Sizes of letters [mm]."""
_NARROW, _ROOMY_MM, _TIGHT_MM = 8, 12.0, 10.0
_LEAST_WIDE = 150.0
_WALL = 3.0  # from the cavities to the shell's outline
_ENTRY_MM, _ROW_MM = 66.0, 4.0
_CELLS = (0.0, 8.0, 19.0, 33.0, 47.0)  # of an entry: cavity, wire, letters, section, far end
LATCH = "Latch side and keying not recorded."


def face_svg(sheet: PlugSheet) -> str:
    """The drawing of a plug's face, as SVG text.

    Parameters
    ----------
    sheet : the plug, the wires in its cavities, the pitch
    """
    views = both(sheet.plug.face, sheet.plug.seen_from)
    scale = enlargement(sheet.pitch_mm, views[0].columns)
    cell = scale * sheet.pitch_mm
    room = max(views[0].columns * cell + 2 * _WALL, svg.width(SEEN[MATING], BODY) + 4)
    wide = max(2 * room + BETWEEN + 2 * MARGIN, _LEAST_WIDE)
    parts, y = _head(sheet, wide)
    for n, view in enumerate(views):
        left = MARGIN + n * (room + BETWEEN)
        parts.append(_view(sheet, view, corner=(left, y), cell=cell))
    y += 2 * SMALL * svg.LEADING + views[0].rows * cell + 2 * _WALL + 5
    for made, high in (
        _foot(sheet, y, wide=wide, scale=scale),
        *_rest(sheet, views[0], wide=wide),
    ):
        parts.append(svg.group(made, transform=f"translate(0 {svg.number(y)})"))
        y += high
    name = _name(sheet)
    return svg.drawing(
        parts, wide=wide, high=y + MARGIN - 3, title=f"{name}: both views of its face",
        desc="; ".join(f"cavity {key}: {in_words(ends)}" for key, ends in sheet.wires.items()),
    )  # fmt: skip


def enlargement(pitch_mm: float, columns: int) -> float:
    """How many times life size, in halves, so that letters in a cavity can be read.

    Parameters
    ----------
    pitch_mm : from cavity to cavity [mm]
    columns : cavities side by side; a wide plug is drawn smaller, to fit a sheet
    """
    wanted = _ROOMY_MM if columns <= _NARROW else _TIGHT_MM
    return max(math.ceil(2 * wanted / pitch_mm - 1e-9) / 2, 1.0)


def _name(sheet: PlugSheet) -> str:
    label = f" ({sheet.plug.label})" if sheet.plug.label else ""
    return f"Plug {sheet.plug.plug}{label}"


def _head(sheet: PlugSheet, wide: float) -> tuple[list[svg.Element], float]:
    """Name, and what is known of the plug; where the views begin."""
    plug, room = sheet.plug, wide - 2 * MARGIN
    known = [
        f"mates with {plug.mates_with}" if plug.mates_with else "mates with nothing recorded",
        f"place: {plug.place}" if plug.place else "",
        f"terminals: {plug.terminal}" if plug.terminal else "",
        f"lock: {plug.lock}" if plug.lock else "",
    ]
    title = svg.paragraph(_name(sheet), MARGIN, MARGIN + 4, size=4.2, room=room, font_weight="bold")
    y = MARGIN + 4 + len(title) * 4.2 * svg.LEADING
    below = svg.paragraph(
        "; ".join(filter(None, (sheet.job, *known))), MARGIN, y - 1, size=SMALL, room=room
    )
    return [*title, *below], y + len(below) * SMALL * svg.LEADING + 3


def _view(sheet: PlugSheet, view: View, *, corner: tuple[float, float], cell: float) -> svg.Element:
    """One side: its caption, its shell, its cavities."""
    x, y = corner
    recorded = "as recorded" if view.side == sheet.plug.seen_from else "turned from the record"
    caption = [
        svg.text(SEEN[view.side].capitalize(), x, y, font_size=BODY, font_weight="bold"),
        svg.text(recorded, x, y + SMALL * svg.LEADING, font_size=SMALL),
    ]
    top = y + 2 * SMALL * svg.LEADING
    wide, high = view.columns * cell + 2 * _WALL, view.rows * cell + 2 * _WALL
    cavities = [
        cavity(
            name, sheet.wires[name],
            corner=(x + _WALL + column * cell, top + _WALL + row * cell), size=cell,
            side=view.side, paint=sheet.paint, mark=f"{sheet.plug.plug}-{view.side}-{name}",
        )
        for name, (column, row) in view.at.items()
    ]  # fmt: skip
    return svg.group(
        [*caption, *_shell(x, top, wide=wide, high=high, side=view.side), *cavities],
        id=f"{sheet.plug.plug}-{view.side}",
    )


def _shell(x: float, y: float, *, wide: float, high: float, side: str) -> Iterator[svg.Element]:
    """The outline: double for the mating face with its collar, broken for the wire side."""
    line: dict[str, svg.Value] = {"fill": PAPER, "stroke": INK, "stroke_width": 0.5}
    box: dict[str, svg.Value] = {"x": x, "y": y, "width": wide, "height": high, "rx": 2}
    if side == MATING:
        yield svg.element("rect", **box, **line)
        yield svg.element(
            "rect", x=x + 1.2, y=y + 1.2, width=wide - 2.4, height=high - 2.4, rx=1.2, **line
        )
    else:
        yield svg.element("rect", **box, **line, stroke_dasharray="3 1.2")


def _foot(
    sheet: PlugSheet, y: float, *, wide: float, scale: float
) -> tuple[list[svg.Element], float]:
    """A bar of 10 mm, the scale in words, what is not recorded."""
    bar = 10.0 * scale
    words = (
        f"10 mm on the plug. Scale {scale:g} : 1 for a pitch of {sheet.pitch_mm:g} mm "
        f"({sheet.pitch_from}). {LATCH}"
    )
    drawn = [
        svg.element("line", x1=MARGIN, y1=0, x2=MARGIN + bar, y2=0, stroke=INK, stroke_width=0.5)
    ]
    drawn += [
        svg.element("line", x1=end, y1=-1.2, x2=end, y2=1.2, stroke=INK, stroke_width=0.5)
        for end in (MARGIN, MARGIN + bar)
    ]
    left = MARGIN + bar + 3
    said = svg.paragraph(words, left, 0.9, size=SMALL, room=wide - left - MARGIN)
    return [*drawn, *said], len(said) * SMALL * svg.LEADING + 4


def _rest(
    sheet: PlugSheet, view: View, *, wide: float
) -> Iterator[tuple[list[svg.Element], float]]:
    """Warnings, then the list of cavities; each with its height [mm]."""
    marks = {name: " ".join(map(letters, ends)) for name, ends in sheet.wires.items()}
    for words in warnings(view, marks):
        said = svg.paragraph(
            f"! {words}", MARGIN, 0, size=BODY, room=wide - 2 * MARGIN, class_="warning"
        )
        yield said, len(said) * BODY * svg.LEADING + 0.6
    rows = [
        (name, end.wire, letters(end), _section(end.section_mm2), f"to {end.far_end}")
        for name, ends in sheet.wires.items()
        for end in ends
    ]
    rows += [(name, EMPTY, "", "", "") for name, ends in sheet.wires.items() if not ends]
    columns = max(int((wide - 2 * MARGIN) / _ENTRY_MM), 1)
    deep = math.ceil(len(rows) / columns)
    made = [
        _entry(row, MARGIN + _ENTRY_MM * (n // deep), 4 + _ROW_MM * (n % deep))
        for n, row in enumerate(rows)
    ]
    yield made, 4 + _ROW_MM * deep


def _section(mm2: float | None) -> str:
    return "" if mm2 is None else f"{mm2:g} mm²"


def _entry(row: tuple[str, ...], x: float, y: float) -> svg.Element:
    """A line of the list: cavity, wire, letters, section, far end."""
    ends = (*_CELLS[1:], _ENTRY_MM)
    cells = []
    for words, begin, end in zip(row, _CELLS, ends, strict=True):
        room = end - begin - 1
        size = max(svg.fitting(words, SMALL, room), LEAST_MM)
        weight = "bold" if begin == 0 else "normal"
        cut = svg.shortened(words, size, room)
        cells.append(svg.text(cut, x + begin, y, font_size=size, font_weight=weight))
    return svg.group((cell for cell in cells if cell.children != ("",)), class_="entry")
