"""The papers of the example job, set once a session."""

from __future__ import annotations

from functools import cache, cached_property
from io import BytesIO

import attrs
import pikepdf
import pytest

from loomwright.documents.pack import KINDS
from loomwright.documents.typesetting import Paper, pdf
from loomwright.services.workup import WorkUp
from sample import demo
from sample import worked as sample

DAY = "2026-03-21"


class Press:
    """Papers of the example job by kind, and what they are as PDF.

    A kind with ` worked` behind it is that of the same job with tasks and photos.
    """

    def __init__(self) -> None:
        self.known = demo.demo_known()
        self.papers = cache(self._papers)
        self.content = cache(self._content)
        self.opened = cache(self._opened)

    def _papers(self, kind: str) -> tuple[Paper, ...]:
        name, _, worked = kind.partition(" ")
        return tuple(KINDS[name].papers(self.worked if worked else self.known, DAY))

    @cached_property
    def worked(self) -> WorkUp:
        job, work = self.known.job, self.known.work
        names = ("te.jpg", "te-torn-boot.svg", "te-upright.jpg", "te-4.jpg", "bay.jpg", "gone.jpg")
        items = ("TE", "TE", "TE", "TE", None, "CU")
        job = attrs.evolve(
            job,
            tasks=sample.ticked(work, whole="TE", half="TH"),
            photos=tuple(map(sample.photo, names, items)),
        )
        known = sample.worked(self.known, job)
        drawing = (demo.FOLDER / "photos" / "te-torn-boot.svg").read_bytes()
        known.photos = {
            "te.jpg": sample.jpeg(),
            "te-torn-boot.svg": drawing,
            "te-upright.jpg": sample.jpeg(600, 900),
            "te-4.jpg": sample.jpeg(),
            "bay.jpg": sample.jpeg(),
        }
        return known

    def _content(self, kind: str, size: str) -> dict[str, bytes]:
        return {paper.name: pdf(paper, size=size) for paper in self.papers(kind)}

    def _opened(self, kind: str, size: str) -> dict[str, pikepdf.Pdf]:
        """The papers of a kind as an independent reader sees them."""
        made = self.content(kind, size)
        return {name: pikepdf.open(BytesIO(content)) for name, content in made.items()}


@pytest.fixture(scope="session")
def press() -> Press:
    return Press()
