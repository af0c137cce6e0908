"""The cross-section of a bundle: each wire with its number, the tape round them.

Black on white; a wire too thin for its number has it beside the section, on a line to it. The
words of `desc` give every diameter.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from loomwright.drawings import svg
from loomwright.services.bundle import BundleReport, PlacedWire

WIDE = 100.0
_MIDDLE, _RADIUS = 50.0, 34.0
_LETTERS, _LEAST_LETTERS = 4.6, 2.2
_BESIDE = 42.0
"""From the middle to the numbers that stand outside."""


def bundle_section(report: BundleReport) -> str:
    """The drawing as SVG text.

    Parameters
    ----------
    report : the bundle
    """
    times = _RADIUS / (report.diameter_mm / 2.0 + report.tape_wall_mm)
    high = 2.0 * _MIDDLE + 12.0
    words = (
        f"Packed {report.diameter_mm:.2f} mm; with tape {report.covers.taped_mm.low:.2f} mm; "
        f"drawn {times:.1f} times its size."
    )
    return svg.drawing(
        [
            *_outlines(report, times),
            *_wires(report.wires, times),
            *svg.paragraph(words, 6.0, 2.0 * _MIDDLE + 3.0, size=4.2, room=WIDE - 12.0),
        ],
        wide=WIDE,
        high=high,
        title=f"Section of a bundle of {len(report.wires)}",
        desc=f"{words} Outside diameters in mm: {_listed(report.wires)}.",
    )


def _listed(wires: Sequence[PlacedWire]) -> str:
    return ", ".join(f"{each.number}: {each.outside_mm:g}" for each in wires)


def _outlines(report: BundleReport, times: float) -> Iterator[svg.Element]:
    """The tape, and the circle that holds the wires."""
    for radius, thick, dashes in (
        (report.diameter_mm / 2.0 + report.tape_wall_mm, 0.6, ""),
        (report.diameter_mm / 2.0, 0.3, "1.6 1.2"),
    ):
        dashed = {"stroke_dasharray": dashes} if dashes else {}
        yield svg.element("circle", cx=_MIDDLE, cy=_MIDDLE, r=times * radius, fill="none",
                          stroke="#000000", stroke_width=thick, **dashed)  # fmt: skip


def _wires(wires: Sequence[PlacedWire], times: float) -> Iterator[svg.Element]:
    beside: list[PlacedWire] = []
    for each in wires:
        x, y = _at(each, times)
        radius = times * each.outside_mm / 2.0
        yield svg.element("circle", cx=x, cy=y, r=radius, fill="#ffffff", stroke="#000000",
                          stroke_width=0.4)  # fmt: skip
        size = svg.fitting(str(each.number), _LETTERS, 1.5 * radius)
        if size < _LEAST_LETTERS:
            beside.append(each)
        else:
            yield svg.text(str(each.number), x, y + 0.36 * size, font_size=size,
                           text_anchor="middle")  # fmt: skip
    yield from _beside(beside, times)


def _beside(wires: Sequence[PlacedWire], times: float) -> Iterator[svg.Element]:
    """Numbers round the section, in the order of their directions and evenly apart."""
    order = sorted(wires, key=lambda each: (math.atan2(each.y_mm, each.x_mm), each.number))
    size = min(_LETTERS, 2.0 * math.pi * _BESIDE / max(4.0 * len(order), 1.0) / svg.LETTER)
    for number, each in enumerate(order):
        turn = math.atan2(each.y_mm, each.x_mm)
        if len(order) > 1:
            turn = -math.pi + 2.0 * math.pi * (number + 0.5) / len(order)
        x, y = _at(each, times)
        far_x, far_y = math.cos(turn), -math.sin(turn)
        yield svg.element("line", x1=x, y1=y, x2=_MIDDLE + 39.0 * far_x, y2=_MIDDLE + 39.0 * far_y,
                          stroke="#000000", stroke_width=0.2)  # fmt: skip
        yield svg.text(str(each.number), _MIDDLE + _BESIDE * far_x,
                       _MIDDLE + _BESIDE * far_y + 0.36 * size, font_size=size,
                       text_anchor="middle")  # fmt: skip


def _at(each: PlacedWire, times: float) -> tuple[float, float]:
    """On paper, where y points down."""
    return _MIDDLE + times * each.x_mm, _MIDDLE - times * each.y_mm
