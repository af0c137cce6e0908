"""A plug's face to scale: mating face and wire side, always both, side by side."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.drawings import svg
from loomwright.drawings.cavity import EMPTY, LEAST_MM, cavity, in_words, letters
from loomwright.drawings.insulation import INK
from loomwright.drawings.shell import WALL, Box, fittings, room, shell
from loomwright.drawings.views import MATING, SEEN, View, both, warnings
from loomwright.loom import Plug, schema
from loomwright.services.draw import PlugSheet

MARGIN, BETWEEN = 8.0, 12.0
"""Round the drawing, and between the two views [mm]."""
BODY, SMALL = 2.8, 2.4
"""Sizes of letters [mm]."""
_NARROW, _ROOMY_MM, _TIGHT_MM = 8, 12.0, 10.0
_LEAST_WIDE = 150.0
_APART = 4.0  # of views that stand one above the other
_ENTRY_MM, _ROW_MM = 66.0, 4.0
_CELLS = (0.0, 8.0, 19.0, 33.0, 47.0)  # of an entry: cavity, wire, letters, section, far end
_LINE: dict[str, svg.Value] = {"stroke": INK, "stroke_width": 0.5}
NO_LATCH_OR_KEY = "Latch side and keying not recorded."
NOT_TO_SCALE = "Not to scale: pitch not written down."


def face_svg(
    sheet: PlugSheet, *, life_size: bool = False, bare: bool = False, most_mm: float = math.inf
) -> str:
    """The drawing of a plug's face, as SVG text.

    Parameters
    ----------
    sheet : the plug, the wires in its cavities, the pitch
    life_size : draw it 1 : 1 where the pitch is known, not as large as is good to read
    bare : leave out name, warnings and list of cavities, for a page that tells them itself
    most_mm : width beyond which the wire side stands below the mating face, not beside it [mm]
    """
    views = both(sheet.plug.face, sheet.plug.seen_from, latch=sheet.latch, keys=sheet.keys)
    first = views[0]
    small = life_size and sheet.to_scale
    scale = 1.0 if small else enlargement(sheet.pitch_mm, first.columns)
    cell = scale * sheet.pitch_mm
    beside, wide, stacked = _widths(first, cell, most_mm)
    deep = _above(first) + first.rows * cell + 2 * WALL + room(first, "bottom") + 5
    parts, y = ([], MARGIN) if bare else _head(sheet, wide)
    for n, view in enumerate(views):
        left = MARGIN if stacked else MARGIN + n * (beside + BETWEEN)
        top = y + n * (deep + _APART) if stacked else y
        parts.append(_view(sheet, view, corner=(left, top), cell=cell))
    y += 2 * deep + _APART if stacked else deep
    for made, high in (
        _foot(sheet, y, wide=wide, scale=scale),
        *(() if bare else _rest(sheet, views[0], wide=wide)),
    ):
        parts.append(svg.group(made, transform=f"translate(0 {svg.number(y)})"))
        y += high
    name = _name(sheet)
    on_shell = [
        f"{word} at the {side}, seen from the mating face" for word, side in fittings(first)
    ]
    return svg.drawing(
        parts, wide=wide, high=y + MARGIN - 3, title=f"{name}: both views of its face",
        desc="; ".join(
            (*on_shell, *(f"cavity {key}: {in_words(ends)}" for key, ends in sheet.wires.items()))
        ),
    )  # fmt: skip


def face_width_mm(sheet: PlugSheet, *, most_mm: float = math.inf) -> float:
    """Width at which the enlarged drawing is to the scale it says [mm]."""
    view = both(sheet.plug.face, sheet.plug.seen_from, latch=sheet.latch, keys=sheet.keys)[0]
    cell = enlargement(sheet.pitch_mm, view.columns) * sheet.pitch_mm
    return _widths(view, cell, most_mm)[1]


def _widths(view: View, cell: float, most_mm: float) -> tuple[float, float, bool]:
    """Room of one view and of the drawing [mm]; whether the views stand one above the other."""
    beside = view.columns * cell + 2 * WALL + room(view, "left") + room(view, "right")
    beside = max(beside, svg.width(SEEN[MATING], BODY) + 4)
    wide = max(math.ceil(2 * beside + BETWEEN + 2 * MARGIN), _LEAST_WIDE)
    if wide <= most_mm:
        return beside, wide, False
    return beside, max(math.ceil(beside + 2 * MARGIN), _LEAST_WIDE), True


def enlargement(pitch_mm: float, columns: int) -> float:
    """How many times life size, in halves, so that letters in a cavity can be read.

    Parameters
    ----------
    pitch_mm : from cavity to cavity [mm]
    columns : cavities side by side; a wide plug is drawn smaller, to fit a sheet
    """
    wanted = _ROOMY_MM if columns <= _NARROW else _TIGHT_MM
    return max(math.ceil(2 * wanted / pitch_mm - 1e-9) / 2, 1.0)


def _above(view: View) -> float:
    """From a view's caption to its outline [mm]."""
    return 2 * SMALL * svg.LEADING + room(view, "top")


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
    box = Box(
        x=x + room(view, "left"), y=y + _above(view),
        wide=view.columns * cell + 2 * WALL, high=view.rows * cell + 2 * WALL,
    )  # fmt: skip
    mark = f"{sheet.plug.plug}-{view.side}"
    cavities = [
        cavity(
            name, sheet.wires[name],
            corner=(box.x + WALL + column * cell, box.y + WALL + row * cell), size=cell,
            side=view.side, paint=sheet.paint, mark=f"{mark}-{name}",
        )
        for name, (column, row) in view.at.items()
    ]  # fmt: skip
    return svg.group([*caption, *shell(view, box, mark=f"{mark}-shell"), *cavities], id=mark)


