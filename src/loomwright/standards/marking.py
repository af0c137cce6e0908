"""What names are put on: sheets of labels by their dimensions, and heat-shrink tubes."""

from __future__ import annotations

from functools import cache

import attrs

from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class LabelSheet(Sourced):
    """A sheet of labels, cut beforehand, known by its dimensions alone.

    Attributes
    ----------
    paper : `a4` or `letter`
    columns, rows : labels across and down
    label_width_mm, label_height_mm : of one label
    left_mm, top_mm : from the edges of the sheet to the first label
    across_mm, down_mm : from one label to the next
    use : what is usually stuck on it, `plugs` or `wires` or both
    """

    paper: str
    columns: int
    rows: int
    label_width_mm: float
    label_height_mm: float
    left_mm: float
    top_mm: float
    across_mm: float
    down_mm: float
    use: tuple[str, ...]

    @property
    def name(self) -> str:
        """Labels across and down: `3x7`."""
        return f"{self.columns}x{self.rows}"

    @property
    def gap_across_mm(self) -> float:
        """Between two labels side by side [mm]."""
        return self.across_mm - self.label_width_mm

    @property
    def gap_down_mm(self) -> float:
        """Between a label and the one below it [mm]."""
        return self.down_mm - self.label_height_mm


@attrs.frozen(kw_only=True)
class ShrinkTube(Sourced):
    """A heat-shrink tube.

    Attributes
    ----------
    supplied_mm, recovered_mm : inside diameter before, and after it has shrunk freely
    """

    supplied_mm: float
    recovered_mm: float


@cache
def label_sheets() -> tuple[LabelSheet, ...]:
    """All sheets, those most used first."""
    return tuple(
        LabelSheet(
            paper=row.text("paper"),
            columns=row.whole("columns"),
            rows=row.whole("rows"),
            label_width_mm=row.number("label_width_mm"),
            label_height_mm=row.number("label_height_mm"),
            left_mm=row.number("left_mm"),
            top_mm=row.number("top_mm"),
            across_mm=row.number("across_mm"),
            down_mm=row.number("down_mm"),
            use=row.words("use"),
            **sourced(row),
        )
        for row in rows("label_sheets")
    )


def label_sheet(paper: str, use: str, *, name: str = "") -> LabelSheet:
    """The sheet of that name on that paper, or the most usual one for that use.

    Raises
    ------
    NotFound : there is none
    """
    for sheet in label_sheets():
        if sheet.paper == paper and (sheet.name == name if name else use in sheet.use):
            return sheet
    wanted = f"{paper} {name or use}"
    known = (f"{each.paper} {each.name}" for each in label_sheets())
    raise not_found("sheet of labels", wanted, known, where="label_sheets")


@cache
def shrink_tubes() -> tuple[ShrinkTube, ...]:
    """All tubes, the smallest first."""
    found = (
        ShrinkTube(
            supplied_mm=row.number("supplied_mm"),
            recovered_mm=row.number("recovered_mm"),
            **sourced(row),
        )
        for row in rows("shrink_tubes")
    )
    return tuple(sorted(found, key=lambda tube: tube.supplied_mm))
