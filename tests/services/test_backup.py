"""What a backup holds, in words."""

from __future__ import annotations

import pytest

from loomwright.services.backup import Backup


def made(jobs: int = 1, rows: int = 363, photos: int = 4, missing: int = 0) -> Backup:
    return Backup(
        path="b.zip", made_at="2026-05-14T10:20:00+00:00",
        jobs=jobs, rows=rows, photos=photos, missing=missing,
    )  # fmt: skip


def test_one_and_several_are_told_apart() -> None:
    assert made().holds == "1 job, 363 rows, 4 photos"
    assert made(2, 1, 0).holds == "2 jobs, 1 row, 0 photos"


@pytest.mark.parametrize(
    ("missing", "words"),
    [(0, ""), (1, "1 photo is not in it"), (3, "3 photos are not in it")],
)
def test_a_missing_photo_is_told(missing: int, words: str) -> None:
    assert made(missing=missing).caution.startswith(words)
    assert bool(made(missing=missing).caution) == bool(missing)
