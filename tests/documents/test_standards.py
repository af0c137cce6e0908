"""Every paper against PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1), by pikepdf.

pikepdf (on the qpdf library) shares nothing with what sets the papers. The marks that it looks for
were taken from the standards' requirements as generally described; no validator was run here.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pikepdf
import pytest

from loomwright.documents.pack import KINDS
from loomwright.documents.typesetting import pages, pdf

SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height [mm]: ISO 216, and 8.5 x 11 in."""
WORKED = ("cover worked", "cards worked", "report worked")
KINDS_AND_SIZES = [
    *((kind, size) for kind in KINDS for size in SIZES),
    *zip(WORKED, ("letter", "a4", "a4"), strict=True),
]
every = pytest.mark.parametrize(("kind", "size"), KINDS_AND_SIZES)


def opened(press: Any, kind: str, size: str) -> list[pikepdf.Pdf]:
    found = list(press.opened(kind, size).values())
    assert found
    return found


def elements(node: Any) -> Iterator[Any]:
    """Structure elements below a node, in reading order."""
    for kid in kids(node):
        yield kid
        yield from elements(kid)


def kids(node: Any) -> list[Any]:
    below = node.get("/K")
    if below is None:
        return []
    listed = list(below) if isinstance(below, pikepdf.Array) else [below]
    return [kid for kid in listed if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]


def dictionaries(pdf: pikepdf.Pdf) -> Iterator[Any]:
    for each in pdf.objects:
        if isinstance(each, pikepdf.Dictionary | pikepdf.Stream):
            yield each


@every
def test_the_standards_are_declared(press: Any, kind: str, size: str) -> None:
    for each in opened(press, kind, size):
        with each.open_metadata(set_pikepdf_as_editor=False) as told:
            assert (told["pdfaid:part"], told["pdfaid:conformance"]) == ("2", "A")
            assert told["pdfuaid:part"] == "1"
            assert told["dc:title"]
        assert [str(intent.S) for intent in each.Root.OutputIntents] == ["/GTS_PDFA1"]


@every
def test_it_is_open_and_does_nothing_by_itself(press: Any, kind: str, size: str) -> None:
    for each in opened(press, kind, size):
        assert not each.is_encrypted
        assert "/OpenAction" not in each.Root or isinstance(each.Root.OpenAction, pikepdf.Array)
        for found in dictionaries(each):
            assert str(found.get("/S", "")) not in ("/JavaScript", "/Launch", "/SubmitForm")
            assert "/AA" not in found
        assert len(each.attachments) == 0


@every
def test_it_is_marked_for_reading_aloud(press: Any, kind: str, size: str) -> None:
    for each in opened(press, kind, size):
        assert bool(each.Root.MarkInfo.Marked)
        assert str(each.Root.Lang).startswith("en")
        assert bool(each.Root.ViewerPreferences.DisplayDocTitle)
        for page in each.pages:
            assert "/StructParents" in page.obj


@every
def test_headings_go_down_step_by_step(press: Any, kind: str, size: str) -> None:
    for each in opened(press, kind, size):
        names = [str(found.S)[1:] for found in elements(each.Root.StructTreeRoot)]
        levels = [int(name[1:]) for name in names if name[:1] == "H" and name[1:].isdigit()]
        assert levels[:1] == [1]
        assert levels.count(1) == 1
        assert all(lower - upper <= 1 for upper, lower in pairwise(levels))


@every
def test_every_figure_has_words(press: Any, kind: str, size: str) -> None:
    for each in opened(press, kind, size):
        for found in elements(each.Root.StructTreeRoot):
            if found.S == "/Figure":
                assert len(str(found.get("/Alt", "")).strip()) > 1


@every
def test_every_table_has_a_header_and_whole_rows(press: Any, kind: str, size: str) -> None:
    for each in opened(press, kind, size):
        for table in (it for it in elements(each.Root.StructTreeRoot) if it.S == "/Table"):
            rows = [it for it in elements(table) if it.S == "/TR"]
            cells = [[str(cell.S) for cell in kids(row)] for row in rows]
            assert set(cells[0]) == {"/TH"}
            assert all(row and set(row) <= {"/TH", "/TD"} for row in cells)
            assert len({sum(map(span, kids(row))) for row in rows}) == 1


def span(cell: Any) -> int:
    """Columns a cell goes over."""
    attributes = cell.get("/A", [])
    listed = attributes if isinstance(attributes, pikepdf.Array) else [attributes]
    return max([int(each.get("/ColSpan", 1)) for each in listed], default=1)


@every
def test_every_font_travels_with_it(press: Any, kind: str, size: str) -> None:
    for each in opened(press, kind, size):
        described = [found for found in dictionaries(each) if "/FontName" in found]
        assert described
        for font in described:
            assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(font.keys())
        fonts = [found for found in dictionaries(each) if found.get("/Type") == "/Font"]
        assert all("/ToUnicode" in font for font in fonts if font.Subtype == "/Type0")


@every
def test_the_sheet_is_as_large_as_asked(press: Any, kind: str, size: str) -> None:
    for each in opened(press, kind, size):
        for page in each.pages:
            box = [float(edge) * 25.4 / 72 for edge in page.mediabox]
            # The sheets of a board may lie on their long side.
            held = sorted(box) if kind == "board" else box
            assert held == pytest.approx([0, 0, *SIZES[size]], abs=0.01)


@every
def test_pages_are_counted(press: Any, kind: str, size: str) -> None:
    contents = press.content(kind, size)
    for name, each in press.opened(kind, size).items():
        assert pages(contents[name]) == len(each.pages) >= 1


@pytest.mark.parametrize("kind", [*KINDS, "report worked"])
def test_the_same_gives_the_same_bytes(press: Any, kind: str) -> None:
    for paper in press.papers(kind):
        assert pdf(paper) == press.content(kind, "a4")[paper.name]
