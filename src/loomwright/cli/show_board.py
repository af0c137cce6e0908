"""`board`: lays the loom flat, writes the drawings that were asked for, and says what they are."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import attrs

from loomwright.cli.page import Page
from loomwright.documents.board import SHEET_WORDS, board_sheets, check_sheet, long_board, scale_for
from loomwright.documents.typesetting import Paper, pages, pdf
from loomwright.drawings.board import board_svg
from loomwright.loom import Job
from loomwright.services.board import Board, BoardReport, size_words
from loomwright.services.counting import counted
from loomwright.services.ports import Papers
from loomwright.services.words import SAFETY

Dxf = Callable[[Board], bytes]


@attrs.frozen(kw_only=True)
class Asked:
    """What is to be written.

    Attributes
    ----------
    size : of the sheets
    printed_bar : what the bar of an earlier print measured [mm]; None for none
    long, dxf, svg : whether the one long sheet, the DXF file, the SVG file, too
    made_on : the day on the sheets, ISO 8601
    """

    size: str = "a4"
    printed_bar: float | None = None
    long: bool = False
    dxf: bool = False
    svg: bool = False
    made_on: str = ""


def check_asked(asked: Asked) -> None:
    """See that it can be made, before the loom is laid.

    Raises
    ------
    NotFound, OutOfRange
        when the size or the bar is none that there is.
    """
    check_sheet(asked.size)
    scale_for(asked.printed_bar)


@attrs.frozen
class Put:
    """A file that was made: where it stands, and what it is in words."""

    place: str
    what: str


def put_boards(
    job: Job, report: BoardReport, asked: Asked, papers_at: Papers, dxf: Dxf
) -> list[Put]:
    """Make every file, then put them there: nothing is put where one of them cannot be made.

    Parameters
    ----------
    job : the job
    report : its boards
    asked : what is to be written
    papers_at : where it is put
    dxf : makes the DXF file of a board
    """
    made = [file for each in report.boards for file in _files(job, report, each, asked, dxf)]
    return [Put(papers_at.put(name, content), what) for name, content, what in made]


def _files(
    job: Job, report: BoardReport, each: Board, asked: Asked, dxf: Dxf
) -> Iterator[tuple[str, bytes, str]]:
    sheets = board_sheets(
        job, report, each, made_on=asked.made_on, papers=(asked.size,),
        printed_bar=asked.printed_bar,
    )  # fmt: skip
    yield _set(sheets, lambda count: f"{counted(count - 1, 'sheet')} {SHEET_WORDS[asked.size]}")
    if asked.long:
        whole = long_board(job, report, each, made_on=asked.made_on, printed_bar=asked.printed_bar)
        yield _set(whole, lambda _: "one long sheet")
    name = f"board-{each.number}"
    if asked.dxf:
        yield f"{name}.dxf", dxf(each), "DXF in mm, a layer for each kind of thing"
    if asked.svg:
        yield f"{name}.svg", board_svg(report, each).encode(), "SVG, 1 : 1"


def _set(paper: Paper, what: Callable[[int], str]) -> tuple[str, bytes, str]:
    content = pdf(paper)
    return f"{paper.name}.pdf", content, what(pages(content))


def show_board(report: BoardReport, done: Sequence[Put]) -> None:
    """Each board with its size and what is not known; the files; what to do first."""
    page = Page()
    page.title(report.job)
    for each in report.boards:
        page.heading(f"Board {each.number} of {report.pieces}: {size_words(each)}")
        if not each.fits_table:
            page.say(f"! It is wider than the table of {report.width_mm:g} mm.")
        for note in each.notes:
            page.say(note, lead="! ")
    page.gap()
    page.say(f"Made {counted(len(done), 'file')}:")
    for put in done:
        page.out.print(f"  {put.place}: {put.what}", soft_wrap=True)
    page.gap()
    page.say(
        'Print at 100 %, never "fit to page", and measure the bar of 200 mm on the first sheet. If '
        "it measures 199.2 mm, say, print again with --printed-bar 199.2. Hold the board against "
        f"the old loom and the car before a wire is cut. {SAFETY}"
    )
