"""What `buy` prints: parts with reasons, parcels, what is missing; and a job without offers."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from loomwright.services.words import SAFETY
from sample import jobs

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_page_tells_parts_reasons_parcels_and_what_is_missing(seen: Run) -> None:
    told = seen("buy", DEMO)
    assert told.code == 0
    assert max(len(line) for line in told.out.splitlines()) <= 80
    page = flat(told.out)
    for piece in (
        "spare, enough in 95 of 100 such jobs",
        "for trial crimps on 0.75 mm²",
        "Parcel from SUP-B",
        "postage",
        "How wire is cut: pieces cannot be joined",
        "One more pack: in this order, or in a parcel of its own later",
        "Nobody sells ! REC28-T",
        SAFETY,
    ):
        assert piece in page


def test_another_offer_and_json(seen: Run) -> None:
    told = json.loads(seen("buy", DEMO, "--offer", "only what failed", "--json").out)
    assert told["offer"] == "only what failed"
    assert {line["part"] for line in told["parts"]} == {"REC28-S", "BOOT2-S"}


def test_a_job_without_offers_is_told_so(run: Run, tmp_path: Path) -> None:
    edits: jobs.Edits = {"offers": None, "suppliers": None}
    told = run("buy", str(jobs.laid_out(tmp_path / "car", edits)))
    assert told.code == 0
    assert "the table offers is empty" in flat(told.out)


def test_the_plan_has_rows_for_work_parts_and_their_sum(seen: Run) -> None:
    page = seen("plan", DEMO).out
    for row in ("work EUR", "parts EUR", "postage EUR", "sum EUR"):
        assert f"\n{row}" in page
    assert "Parts are not priced" not in page


def test_the_plan_of_a_job_without_prices_says_so(run: Run, tmp_path: Path) -> None:
    edits: jobs.Edits = {"offers": None, "suppliers": None}
    page = flat(run("plan", str(jobs.laid_out(tmp_path / "car", edits))).out)
    assert "Parts are not priced: the table offers is empty." in page
