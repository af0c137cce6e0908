"""The crimp sheet: what was asked, what trials prove, lines to fill in, poor jobs."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import attrs
from pypdf import PdfReader

from loomwright.documents.crimp_sheet import CrimpSheet, crimp_sheet
from loomwright.documents.typesetting import pdf
from loomwright.loom import CrimpTrial
from loomwright.services.workup import WorkUp
from sample import demo

DAY = "2026-03-21"


def sheet(known: WorkUp) -> CrimpSheet:
    (paper,) = crimp_sheet(known, DAY)
    assert pdf(paper, size="letter").startswith(b"%PDF")
    assert isinstance(paper.context, CrimpSheet)
    return paper.context


def with_trials(known: WorkUp, crimps: tuple[CrimpTrial, ...]) -> WorkUp:
    """The demo with other trial crimps; which work there is does not hang on them."""
    other = demo.like(known, attrs.evolve(known.job, crimps=crimps))
    other.plan = known.plan
    return other


def test_it_is_read_from_the_force_to_the_look(press: Any) -> None:
    pages = PdfReader(BytesIO(press.content("crimps", "a4")["crimp-sheet"])).pages
    words = " ".join(" ".join(page.extract_text() for page in pages).split())
    order = (
        "No solder after the crimp", "S075: flat 2.8 x 0.8, 0.75 mm², die B2",
        "At least 89 N is asked for.", "Standing: published.", "C04", "doubtful",
        "1 of 5 trials were not good", "88 more would have to be good", "let the wire slip out",
        "S050:", "No trial yet: REC28-T", "What a good crimp looks like", "Bellmouth",
        "Five good crimps in a row show only that at least 55 of 100 are good",
    )  # fmt: skip
    places = [words.index(each) for each in order]
    assert places == sorted(places)


def test_means_run_along_with_the_trials(press: Any) -> None:
    """Heights 1.21, 1.22, 1.20 mm: means 1.210, 1.215, 1.210 mm, by hand."""
    (paper,) = press.papers("crimps")
    rows = paper.context.set_ups[0].trials
    assert [row.mean_height for row in rows[:3]] == ["1.210", "1.215", "1.210"]
    assert [row.mean_pull for row in rows[:2]] == ["118.0", "115.0"]


def test_a_trial_without_a_pull_keeps_the_means_in_step(press: Any) -> None:
    job = press.known.job
    first, second, *rest = job.crimps
    some = (first, attrs.evolve(second, pull_n=None, failed_at=None), *rest)
    rows = sheet(with_trials(press.known, some)).set_ups[0].trials
    assert (rows[1].pull, rows[1].mean_pull, rows[1].gave_way) == ("", "", "")
    assert rows[2].mean_pull == "119.5"  # 118 and 121 N


def test_every_set_up_has_five_lines_to_fill_in(press: Any) -> None:
    for part in sheet(press.known).set_ups:
        assert len(part.blanks) >= 5
        assert part.blanks[0] == len(part.trials) + 1


def test_bellmouths_of_both_sections_stand_together(press: Any) -> None:
    """0.20 to 0.60 mm above 0.5 mm², 0.10 to 0.40 mm below: a terminal maker's specification."""
    (paper,) = press.papers("crimps")
    looks = [each for each in paper.context.looks if each.feature == "Bellmouth"]
    assert [each.limit for each in looks] == ["0.2 to 0.6 mm", "0.1 to 0.4 mm"]
    assert {each.standing for each in looks} == {"published"}


def test_trials_in_the_wrong_die_are_told(press: Any) -> None:
    job = press.known.job
    wrong = tuple(attrs.evolve(row, terminal="REC28-S", die="DIE-L") for row in job.crimps[:5])
    found = sheet(with_trials(press.known, wrong)).set_ups[0].warnings
    assert found[0].startswith("REC28-S is crimped in DIE-S")


def test_without_trials_or_work_there_are_lines_to_fill_in(press: Any) -> None:
    job = attrs.evolve(press.known.job, crimps=(), survey=(), readings=(), proof=())
    (part,) = sheet(WorkUp(job)).set_ups
    assert part.heading == ""
    assert part.proves == ("No trial crimp is written down, so nothing is shown.",)
    assert len(part.blanks) >= 5


def test_a_section_that_is_not_known_has_no_force(press: Any) -> None:
    job = press.known.job
    lost = tuple(attrs.evolve(row, section_mm2=None) for row in job.crimps)
    part = sheet(demo.like(press.known, attrs.evolve(job, crimps=lost))).set_ups[0]
    assert part.asked == "The conductor's section is not given, so no least pull can be told."
    assert part.source == ""
