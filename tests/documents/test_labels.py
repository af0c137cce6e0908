"""Labels: codes read back from the printed page, places on the sheet, poor jobs."""

from __future__ import annotations

from collections import Counter
from io import BytesIO
from typing import Any

import attrs
import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader

from loomwright.documents.labels import labels
from loomwright.documents.typesetting import Paper, pdf
from loomwright.drawings.qr_code import qr
from loomwright.loom import About, Job
from loomwright.services.workup import WorkUp

DOTS_PER_MM = 8
DAY = "2026-03-21"
# Label sheets as sold [mm]: first label's left and top, step across and down, columns, rows
CUT = {
    ("labels-plugs", "a4"): (7.21, 15.15, 66.04, 38.1, 3, 7),
    ("labels-wires", "a4"): (4.75, 10.7, 40.6, 21.2, 5, 13),
    ("labels-plugs", "letter"): (4.7625, 12.7, 69.85, 25.4, 3, 10),
    ("labels-wires", "letter"): (4.7625, 12.7, 69.85, 25.4, 3, 10),
}


def made(job: Job) -> dict[str, Paper]:
    return {paper.name: paper for paper in labels(WorkUp(job), DAY)}


def read_codes(content: bytes) -> list[list[tuple[str, float, float]]]:
    """Text and middle [mm] of every code, page by page, by renderer and reader not ours."""
    found = []
    for page in pypdfium2.PdfDocument(content):
        picture = page.render(scale=DOTS_PER_MM * 25.4 / 72).to_pil().convert("L")
        codes = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
        found.append([(code.text, *middle(code.position)) for code in codes])
    return found


def middle(position: Any) -> tuple[float, float]:
    x = (position.top_left.x + position.bottom_right.x) / 2
    y = (position.top_left.y + position.bottom_right.y) / 2
    return x / DOTS_PER_MM, y / DOTS_PER_MM


@pytest.mark.parametrize(("name", "size"), CUT)
def test_every_code_is_read_back_from_its_own_label(name: str, size: str, press: Any) -> None:
    left, top, across, down, columns, rows = CUT[name, size]
    wanted = [each.code for each in press_paper(press, name).context.labels]
    first, *sheets = read_codes(press.content("labels", size)[name])
    assert first == []
    assert len(sheets) == -(-len(wanted) // (columns * rows))
    found = {}
    for number, sheet in enumerate(sheets):
        for text, x, y in sheet:
            column, row = int((x - left) // across), int((y - top) // down)
            found[number * columns * rows + row * columns + column] = text
    assert [found[place] for place in sorted(found)] == wanted
    assert sorted(found) == list(range(len(wanted)))


def test_a_named_sheet_is_taken_where_the_paper_has_it(press: Any) -> None:
    known = attrs.evolve(press.known, label_sheet="3x8")
    plugs = next(labels(known, DAY))
    assert (plugs.context.cuts["a4"].width, plugs.context.cuts["a4"].height) == (70, 37)
    assert plugs.context.cuts["letter"] == press_paper(press, "labels-plugs").context.cuts["letter"]
    _, sheet, *_ = read_codes(pdf(plugs))
    assert len(sheet) == min(24, len(plugs.context.labels))
    places = [(int(x // 70), int((y - 0.5) // 37)) for _, x, y in sheet]
    assert len(set(places)) == len(sheet)


def press_paper(press: Any, name: str) -> Paper:
    return next(paper for paper in press.papers("labels") if paper.name == name)


def test_both_ends_of_every_wire_are_told_apart(press: Any) -> None:
    labelled = press_paper(press, "labels-wires").context.labels
    wires = {wire.wire: wire for wire in press.known.job.wires}
    assert Counter(each.name for each in labelled) == dict.fromkeys(wires, 2)
    ends = {(each.name, each.lines[0], each.lines[1]) for each in labelled}
    wire = wires["W32"]
    assert ("W32", f"here {wire.from_point}", f"to {wire.to_point}") in ends
    assert ("W32", f"here {wire.to_point}", f"to {wire.from_point}") in ends


def test_a_strip_says_the_same_twice(press: Any) -> None:
    text = "".join(page.extract_text() for page in read(press, "labels-strips").pages)
    flat = " ".join(text.split())
    wire = next(wire for wire in press.known.job.wires if wire.wire == "W32")
    for here, there in (
        (wire.from_point, wire.to_point),
        (wire.to_point, wire.from_point),
    ):
        assert flat.count(f"W32 at {here}, to {there} {wire.colour}") == 2


def read(press: Any, name: str) -> PdfReader:
    return PdfReader(BytesIO(press.content("labels", "a4")[name]))


def test_a_sheet_tells_first_how_it_is_printed(press: Any) -> None:
    reader = read(press, "labels-plugs")
    first = " ".join(reader.pages[0].extract_text().split())
    assert first.index("Plug labels") < first.index("How to print") < first.index("100 mm")
    assert "A4, 3 across and 7 down, each 63.5 × 38.1 mm" in first
    assert "Plug labels" not in reader.pages[1].extract_text()


@pytest.mark.parametrize("text", ["Tarn 2300|TE", "Ö 1,5 Ω|W1", "x" * 24 + "|" + "y" * 40])
def test_any_text_comes_back(text: str, press: Any) -> None:
    paper = press_paper(press, "labels-plugs")
    label = attrs.evolve(paper.context.labels[0], code=text, picture="one.svg")
    one = attrs.evolve(
        paper,
        context=attrs.evolve(paper.context, labels=(label,)),
        pictures={"one.svg": qr(text)},
    )
    assert [code[0] for code in read_codes(pdf(one))[1]] == [text]


def test_a_code_is_drawn_without_colour() -> None:
    drawn = qr("Tarn 2300|TE")
    assert "#000" in drawn
    assert "fill=" not in drawn


def test_nothing_to_label_makes_no_papers() -> None:
    assert made(Job(about=About(title="Empty"))) == {}


def test_wires_of_which_nothing_is_known_are_named(press: Any) -> None:
    job = press.known.job
    bare = tuple(
        attrs.evolve(wire, outside_mm=None, section_mm2=None, insulation=None, colour=None)
        for wire in job.wires[:3]
    )
    papers = made(attrs.evolve(job, wires=bare, plugs=()))
    assert set(papers) == {"labels-wires", "labels-strips"}
    told = PdfReader(BytesIO(pdf(papers["labels-strips"]))).pages[0].extract_text()
    assert "No strip yet" in told
    assert "W01, W02 and W03" in " ".join(told.split())


def test_long_names_stay_on_their_labels(press: Any) -> None:
    """No more pages than labels need, whatever is written on them."""
    job = press.known.job
    long = tuple(
        attrs.evolve(plug, plug="P" * 38 + f"{number:02d}", label="a word or two " * 20)
        for number, plug in enumerate(job.plugs[:21])
    )
    wires = tuple(
        attrs.evolve(wire, wire="W" * 40, colour="GNYE/BK/WH/RD") for wire in job.wires[:2]
    )
    papers = made(attrs.evolve(job, plugs=long, wires=wires))
    pages = {name: len(PdfReader(BytesIO(pdf(paper))).pages) for name, paper in papers.items()}
    assert pages == {"labels-plugs": 2, "labels-wires": 2, "labels-strips": 1}
