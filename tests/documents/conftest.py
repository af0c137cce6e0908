"""The papers of the example job, set once a session."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from loomwright import bootstrap
from loomwright.documents.pack import KINDS
from loomwright.documents.typesetting import Paper, pdf
from loomwright.services.workup import WorkUp

DEMO = Path(__file__).resolve().parents[2] / "examples" / "tarn-2300"
DAY = "2026-03-21"


class Press:
    """Papers of the example job by kind, and what they are as PDF."""

    def __init__(self) -> None:
        self.known = WorkUp(bootstrap.jobs().read(DEMO))
        self.papers = cache(self._papers)
        self.content = cache(self._content)
        self.opened = cache(self._opened)

    def _papers(self, kind: str) -> tuple[Paper, ...]:
        return tuple(KINDS[kind].papers(self.known, DAY))

    def _content(self, kind: str, size: str) -> dict[str, bytes]:
        return {paper.name: pdf(paper, size=size) for paper in self.papers(kind)}

    def _opened(self, kind: str, size: str) -> dict[str, pikepdf.Pdf]:
        """The papers of a kind as an independent reader sees them."""
        made = self.content(kind, size)
        return {name: pikepdf.open(BytesIO(content)) for name, content in made.items()}


@pytest.fixture(scope="session")
def press() -> Press:
    return Press()
