"""No job is too poor for its papers: what is missing is left out or said, and nothing breaks."""

from __future__ import annotations

from functools import cache

import attrs
import pypdfium2
import pytest

from loomwright.documents.pack import KINDS
from loomwright.documents.typesetting import pdf
from loomwright.loom import About, Job
from loomwright.services.workup import WorkUp
from sample import demo
from sample import jobs as sample

DAY = "2026-03-21"
POOR = {
    "whole": (),
    "no survey": ("survey",),
    "no readings": ("readings", "proof"),
    "no proof": ("proof",),
    "no trials and no catalogue": ("crimps", "catalogue"),
    "no curves, meters, fuelling and zones": ("meters", "fuelling", "zones"),
    "no branches": ("branches",),
    "wires alone": ("survey", "readings", "proof", "crimps", "catalogue", "branches", "settings"),
}


@cache
def work_up(name: str) -> WorkUp:
    if name == "title only":
        return WorkUp(Job(about=About(title="Title only")))
    if name == "whole":
        return WorkUp(sample.job())
    whole = work_up("whole")
    job = attrs.evolve(whole.job, **dict.fromkeys(POOR[name], ()))
    return demo.like(whole, job) if set(POOR[name]) <= set(demo.LATER) else WorkUp(job)


def read(content: bytes) -> str:
    """The words of all pages, by a reader not ours."""
    with pypdfium2.PdfDocument(content) as opened:
        return "\n".join(page.get_textpage().get_text_bounded() for page in opened)


@pytest.mark.parametrize("name", [*POOR, "title only"])
@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_can_be_set(kind: str, name: str) -> None:
    known = work_up(name)
    for paper in KINDS[kind].papers(known, DAY):
        text = read(pdf(paper))
        assert paper.context.title.split()[0] in text
        for slip in ("None", "nan", "inf Ω", "{", "}"):
            assert slip not in text.split(), f"{paper.name}: {slip}"
