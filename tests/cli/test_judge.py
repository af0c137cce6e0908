"""What the page of `judge` says."""

from __future__ import annotations

import contextlib
import io
import json
from collections.abc import Callable
from typing import Any

import attrs
import pytest

from loomwright.bootstrap import jobs
from loomwright.cli.show_judge import GRADES, show_judge
from loomwright.loom import Job
from loomwright.services.judge import judge
from loomwright.services.words import SAFETY

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"


@pytest.fixture(scope="module")
def demo() -> Job:
    return jobs().read(DEMO)


def page(job: Job) -> str:
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        show_judge(judge(job), job)
    return " ".join(out.getvalue().split())


def test_the_page_fits_eighty_columns(seen: Run) -> None:
    ran = seen("judge", DEMO)
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 80


def test_the_page_says_what_is_bad_and_what_fits(seen: Run) -> None:
    said = " ".join(seen("judge", DEMO).out.split())
    for piece in (
        "TH Throttle switch plug 4 1 1 4 danger fit a boot now",
        "W23 insulation: cracks on a bend",
        "strands: graded by those left; two strands cut",
        "B8 1 of 2 wires bad (W23), 1 not looked at: not decided",
        "BOOT2-A fits I1, I2, I3, I5 and I6.",
        "the tab is 0.5 mm thick and the terminal is for 0.8 mm",
        "Terminals of TE: released from the mating side",
        "REC28-S strip 4 to 4.5 mm; die DIE-S: fits.",
        "insulation of wires: 63 of 64",
        "Key off before a plug comes off",
        SAFETY,
    ):
        assert piece in said


def test_the_json_is_printed(seen: Run) -> None:
    assert json.loads(seen("judge", DEMO, "--json").out)["items"][0]["item"] == "TH"


def test_every_grade_has_its_word_beside_its_number() -> None:
    assert set(GRADES) == set(range(5))
    assert all(word.startswith(f"{grade} ") for grade, (word, _) in GRADES.items())


def test_a_job_without_survey_catalogue_and_branches(demo: Job) -> None:
    wires = tuple(attrs.evolve(wire, branches=()) for wire in demo.wires)
    bare = attrs.evolve(demo, wires=wires, survey=(), catalogue=(), branches=())
    said = page(bare)
    assert "Nothing was graded yet" in said
    assert "No part is in the catalogue yet" in said
    assert "Crimping" not in said
    assert "insulation of wires: 64 of 64" in said


def test_branches_that_are_bad_and_a_loom_that_is_priced(demo: Job) -> None:
    row = next(each for each in demo.survey if each.item == "W23")
    bad = tuple(attrs.evolve(row, item=str(wire.wire)) for wire in demo.wires)
    said = page(attrs.evolve(demo, survey=bad))
    assert "B8 2 of 2 wires bad (W23 and W24): replace the branch." in said
    assert "price a whole loom beside them" in said


def test_branches_that_may_stay(demo: Job) -> None:
    row = next(each for each in demo.survey if each.item == "W23")
    good = tuple(attrs.evolve(row, item=str(wire.wire), grade=1) for wire in demo.wires)
    said = page(attrs.evolve(demo, survey=good))
    assert "B8 0 of 2 wires bad: keep the branch." in said
    assert "mend it branch by branch" in said


def test_a_survey_where_no_branches_are_given(demo: Job) -> None:
    wires = tuple(attrs.evolve(wire, branches=()) for wire in demo.wires)
    assert "No branches are given" in page(attrs.evolve(demo, wires=wires, branches=()))
