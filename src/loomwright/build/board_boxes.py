"""Boxes that stand in rows, apart from the places they belong to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from loomwright.build.board_layout import Box

Size = tuple[float, float]
"""Wide and high [mm]."""

_GAP_MM = 20.0


def rows(
    boxes: Mapping[str, Sequence[Size]], *, left: float, top: float, width: float
) -> Iterator[Box]:
    """Boxes side by side, in as many rows as they need.

    Parameters
    ----------
    boxes : sizes by place; the narrowest is taken [mm]
    left, top : where they begin [mm]
    width : room for a row [mm]
    """
    x, deep = left, 0.0
    for place, sizes in boxes.items():
        wide, high = min(sizes)
        if x > left and x + wide > left + width:
            x, top, deep = left, top + deep + _GAP_MM, 0.0
        yield Box(place, x, top, wide, high)
        x, deep = x + wide + _GAP_MM, max(deep, high)
