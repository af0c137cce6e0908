"""A board on paper, 1 : 1: sheets to stick together, each with a bar to measure; one long sheet."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.documents.typesetting import Context, Paper
from loomwright.drawings.board import board_parts, board_size, board_svg, board_words
from loomwright.drawings.board_tiles import Tiling, map_svg, tile_svg, tiling
from loomwright.loom import Job, NotFound
from loomwright.loom.errors import OutOfRange
from loomwright.services.board import Board, BoardReport, size_words
from loomwright.services.counting import counted
from loomwright.services.workup import WorkUp

SHEETS = {"a4": (297.0, 210.0), "a3": (420.0, 297.0), "letter": (279.4, 215.9)}
"""Long and short side of the sheets a board can be cut into [mm]."""
SHEET_WORDS = {"a4": "A4", "a3": "A3", "letter": "US Letter"}
BAR_MM = 200.0
"""Length of the bar on every sheet [mm]."""
MOST_LONG_MM = 5000.0
"""Longest sheet that a PDF reader must be able to show (ISO 32000-1, annex C: 14 400 units)."""
_MARGIN, _STRIP = 8.0, 15.0
_LEAST_BAR, _MOST_BAR = 190.0, 210.0


@attrs.frozen(kw_only=True)
class SheetOf:
    """One sheet of the board.

    Attributes
    ----------
    name : such as B3
    picture : file of its drawing
    alt : the same in words
    beside : which sheets it meets, in words
    """

    name: str
    picture: str
    alt: str
    beside: str


@attrs.frozen(kw_only=True)
class Cut:
    """A board cut for one size of paper.

    Attributes
    ----------
    paper : its name in words
    wide, high : of the paper as it is held [mm]
    left, top : from its edges to the drawing [mm]
    area_wide, area_high : of the drawing on it [mm]
    strip : height of the strip with the bar, on the long side [mm]
    lying : whether the paper lies on its long side
    bar : length of the bar as it is sent to the printer [mm]
    sheets : row by row
    map : file of the drawing of how they lie
    map_alt : the same in words
    """

    paper: str
    wide: float
    high: float
    left: float
    top: float
    area_wide: float
    area_high: float
    strip: float
    lying: bool
    bar: float
    sheets: tuple[SheetOf, ...]
    map: str
    map_alt: str


@attrs.frozen(kw_only=True)
class BoardSheets(Context):
    """What the template `board` is given.

    Attributes
    ----------
    size_words : how large the board is
    cuts : by name of the paper
    how : how it is printed and put together, step by step
    cautions : what spoils it
    notes : what is not known
    scaled : that the print is scaled, and by how much; empty where it is not
    """

    size_words: str
    cuts: dict[str, Cut]
    how: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    scaled: str


@attrs.frozen(kw_only=True)
class LongBoard(Context):
    """What the template `board-long` is given.

    Attributes
    ----------
    wide, high : of the sheet [mm]
    shown : width of the drawing as it is sent to the printer [mm]
    picture : file of the drawing
    alt : the same in words
    """

    wide: float
    high: float
    shown: float
    picture: str
    alt: str


def board_papers(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The boards of a job on A4 and Letter; none where the job has no branches."""
    if known.job.branches:
        report = known.board
        for each in report.boards:
            yield board_sheets(known.job, report, each, made_on=made_on, papers=("a4", "letter"))


def board_sheets(
    job: Job,
    report: BoardReport,
    each: Board,
    *,
    made_on: str,
    papers: tuple[str, ...] = ("a4",),
    printed_bar: float | None = None,
) -> Paper:
    """A board cut into sheets.

    Parameters
    ----------
    job : the job
    report : its boards
    each : one of them
    made_on : the day, ISO 8601
    papers : names of sizes, each cut by itself
    printed_bar : what the bar of an earlier print measured [mm]

    Raises
    ------
    NotFound
        when there is no such size.
    OutOfRange
        when a printer cannot be so far out.
    """
    scale = scale_for(printed_bar)
    pictures: dict[str, str] = {}
    cuts = {name: _cut(report, each, name, scale, pictures) for name in papers}
    return Paper(
        name=f"board-{each.number}",
        template="board",
        context=BoardSheets(
            **_headed(job, each, report, made_on),
            size_words=size_words(each),
            cuts=cuts,
            how=_how(report.overlap_mm),
            cautions=CAUTIONS,
            notes=each.notes,
            scaled=_scaled(printed_bar, scale),
        ),
        pictures=pictures,
    )


def long_board(
    job: Job, report: BoardReport, each: Board, *, made_on: str, printed_bar: float | None = None
) -> Paper:
    """A board as one sheet of its size, for a plotter; parameters as of `board_sheets`.

    Raises
    ------
    OutOfRange
        when it is longer than a PDF may be, or a printer cannot be so far out.
    """
    scale = scale_for(printed_bar)
    wide, high = (scale * size for size in board_size(report, each))
    if max(wide, high) > MOST_LONG_MM:
        raise OutOfRange(
            f"board {each.number} is {max(wide, high):.0f} mm long, longer than one sheet of "
            f"{MOST_LONG_MM:g} mm",
            where="long",
            expected="print it sheet by sheet, or take the DXF file to the plotter",
        )
    name = f"board-{each.number}.svg"
    return Paper(
        name=f"board-{each.number}-long",
        template="board-long",
        context=LongBoard(
            **_headed(job, each, report, made_on), wide=round(wide, 3), high=round(high, 3),
            shown=round(wide, 3), picture=name, alt=board_words(each),
        ),
        pictures={name: board_svg(report, each)},
    )  # fmt: skip


