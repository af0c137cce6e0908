"""The build sheet: splices with why a place is refused, bundles, every wire, then the steps."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from pypdf import PdfReader

from loomwright.documents.build_sheet import build_sheet
from loomwright.services.workup import WorkUp
from sample.demo import demo_job, demo_known
from sample.jobs import job as small_job

DAY = "2026-03-21"


def words_of(press: Any) -> str:
    pages = PdfReader(BytesIO(press.content("build", "a4")["build-sheet"])).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_it_is_read_from_the_cautions_to_the_steps(press: Any) -> None:
    words = words_of(press)
    order = ("Caution", "Splices", "Refused on", "Bundles", "Cut mm", "Order of work")
    places = [words.index(each) for each in order]
    assert places == sorted(places)


def test_every_wire_stands_on_it_with_its_length(press: Any) -> None:
    (paper,) = press.papers("build")
    assert {row.wire for row in paper.context.wires} == {
        str(each.wire) for each in demo_job().wires
    }
    cut = {each.wire: each.cut_mm for each in demo_known().build.wires}
    assert {row.wire: float(row.cut.replace("\u202f", "")) for row in paper.context.wires} == cut


def test_a_job_without_branches_gives_no_sheet() -> None:
    bare = small_job({"branches": ("B1,bulkhead,engine,900,ENGINE,vinyl tube\n", "")})
    assert list(build_sheet(WorkUp(bare), DAY)) == []
