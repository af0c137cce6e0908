"""The report before and after: exact words, what is still open, and poor jobs."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import attrs
from pypdf import PdfReader

from loomwright.documents.before_after import MARKS, MEANS, BeforeAfter, before_after
from loomwright.documents.typesetting import pdf
from loomwright.loom import About, Job
from loomwright.services.workup import WorkUp
from sample import demo

DAY = "2026-03-21"


def made(known: WorkUp) -> BeforeAfter:
    (paper,) = before_after(known, DAY)
    assert isinstance(paper.context, BeforeAfter)
    assert pdf(paper).startswith(b"%PDF")
    return paper.context


def test_the_page_begins_with_the_verdict(press: Any) -> None:
    content = press.content("report", "a4")["before-and-after-report"]
    pages = PdfReader(BytesIO(content)).pages
    said = " ".join(" ".join(page.extract_text() for page in pages).split())
    places = [
        said.index(words)
        for words in (
            "Not all is proved yet.",
            "R09: not in order before the work and not read again.",
            "How to read this",
            "R11",
            "431 Ω at 82 °C",
            "341 Ω at 79 °C",
            "300 Ω to 371 Ω",
            "−118 Ω, give or take 40.2 Ω",
            "What the control unit believes",
        )
    ]
    assert places == sorted(places)


def test_every_verdict_has_its_meaning_and_a_mark() -> None:
    words = {"better", "same", "worse", "not shown", "in order", "not in order"}
    assert set(MEANS) == set(MARKS) == words


def test_words_are_those_of_the_proof(press: Any) -> None:
    (paper,) = press.papers("report")
    shown = [(each.name, each.verdict) for each in paper.context.readings]
    assert shown == [
        (proof.after.reading, proof.verdict) for proof in press.known.proof.proofs
    ] == [("R11", "better"), ("R12", "better"), ("R06", "same")]  # fmt: skip


def test_every_scale_has_its_picture_and_its_words(press: Any) -> None:
    (paper,) = press.papers("report")
    for each in paper.context.readings:
        assert each.scale in paper.pictures
        assert each.alt in paper.pictures[each.scale]
    first = paper.context.readings[0].alt
    assert first == (
        "Before the work 431 Ω at 82 °C, too high. After it 341 Ω at 79 °C, inside the band of a "
        "sound loom. Better."
    )


def test_what_the_control_unit_believes_comes_back_to_true(press: Any) -> None:
    (paper,) = press.papers("report")
    eighty = next(each for each in paper.context.beliefs if each.true == "80 °C")
    assert eighty.before == "70 °C"
    assert eighty.after == "80 °C"
    assert eighty.fuel_before == "+4.8 %"


def test_nothing_measured_after_the_work_is_said(press: Any) -> None:
    said = made(demo.like(press.known, attrs.evolve(press.known.job, proof=())))
    assert said.verdict == "Nothing was measured after the work yet."
    assert said.readings == ()
    assert any(point.startswith("R11: not in order before") for point in said.open_points)
    assert made(WorkUp(Job(about=About(title="Empty")))).verdict == said.verdict


def test_without_a_reading_before_it_stands_alone(press: Any) -> None:
    said = made(WorkUp(attrs.evolve(press.known.job, readings=())))
    assert {each.verdict for each in said.readings} == {"in order"}
    assert {each.before for each in said.readings} == {"not read"}
    assert said.beliefs == ()


def test_over_range_on_one_side_is_drawn_and_told(press: Any) -> None:
    job = press.known.job
    broken = tuple(
        attrs.evolve(each, value=float("inf")) if each.reading == "R11" else each
        for each in job.proof
    )
    first = made(demo.like(press.known, attrs.evolve(job, proof=broken))).readings[0]
    assert first.after.startswith("OL")
    assert first.change == ""
    assert "OL" in first.alt
