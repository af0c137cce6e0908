"""The cut list on paper: every wire with a box, what to buy, poor jobs."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import attrs
from pypdf import PdfReader

from loomwright.documents.cut_list import CutList, cut_list
from loomwright.documents.typesetting import pdf
from loomwright.loom import OwnFigure
from loomwright.services.workup import WorkUp

DAY = "2026-03-21"


def sheet(known: WorkUp) -> CutList:
    (paper,) = cut_list(known, DAY)
    assert pdf(paper, size="letter").startswith(b"%PDF")
    assert isinstance(paper.context, CutList)
    return paper.context


def test_every_wire_stands_on_it_once(press: Any) -> None:
    rows = [row.wire for part in sheet(press.known).lengths for row in part.wires]
    assert sorted(rows) == sorted(str(wire.wire) for wire in press.known.job.wires)


def test_it_is_read_from_the_caution_to_the_cuts(press: Any) -> None:
    pages = PdfReader(BytesIO(press.content("cut", "a4")["cut-list"])).pages
    words = " ".join(" ".join(page.extract_text() for page in pages).split())
    order = (
        "Cut list", "A piece cut too short cannot be joined", "What to buy",
        "offer B10 of SUP-B", "Wire by colour", "How it is cut", "W61", "it is proved that no plan",
    )  # fmt: skip
    places = [words.index(each) for each in order]
    assert places == sorted(places)


def test_wires_that_cannot_be_planned_are_named(press: Any) -> None:
    job = press.known.job
    wires = (attrs.evolve(job.wires[0], section_mm2=None), *job.wires[1:])
    found = sheet(WorkUp(attrs.evolve(job, wires=wires)))
    assert found.left_out == (f"{wires[0].wire}: section not known.",)


def test_a_job_without_wires_has_none(press: Any) -> None:
    assert list(cut_list(WorkUp(attrs.evolve(press.known.job, wires=())), DAY)) == []


def test_what_goes_back_follows_the_jobs_own_figure(press: Any) -> None:
    job = attrs.evolve(press.known.job, settings=(OwnFigure(name="offcut_keep", value=800.0),))
    assert any("Ends of 800 mm and more" in note for note in sheet(WorkUp(job)).notes)
