"""The sheet on heat and life: what stands on it, in which order, and when there is none."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import attrs
from pypdf import PdfReader

from loomwright.documents.heat import heat_sheet
from loomwright.services.workup import WorkUp
from sample.jobs import job as small_job

DAY = "2026-03-21"


def test_it_is_read_from_what_is_due_to_the_fuses(press: Any) -> None:
    (content,) = press.content("heat", "a4").values()
    words = " ".join(
        " ".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages).split()
    )
    for each in ("W23", "AV", "I2", "F-INJ", "12 times slower"):
        assert each in words
    assert words.index("W23") < words.index("F-INJ")


def test_a_job_of_which_nothing_is_known_gives_no_sheet() -> None:
    bare = attrs.evolve(small_job(), zones=(), warmings=(), branches=(), fixings=(), devices=())
    assert list(heat_sheet(WorkUp(bare), DAY)) == []
