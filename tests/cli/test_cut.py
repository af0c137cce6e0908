"""What `cut` prints: what to buy, every wire with its length, and what cannot be planned."""

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
    return " ".join(text.replace("\u00a0", " ").split())


def test_the_page_tells_what_to_buy_and_how_it_is_cut(seen: Run) -> None:
    told = seen("cut", DEMO)
    assert told.code == 0
    assert max(len(line) for line in told.out.splitlines()) <= 80
    page = flat(told.out)
    for piece in (
        "For every kind it is proved that no plan takes less.",
        "1 × 5.00 m WIRE-075 RD/GN: offer B10 of SUP-B, 5.50 EUR",
        "On no offer of this job, each at least so long:",
        "Metres by colour",
        "strip CU.17 4 to 4.5 mm and PS.2 4 to 4.5 mm",
        SAFETY,
    ):
        assert piece in page


def test_the_same_as_json(seen: Run) -> None:
    told = json.loads(seen("cut", DEMO, "--json").out)
    assert sum(len(s["wires"]) for kind in told["kinds"] for s in kind["sources"]) == 64
    assert all(kind["proved"] for kind in told["kinds"])


def test_a_job_without_lengths_is_told_what_is_missing(run: Run, tmp_path: Path) -> None:
    wires = "wire,from,to,colour,section_mm2\nW1,CU.1,T1.1,BN,0.75\nW2,T1.2,S1,,\n"
    edits: jobs.Edits = {"branches": None, "fixings": None, "wires": (jobs.TABLES["wires"], wires)}
    told = run("cut", str(jobs.laid_out(tmp_path / "car", edits)))
    assert told.code == 0
    page = flat(told.out)
    assert "Nothing can be cut yet" in page
    assert "W1: length not known" in page
    assert "W2: length and section and colour not known" in page