def scale_for(printed_bar: float | None) -> float:
    """How much larger a print must be sent so that its bar measures 200 mm.

    Raises
    ------
    OutOfRange
        when a printer cannot be so far out.

    Examples
    --------
    >>> round(scale_for(199.2), 5)
    1.00402
    """
    if printed_bar is None:
        return 1.0
    if not _LEAST_BAR <= printed_bar <= _MOST_BAR:
        raise OutOfRange(
            f"a bar of {printed_bar:g} mm is not what a printer at 100 % makes of {BAR_MM:g} mm",
            where="printed-bar",
            expected=f"print at 100 %, then give what the bar measures, {_LEAST_BAR:g} to "
            f"{_MOST_BAR:g} mm",
        )
    return BAR_MM / printed_bar


def check_sheet(name: str) -> None:
    """See that a board can be cut into such sheets.

    Raises
    ------
    NotFound
        when it cannot.
    """
    if name not in SHEETS:
        raise NotFound(
            f'there is no sheet "{name}"', where="size", expected=f"give {' or '.join(SHEETS)}"
        )


def _headed(job: Job, each: Board, report: BoardReport, made_on: str) -> dict[str, str]:
    """The fields of `Context`."""
    return {
        "title": f"Board {each.number} of {report.pieces}, 1 : 1",
        "job": job.about.title,
        "vehicle": job.about.vehicle or "",
        "made_on": made_on,
    }


def _cut(
    report: BoardReport, each: Board, paper: str, scale: float, pictures: dict[str, str]
) -> Cut:
    check_sheet(paper)
    long, short = SHEETS[paper]
    along, across = long - 2 * _MARGIN, short - 2 * _MARGIN - _STRIP
    parts, size = board_parts(report, each), board_size(report, each)
    made = tiling(
        parts, size, areas=[(along / scale, across / scale), (across / scale, along / scale)],
        overlap=report.overlap_mm,
    )  # fmt: skip
    lying = made.area[0] >= made.area[1]
    map_name = f"{paper}-map.svg"
    pictures[map_name] = map_svg(parts, made, size)
    for tile in made.tiles:
        pictures[f"{paper}-{tile.name}.svg"] = tile_svg(parts, tile, made.overlap)
    return Cut(
        paper=SHEET_WORDS[paper],
        wide=long if lying else short,
        high=short if lying else long,
        left=_MARGIN,
        top=_MARGIN,
        area_wide=along if lying else across,
        area_high=across if lying else along,
        strip=_STRIP,
        lying=lying,
        bar=BAR_MM * scale,
        sheets=tuple(_sheets(made, paper)),
        map=map_name,
        map_alt=f"{counted(len(made.tiles), 'sheet')} in {counted(made.rows, 'row')}: "
        + ", ".join(tile.name for tile in made.tiles),
    )


def _sheets(made: Tiling, paper: str) -> Iterator[SheetOf]:
    for tile in made.tiles:
        sides = zip(("above", "below", "left", "right"), tile.neighbours, strict=True)
        beside = ", ".join(f"{name} {side}" for side, name in sides if name)
        yield SheetOf(
            name=tile.name,
            picture=f"{paper}-{tile.name}.svg",
            alt=f"Sheet {tile.name} of the board",
            beside=beside or "none",
        )


def _how(overlap_mm: float) -> tuple[str, ...]:
    return (
        'Print at 100 %, "actual size", never "fit to page". Print one sheet first and measure its '
        "bar with a steel rule: it must be 200 mm. If it is not, print again with what it measures "
        "(--printed-bar 199.2), which scales length and width alike.",
        "Measure the bar on every sheet and write down what it is; throw away a sheet that is out "
        "by more than 0.5 mm: over 2.5 m that is more than 6 mm.",
        f"Sheets overlap by {overlap_mm:g} mm. Cut one of two along its broken line, lay it on the "
        "other so that the corner crosses meet, and stick them together; hold a long rule along a "
        "branch that runs over several sheets.",
        "Measure the longest branch on the finished board against its length written beside it.",
    )


CAUTIONS = (
    "Pegs are nails or screws of 40 to 60 mm that stand up: wear eye protection when you drive "
    "them, and cover them when nobody works at the board.",
    "A board is as right as the lengths written down. Hold it against the old loom and the car "
    "before a wire is cut.",
)


def _scaled(printed_bar: float | None, scale: float) -> str:
    if printed_bar is None:
        return ""
    return (
        f"Scaled by {scale:.4f} in length and width, as the bar of an earlier print measured "
        f"{printed_bar:g} mm."
    )