def _foot(
    sheet: PlugSheet, y: float, *, wide: float, scale: float
) -> tuple[list[svg.Element], float]:
    """A bar of 10 mm and the scale where the pitch is known; what is not recorded."""
    words = " ".join((*_scale_words(sheet, wide, scale), *_shell_words(sheet.plug)))
    left, bar = MARGIN, 10.0 * scale
    drawn: list[svg.Element] = []
    if sheet.to_scale:
        drawn = [svg.element("line", x1=left, y1=0, x2=left + bar, y2=0, **_LINE)] + [
            svg.element("line", x1=end, y1=-1.2, x2=end, y2=1.2, **_LINE)
            for end in (left, left + bar)
        ]
        left += bar + 3
    said = svg.paragraph(words, left, 0.9, size=SMALL, room=wide - left - MARGIN)
    return [*drawn, *said], len(said) * SMALL * svg.LEADING + 4


def _scale_words(sheet: PlugSheet, wide: float, scale: float) -> Iterator[str]:
    """The scale and what it rests on, or that there is none."""
    pitch = f"{sheet.pitch_mm:g} mm"
    if not sheet.to_scale:
        yield f"{NOT_TO_SCALE} Drawn as for {pitch} ({sheet.pitch_from})."
        return
    life = "life size" if scale == 1 else f"scale {scale:g} : 1"
    yield (
        f"10 mm on the plug. Printed {svg.number(wide)} mm wide this is {life}, "
        f"for a pitch of {pitch} ({sheet.pitch_from}). The shell around is not to scale."
    )


def _shell_words(plug: Plug) -> Iterator[str]:
    """What is not recorded of latch and keys, and what is recorded as not there."""
    none = schema.NO_SIDE
    if plug.latch is None and not plug.keying:
        yield NO_LATCH_OR_KEY
        return
    if plug.latch is None:
        yield "Latch side not recorded."
    elif plug.latch == none:
        yield "It has no latch."
    if not plug.keying:
        yield "Keying not recorded."
    elif plug.keying == (none,):
        yield "It has no key."


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
