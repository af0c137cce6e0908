"""A board on paper: true millimetres on the printed page, sheets that make the whole again."""

from __future__ import annotations

from functools import cache
from io import BytesIO

import numpy as np
import pikepdf
import pypdfium2
import pytest

from loomwright.documents.board import SHEETS, board_sheets, long_board, scale_for
from loomwright.documents.pack import KINDS, USUAL, papers
from loomwright.documents.typesetting import Paper, pages, pdf
from loomwright.loom import Job, NotFound
from loomwright.loom.errors import OutOfRange
from loomwright.services.board import board
from loomwright.services.workup import WorkUp
from sample.boards import rows, small_job
from sample.demo import demo_job, demo_known
from sample.pdf_lines import length_of, lines_of

DAY = "2026-03-21"


def sheets(job: Job, **more: object) -> Paper:
    report = board(job)
    return board_sheets(job, report, report.boards[0], made_on=DAY, **more)  # type: ignore[arg-type]


@cache
def small(size: str = "a4", printed_bar: float | None = None) -> bytes:
    return pdf(sheets(small_job(), papers=(size,), printed_bar=printed_bar))


@cache
def whole() -> bytes:
    report = board(small_job())
    return pdf(long_board(small_job(), report, report.boards[0], made_on=DAY))


def lengths(content: bytes) -> list[float]:
    """Of every line on the sheets [mm]."""
    numbers = range(1, pages(content))
    return [length_of(line) for number in numbers for line in lines_of(content, number)]


@pytest.mark.parametrize("size", SHEETS)
def test_the_bar_on_every_sheet_is_200_mm(size: str) -> None:
    content = small(size)
    assert pages(content) > 1
    for page in range(1, pages(content)):
        bars = [line for line in lines_of(content, page) if abs(length_of(line) - 200.0) < 0.1]
        assert bars, page


def test_branches_are_as_long_on_the_paper_as_they_are() -> None:
    """Each branch of the small loom lies on some sheet; its middle line is drawn whole there."""
    content = small("a3")
    found = [
        length_of(line) for page in range(1, pages(content)) for line in lines_of(content, page)
    ]
    for long in (180.0, 130.0, 90.0):
        assert any(abs(each - long) < 0.1 for each in found), long


def test_a_printer_that_is_out_is_set_right() -> None:
    """The bar of a first print measured 199.2 mm: what is sent is larger by 200/199.2."""
    content = small("a4", 199.2)
    found = [
        length_of(line) for page in range(1, pages(content)) for line in lines_of(content, page)
    ]
    for true in (200.0, 180.0, 130.0):
        assert any(abs(each - true * 200.0 / 199.2) < 0.02 for each in found), true
    assert "199.2" in pypdfium2.PdfDocument(content)[0].get_textpage().get_text_range()


def test_the_long_sheet_is_true_too() -> None:
    found = [length_of(line) for line in lines_of(whole(), 0)]
    for long in (200.0, 180.0, 130.0, 90.0):
        assert any(abs(each - long) < 0.1 for each in found), long


def picture(content: bytes, page: int, per_mm: float) -> np.ndarray:  # type: ignore[type-arg]
    drawn = pypdfium2.PdfDocument(content)[page].render(scale=per_mm * 25.4 / 72)
    return np.asarray(drawn.to_pil().convert("L")) < 128


def test_sheets_put_together_are_the_long_sheet() -> None:
    """At 4 dots a mm, a dot of play: all that the long sheet shows stands on the sheets."""
    per_mm = 4.0
    report = board(small_job())
    made = sheets(small_job(), papers=("a4",))
    cut = made.context.cuts["a4"]  # type: ignore[attr-defined]
    content = pdf(made)
    long = picture(whole(), 0, per_mm)
    joined = np.zeros((long.shape[0] + 2400, long.shape[1] + 2400), dtype=bool)
    for page, (sheet, tile) in enumerate(
        zip(cut.sheets, _tiles(report, cut), strict=True), start=1
    ):
        assert sheet.name == tile.name
        shown = picture(content, page, per_mm)
        left, top = round(cut.left * per_mm), round(cut.top * per_mm)
        wide, high = round(cut.area_wide * per_mm), round(cut.area_high * per_mm)
        shown = shown[top : top + high, left : left + wide]
        x, y = (round(each * per_mm) + 1200 for each in tile.rect[:2])
        joined[y : y + shown.shape[0], x : x + shown.shape[1]] |= shown
    joined = joined[1200:, 1200:]
    near = np.zeros_like(long)
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            near |= np.roll(joined, (dy, dx), (0, 1))[: long.shape[0], : long.shape[1]]
    assert long.sum() > 5000
    assert (long & ~near).sum() / long.sum() < 0.002


def _tiles(report, cut):  # type: ignore[no-untyped-def]
    from loomwright.drawings.board import board_parts, board_size
    from loomwright.drawings.board_tiles import tiling

    each = report.boards[0]
    area = (cut.area_wide, cut.area_high)
    areas = [area, area[::-1]] if cut.lying else [area[::-1], area]
    return tiling(
        board_parts(report, each), board_size(report, each), areas=areas, overlap=report.overlap_mm
    ).tiles


def test_the_demo_stays_small_and_can_be_kept() -> None:
    report = board(demo_job())
    made = board_sheets(demo_job(), report, report.boards[0], made_on=DAY, papers=("a4",))
    content = pdf(made)
    assert len(content) < 2_000_000
    cut = made.context.cuts["a4"]  # type: ignore[attr-defined]
    assert pages(content) == len(cut.sheets) + 1
    assert len(cut.sheets) < 60
    with pikepdf.open(BytesIO(content)) as opened:
        assert opened.open_metadata()["pdfaid:part"] == "2"


def test_the_board_is_made_only_where_it_is_asked_for() -> None:
    assert KINDS["board"].new_loom
    assert "board" not in USUAL
    names = [paper.name for paper in papers(demo_known(), only=["board"], made_on=DAY)]
    assert names == ["board-1", "board-2"]


def test_the_pack_has_it_on_both_its_papers() -> None:
    (made,) = KINDS["board"].papers(WorkUp(small_job()), DAY)
    for size in ("a4", "letter"):
        with pikepdf.open(BytesIO(pdf(made, size=size))) as opened:
            sides = sorted(float(each) * 25.4 / 72 for each in list(opened.pages[1].mediabox)[2:])
        assert sides == pytest.approx(sorted(SHEETS[size]), abs=0.1)


def test_a_job_without_branches_gives_none() -> None:
    assert list(KINDS["board"].papers(WorkUp(Job(about=small_job().about)), DAY)) == []


@pytest.mark.parametrize("bar", [180.0, 0.0, float("nan"), 1992.0])
def test_a_bar_that_no_printer_makes_is_refused(bar: float) -> None:
    with pytest.raises(OutOfRange, match="printed-bar"):
        scale_for(bar)


def test_a_board_too_long_for_one_sheet_is_refused_with_what_to_do() -> None:
    job = Job(about=small_job().about, branches=rows(("a", "b", 9000.0)))
    report = board(job, width_mm=12000.0)
    with pytest.raises(OutOfRange, match="longer than one sheet of 5000 mm"):
        long_board(job, report, report.boards[0], made_on=DAY)


def test_an_unknown_sheet_is_refused() -> None:
    with pytest.raises(NotFound, match="a4 or a3 or letter"):
        sheets(small_job(), papers=("a5",))
