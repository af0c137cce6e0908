"""The boards of a new loom: how they look, and files to print, to plot and to draw by."""

from __future__ import annotations

from datetime import date

import attrs
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from loomwright.documents.board import (
    BAR_MM,
    CAUTIONS,
    SHEET_WORDS,
    board_sheets,
    check_sheet,
    long_board,
    scale_for,
)
from loomwright.documents.typesetting import pdf
from loomwright.drawings.board import board_size, board_svg, board_words
from loomwright.loom import InputProblems, Job, NotFound
from loomwright.loom.errors import LoomwrightError, OutOfRange
from loomwright.services.board import Board, BoardReport, size_words
from loomwright.services.board_shapes import shapes
from loomwright.services.words import sentence
from loomwright.storage.dxf_file import dxf
from loomwright.workshop.forms import Choice, Field
from loomwright.workshop.pages.new_loom import HERE, no_loom
from loomwright.workshop.pages.not_yet import too_early
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.pages.photo import DRAWING_POLICY
from loomwright.workshop.results import worked_up

_PDF, _SVG = "application/pdf", "image/svg+xml"


@attrs.frozen(kw_only=True)
class BoardCard:
    """The board of one piece.

    Attributes
    ----------
    number : of the piece
    size : how large it is, in words
    words : what is to be seen on it
    wide, high : of the drawing, whole millimetres
    picture, svg, long, dxf, sheets : addresses of its files
    notes : what is not known, and whether it is wider than the table
    """

    number: int
    size: str
    words: str
    wide: int
    high: int
    picture: str
    svg: str
    long: str
    dxf: str
    sheets: str
    notes: tuple[str, ...]


@page("board.html")
@attrs.frozen(kw_only=True)
class BoardPage:
    """The boards of a job."""

    boards: tuple[BoardCard, ...] = told("A board for each piece of the loom")
    size: Field = told("The paper the sheets are for")
    bar: Field = told("What the bar of an earlier print measured")
    cautions: tuple[str, ...] = told("What can hurt, and what spoils it")
    refused: bool = told("Whether the sheets asked for cannot be made")


@attrs.frozen(kw_only=True)
class _Sheets:
    """What is asked of the sheets, as it was typed."""

    size: str = "a4"
    bar: str = ""

    def problems(self) -> dict[str, str]:
        """What is wrong with it, by field."""
        found = {}
        try:
            check_sheet(self.size)
        except NotFound as wrong:
            found["size"] = _beside(wrong)
        try:
            scale_for(self.bar_mm())
        except OutOfRange as wrong:
            found["bar"] = _beside(wrong)
        return found

    def bar_mm(self) -> float | None:
        """What the bar measured [mm]; None where nothing was typed."""
        if not self.bar.strip():
            return None
        try:
            return float(self.bar.strip().replace(",", ".", 1))
        except ValueError:
            what = f'"{self.bar[:40]}" is not a number'
            raise OutOfRange(what, expected="give millimetres, such as 199.2") from None


def _beside(wrong: LoomwrightError) -> str:
    return f"{sentence(wrong.what)}. {sentence(wrong.expected)}."


def board_page(request: HttpRequest, job: str) -> HttpResponse:
    """Show the boards."""
    return _show(request, job, _Sheets())


def board_print(request: HttpRequest, job: str, piece: int) -> HttpResponse:
    """Send the sheets of a board; what cannot be made is told beside the form."""
    asked = _Sheets(size=request.GET.get("size", "a4"), bar=request.GET.get("bar", ""))
    if asked.problems():
        return _show(request, job, asked)
    whole, report, each = _board(job, piece)
    paper = board_sheets(
        whole, report, each, made_on=_today(), papers=(asked.size,), printed_bar=asked.bar_mm()
    )
    return _sent(pdf(paper), _PDF, f"{job}-{paper.name}-{asked.size}.pdf")


def board_long(request: HttpRequest, job: str, piece: int) -> HttpResponse:
    """Send a board as one long sheet."""
    paper = long_board(*_board(job, piece), made_on=_today())
    return _sent(pdf(paper), _PDF, f"{job}-{paper.name}.pdf")


def board_dxf(request: HttpRequest, job: str, piece: int) -> HttpResponse:
    """Send a board as DXF."""
    _, _, each = _board(job, piece)
    return _sent(dxf(shapes(each)), "image/vnd.dxf", f"{job}-board-{piece}.dxf")


def board_picture(request: HttpRequest, job: str, piece: int) -> HttpResponse:
    """Send a board as SVG: to look at, or to keep."""
    _, report, each = _board(job, piece)
    answer = _sent(board_svg(report, each).encode(), _SVG, f"{job}-board-{piece}.svg")
    if "keep" not in request.GET:
        answer["Content-Disposition"] = "inline"
    answer["Content-Security-Policy"] = DRAWING_POLICY
    return answer


def _board(job: str, piece: int) -> tuple[Job, BoardReport, Board]:
    """The job with one of its boards; nobody waits while that is set in type."""
    with worked_up(job) as worked:
        report = worked.results.board
    for each in report.boards:
        if each.number == piece:
            return worked.job, report, each
    raise NotFound(f"the loom has no piece {piece}", expected=f"it has {report.pieces}")


def _sent(content: bytes, kind: str, name: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=kind)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def _today() -> str:
    return date.today().isoformat()


def _show(request: HttpRequest, job: str, asked: _Sheets) -> HttpResponse:
    if early := too_early(request, job, "board", title="Board", here=HERE):
        return early
    try:
        with worked_up(job) as worked:
            report = worked.results.board
    except InputProblems as wrong:
        return no_loom(request, job, wrong.problems)
    problems = asked.problems()
    shown = BoardPage(
        boards=tuple(_card(job, report, each) for each in report.boards),
        size=_size(asked.size, problems.get("size", "")),
        bar=_bar(asked.bar, problems.get("bar", "")),
        cautions=CAUTIONS,
        refused=bool(problems),
    )
    status = 400 if problems else 200
    return show(request, shown, title="Board", job=job, here=HERE, status=status)


def _card(job: str, report: BoardReport, each: Board) -> BoardCard:
    where = [job, each.number]
    picture = reverse("board_picture", args=where)
    wide_mm, high_mm = board_size(report, each)
    wide = f"It is wider than the table of {report.width_mm:g} mm."
    return BoardCard(
        number=each.number,
        size=size_words(each),
        words=board_words(each),
        wide=round(wide_mm),
        high=round(high_mm),
        picture=picture,
        svg=f"{picture}?keep=1",
        long=reverse("board_long", args=where),
        dxf=reverse("board_dxf", args=where),
        sheets=reverse("board_print", args=where),
        notes=each.notes if each.fits_table else (wide, *each.notes),
    )


def _size(chosen: str, problem: str) -> Field:
    known = tuple(Choice(value=n, words=w, chosen=n == chosen) for n, w in SHEET_WORDS.items())
    return Field(name="size", label="Paper", kind="choice", choices=known, problem=problem)


def _bar(typed: str, problem: str) -> Field:
    return Field(
        name="bar", label="Bar of an earlier print", unit="mm", kind="number", inputmode="decimal",
        value=typed, problem=problem,
        help=f"Each sheet has a bar of {BAR_MM:g} mm. Where it measures less or more, give that, "
        "and this print puts it right. Blank for a first print.",
    )  # fmt: skip
