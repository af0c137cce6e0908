"""The verification list on paper: cautions first, lines with room to write, what passes."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import attrs
from pypdf import PdfReader

from loomwright.documents.typesetting import pdf
from loomwright.documents.verification import VerificationList, verification
from loomwright.loom import Job
from loomwright.services.workup import WorkUp
from sample.finished import STAR

DAY = "2026-03-21"


def sheet(job: Job) -> VerificationList:
    (paper,) = verification(WorkUp(job), DAY)
    assert pdf(paper).startswith(b"%PDF")
    assert isinstance(paper.context, VerificationList)
    return paper.context


def test_it_is_read_from_the_cautions_to_what_passes(press: Any) -> None:
    pages = PdfReader(BytesIO(press.content("verify", "a4")["verification"])).pages
    words = " ".join(" ".join(page.extract_text() for page in pages).split())
    order = (
        "40 nets, 57 lines of continuity", "Caution", "kills a control unit", "Continuity",
        "While moving", "CU.6 TE.1 W32 76 mΩ", "Isolation", "500 V d.c.", "39 tests",
        "What this list lets pass", "A terminal that did not lock", "What this rests on", "Done by",
    )  # fmt: skip
    places = [words.index(each) for each in order]
    assert places == sorted(places)


def test_every_line_is_on_it_with_its_limit(press: Any) -> None:
    (paper,) = press.papers("verify")
    report = press.known.verified
    assert [row.number for row in paper.context.lines] == [
        str(each.number) for each in report.lines
    ]
    assert all(row.limit.endswith("mΩ") for row in paper.context.lines)


def test_a_usual_wire_in_place_of_an_unknown_one_is_marked() -> None:
    bare = tuple(attrs.evolve(wire, length_mm=None) for wire in STAR.wires)
    told = sheet(attrs.evolve(STAR, wires=bare))
    assert all(row.limit.endswith("(usual wire)") for row in told.lines)
    assert any("usual ones are taken" in note for note in told.notes)


def test_one_net_has_no_isolation_to_test() -> None:
    told = sheet(attrs.evolve(STAR, wires=STAR.wires[:3]))
    assert (told.hand_how, told.fixture_how, told.splits, told.limits) == ("", "", (), ())


def test_without_wires_there_is_no_paper() -> None:
    assert list(verification(WorkUp(attrs.evolve(STAR, wires=())), DAY)) == []
