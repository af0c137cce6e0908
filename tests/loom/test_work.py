"""File names of pictures: plain on every machine."""

from __future__ import annotations

import pytest

from loomwright.loom.consistency.work import plain_file_name


@pytest.mark.parametrize(
    "name", ["te-torn-boot.jpg", "TE 2.PNG", "größer.jpeg", "no-ending", "a.b.jpg"]
)
def test_plain_names_are_taken(name: str) -> None:
    assert plain_file_name(name)


@pytest.mark.parametrize(
    "name",
    ["", "..", ".", "../bay.jpg", "a/b.jpg", "a\\b.jpg", "/bay.jpg", "C:bay.jpg", "a..jpg",
     ".hidden.jpg", " bay.jpg", "bay.jpg ", "bay.", "a\nb.jpg", "a\x00.jpg", "what?.jpg"],
)  # fmt: skip
def test_names_that_lead_elsewhere_or_cannot_be_kept_are_not(name: str) -> None:
    assert not plain_file_name(name)
