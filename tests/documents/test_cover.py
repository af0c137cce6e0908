"""The cover page: what the owner is told, and what is said where a job tells little."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import attrs
import pytest
from pypdf import PdfReader

from loomwright.documents.cover import Cover, cover
from loomwright.documents.typesetting import pdf
from loomwright.loom import About, Job
from loomwright.services.workup import WorkUp

DAY = "2026-03-21"


def like(known: WorkUp, job: Job) -> WorkUp:
    """The work-up of a job that differs in nothing that plan and suspects rest on."""
    other = WorkUp(job)
    other.plan, other.diagnosed, other.suspects = known.plan, known.diagnosed, known.suspects
    return other


def made(known: WorkUp) -> Cover:
    (paper,) = cover(known, DAY)
    assert isinstance(paper.context, Cover)
    assert pdf(paper).startswith(b"%PDF")
    return paper.context


def text_of(content: bytes) -> str:
    pages = PdfReader(BytesIO(content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_the_page_tells_the_whole_story_in_order(press: Any) -> None:
    content = press.content("cover", "a4")["cover"]
    assert len(PdfReader(BytesIO(content)).pages) <= 2
    said = text_of(content)
    places = [
        said.index(words)
        for words in (
            "Starts badly hot, drinks fuel",
            "Plug TE (Engine temperature sensor plug), cavity 1 or 2",
            "More than 99 %: sure enough to act on.",
            "the control unit believes 71.4 °C and gives about 4.9 % more fuel.",
            "New terminals",
            "What was left",
            "Not all is proved yet.",
            "When to look again",
            "by 2027-03-20",
            "Test sheet: what each reading should be",
        )
    ]
    assert places == sorted(places)


def test_sure_and_unsure_findings_are_told_apart_by_a_word(press: Any) -> None:
    (paper,) = press.papers("cover")
    assert [each.surely for each in paper.context.findings] == [True, False]
    assert "Perhaps: Plug TH" in text_of(press.content("cover", "a4")["cover"])


def test_what_is_left_has_its_chance_and_the_rest_is_counted(press: Any) -> None:
    (paper,) = press.papers("cover")
    assert paper.context.left
    assert all("comes back: 10 %" in row.words for row in paper.context.left)
    assert "more things" in paper.context.left_note
    assert "the chances are assumed" in paper.context.left_note


def test_without_readings_survey_and_proof_it_says_so(press: Any) -> None:
    said = made(WorkUp(attrs.evolve(press.known.job, readings=(), survey=(), proof=())))
    assert said.overall == "Not known: no reading has been taken yet."
    assert said.effects == ("Not known: no reading has been taken yet.",)
    assert said.left_note.startswith("Not known: nothing was looked at")
    assert said.proof == "Nothing was measured after the work yet."
    assert said.visits == ()


def test_an_empty_job_has_a_page(press: Any) -> None:
    said = made(WorkUp(Job(about=About(title="Empty"))))
    assert said.complaint == "No complaint is written down."
    assert "nothing is to be done" in said.offer


def test_an_offer_that_is_not_possible_says_why(press: Any) -> None:
    known = like(press.known, press.known.job)
    none = attrs.evolve(known.plan.pays, choice=None, quote=None, why_not="2 h are too few")
    known.plan = attrs.evolve(known.plan, pays=none)
    said = made(known)
    assert said.offer == "The offer “what pays” is not possible: 2 h are too few."
    assert said.work == ()


def test_all_proved_is_said_in_one_line(press: Any) -> None:
    job = press.known.job
    kept = tuple(reading for reading in job.readings if reading.reading in ("R06", "R11", "R12"))
    known = like(press.known, attrs.evolve(job, readings=kept))
    assert made(known).proof == "All in order now."


@pytest.mark.parametrize("day", ["", "last week", "2026-02-30"])
def test_without_a_day_of_the_proof_no_day_is_made_up(press: Any, day: str) -> None:
    job = press.known.job
    proof = tuple(attrs.evolve(each, taken_at=day) for each in job.proof)
    visits = made(like(press.known, attrs.evolve(job, proof=proof))).visits
    assert visits
    assert not any("by 20" in each.when for each in visits)
