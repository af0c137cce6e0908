"""When to look again: what is left, how long work lasts, and the days of the visits."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import Job, OwnFigure
from loomwright.services.judge import judge
from loomwright.services.look_again import LookAgain, look_again
from loomwright.services.plan import PlanReport
from sample.demo import demo_job, demo_known


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


@pytest.fixture(scope="module")
def report() -> PlanReport:
    return demo_known().plan


@pytest.fixture(scope="module")
def again(job: Job, report: PlanReport) -> LookAgain:
    return look_again(job, report, judge(job))


def test_everything_left_is_told_or_counted(report: PlanReport, again: LookAgain) -> None:
    assert report.chosen.choice is not None
    assert len(again.left) + again.small == len(report.chosen.choice.left)
    chances = [each.chance for each in again.left]
    assert chances == sorted(chances, reverse=True)
    assert min(chances) >= again.small_chance


def test_grades_are_those_of_the_survey(job: Job, again: LookAgain) -> None:
    written = {
        (row.item, row.aspect): row.grade for row in job.survey if row.grade is not None
    }  # fmt: skip
    for each in again.left:
        if (each.item, each.aspect) in written:
            assert each.grade == written[each.item, each.aspect]


def test_lives_are_those_of_trade_practice(again: LookAgain) -> None:
    # common practice, no published source: plain rubber boots 3 to 6 years, fretting of tinned
    # contacts after 5 to 10, vinyl on the engine 10 to 15
    spans = {"new boot": (3, 6), "new terminals": (5, 10), "new branch": (10, 15)}
    met = {each.words: each.years for each in again.lasting if each.words in spans}
    assert met
    for words, years in met.items():
        assert years is not None
        assert spans[words][0] <= years <= spans[words][1]


def test_the_year_counts_from_the_last_proof(again: LookAgain) -> None:
    assert again.since == "2026-03-20"
    assert [each.by for each in again.visits] == ["", "2027-03-20", ""]


@pytest.mark.parametrize(
    ("taken", "months", "by"),
    [("2027-02-28 09:00", 12.0, "2028-02-28"), ("2026-08-31", 6.0, "2027-02-28"),
     ("2027-08-31", 6.0, "2028-02-29"), ("2026-12-15", 1.0, "2027-01-15"), ("in May", 12.0, "")],
)  # fmt: skip
def test_months_end_where_the_calendar_says(
    job: Job, report: PlanReport, taken: str, months: float, by: str
) -> None:
    proof = (attrs.evolve(job.proof[0], taken_at=taken),)
    own = (*job.settings, OwnFigure(name="look_again_months", value=months))
    changed = attrs.evolve(job, proof=proof, settings=own)
    visits = look_again(changed, report, judge(job)).visits
    assert visits[1].by == by


def test_what_is_left_in_a_bad_state_is_looked_at_sooner(job: Job, report: PlanReport) -> None:
    small = attrs.evolve(report, ordered="only what failed")
    visits = look_again(job, small, judge(job)).visits
    assert [each.when for each in visits][1] == "after 6 months"
    assert visits[1].by == "2026-09-20"


def test_nothing_done_and_nothing_left_needs_no_visit(job: Job, report: PlanReport) -> None:
    assert report.pays.choice is not None
    none = attrs.evolve(report.pays, choice=attrs.evolve(report.pays.choice, cures=(), left=()))
    assert look_again(job, attrs.evolve(report, pays=none), judge(job)).visits == ()
