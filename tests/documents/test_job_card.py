"""Job cards: what the bench reads, in the order it reads it; poor jobs say what is missing."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import attrs
import pytest
from pypdf import PdfReader

from loomwright.documents.job_card import Card, FrameCard, job_cards
from loomwright.documents.typesetting import Paper, pdf
from loomwright.services.workup import WorkUp
from sample import demo

DAY = "2026-03-21"


def text(content: bytes) -> str:
    pages = PdfReader(BytesIO(content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def card(papers: tuple[Paper, ...], name: str) -> Card:
    found = next(each.context for each in papers if each.name == f"card-{name}")
    assert isinstance(found, Card)
    return found


def said(context: Any) -> str:
    return str(attrs.asdict(context))


def test_a_card_per_item_after_the_frame(press: Any) -> None:
    papers = press.papers("cards")
    items = [each.item for each in press.known.work.cards]
    assert [paper.name for paper in papers] == [
        "card-before-and-after", *(f"card-{item}" for item in items)
    ]  # fmt: skip


def test_the_card_is_read_in_the_order_of_the_bench(press: Any) -> None:
    words = text(press.content("cards", "a4")["card-TE"])
    order = (
        "Job card TE", "New terminals on the wire as it is.", "Terminal: grade 3, bad",
        "Readings: high resistance, cavity 1 or 2: more than 99 % sure.", "Record before cutting",
        "GN/WH", "0.75 mm²", "CU.6", "Mind which way round it is.", "REC28-S", "4 to 4.5 mm",
        "1.21 mm in die B2", "check that this is DIE-S", "55 mm can be cut", "Tries used at TE",
        "Slide boot and sleeve onto the wires before any terminal.", "Done by", "Pull test",
    )  # fmt: skip
    places = [words.index(each) for each in order]
    assert places == sorted(places)


def test_cautions_stand_at_their_step(press: Any) -> None:
    steps = card(press.papers("cards"), "TE").steps
    crimp = next(each for each in steps if each.words.startswith("Strip; crimp"))
    assert crimp.hold
    assert crimp.caution == "no solder after the crimp."


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_no_card_of_the_example_is_longer_than_two_pages(press: Any, size: str) -> None:
    for name, content in press.content("cards", size).items():
        assert len(PdfReader(BytesIO(content)).pages) <= 2, name


def test_a_small_card_takes_one_page(press: Any) -> None:
    for name in ("card-before-and-after", "card-I1", "card-TT"):
        assert len(PdfReader(BytesIO(press.content("cards", "a4")[name])).pages) == 1


def test_a_face_has_words_and_both_views(press: Any) -> None:
    paper = next(each for each in press.papers("cards") if each.name == "card-TE")
    (face,) = paper.context.faces
    assert "cavity 1: GN/WH" in face.alt or "Cavity 1: " in face.alt
    assert any("same from both sides" in each for each in face.warnings)
    drawn = paper.pictures[face.picture]
    assert "Seen from the mating face" in drawn
    assert "Seen from the wire side" in drawn


def test_a_height_that_is_not_known_is_to_be_measured(press: Any) -> None:
    (crimp,) = card(press.papers("cards"), "B8").crimps
    assert dict(crimp.facts)["Crimp height on 0.75 mm²"] == "not known: measure trial crimps"


def papers(known: WorkUp) -> tuple[Paper, ...]:
    made = tuple(job_cards(known, DAY))
    for paper in made:
        assert pdf(paper, size="letter").startswith(b"%PDF")
    return made


def test_without_work_the_frame_says_why(press: Any) -> None:
    job = attrs.evolve(press.known.job, survey=(), readings=(), proof=())
    (frame,) = papers(WorkUp(job))
    assert isinstance(frame.context, FrameCard)
    assert frame.context.lack.startswith("No work is planned: nothing was looked at")


def test_without_catalogue_parts_are_to_be_chosen(press: Any) -> None:
    known = demo.like(press.known, attrs.evolve(press.known.job, catalogue=()))
    found = card(papers(known), "TE")
    assert found.parts == ()
    assert "Nothing in the catalogue is known to fit: boot and terminal." in found.part_notes[0]


def test_a_sheet_with_hardly_anything_on_it(press: Any) -> None:
    full = press.known.job
    bare = {"label": None, "place": None, "lock": None, "terminal": None, "boot": None,
            "spare_mm": None, "pitch_mm": None, "mates_with": None}  # fmt: skip
    blank = {"colour": None, "section_mm2": None, "outside_mm": None, "insulation": None}
    job = attrs.evolve(
        full,
        crimps=(),
        catalogue=(),
        plugs=tuple(attrs.evolve(each, **bare) for each in full.plugs),
        wires=tuple(attrs.evolve(each, **blank) for each in full.wires),
        about=attrs.evolve(full.about, vehicle=None),
    )
    found = card(papers(WorkUp(job)), "TE")
    assert "Place: not written down" in found.turn
    assert {end.colour for end in found.ends} == {"not known"}
    assert {end.section for end in found.ends} == {"not known"}
    assert "measure what can be given up before cutting" in " ".join(found.spare)


@pytest.mark.parametrize("offer", ["only what failed", "everything"])
def test_other_offers_have_their_cards(offer: str) -> None:
    made = papers(demo.demo_known(offer))
    assert f"“{offer}”" in said(made[0].context)
    assert len(made) > 1
