"""The quote in stages: places, sums, spans, and the days it holds."""

from __future__ import annotations

from datetime import date

import attrs
import pytest

from loomwright.loom import Job, OwnFigure
from loomwright.services.plan import PlanReport
from loomwright.services.staged import StagedQuote, staged
from sample.demo import demo_job, demo_known


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


@pytest.fixture(scope="module")
def report() -> PlanReport:
    return demo_known().plan


@pytest.fixture(scope="module")
def quote(job: Job, report: PlanReport) -> StagedQuote:
    return staged(job, report)


def test_every_place_that_is_opened_is_a_stage(quote: StagedQuote) -> None:
    assert quote.offer.choice is not None
    places = [stage.place for stage in quote.stages]
    assert len(places) == len(set(places))
    assert set(places) - {""} == set(quote.offer.choice.opened)
    told = [line.words for stage in quote.stages for line in stage.lines]
    assert sorted(told) == sorted(line.words for line in quote.offer.lines)


def test_stages_add_up(quote: StagedQuote, report: PlanReport) -> None:
    assert quote.offer.quote is not None
    assert quote.offer.choice is not None
    assert sum(stage.likely for stage in quote.stages) == pytest.approx(quote.likely_minutes)
    assert quote.likely_minutes == pytest.approx(quote.offer.choice.minutes)
    assert sum(stage.work for stage in quote.stages) == pytest.approx(quote.likely_work)
    assert quote.likely_work == pytest.approx(quote.likely_minutes / 60.0 * report.rate)
    assert sum(stage.parts for stage in quote.stages) == pytest.approx(quote.offer.quote.parts)


def test_spans_lie_inside_what_the_lines_allow(quote: StagedQuote) -> None:
    for stage in quote.stages:
        low, middle, high = stage.minutes
        assert sum(line.low for line in stage.lines) <= low <= middle <= high
        assert high <= sum(line.high for line in stage.lines)


def test_the_middle_of_all_lies_between_the_ends_of_the_stages(quote: StagedQuote) -> None:
    assert quote.offer.quote is not None
    assert sum(stage.minutes[0] for stage in quote.stages) < quote.offer.quote.minutes[0]
    assert quote.offer.quote.minutes[2] < sum(stage.minutes[2] for stage in quote.stages)


def test_it_holds_for_thirty_days_or_those_of_the_job(job: Job, report: PlanReport) -> None:
    # common practice, no published source
    assert staged(job, report).valid_until("2026-02-10") == "2026-03-12"
    own = (*job.settings, OwnFigure(name="quote_valid_days", value=14))
    held = staged(attrs.evolve(job, settings=own), report).valid_until("2026-12-24")
    assert date.fromisoformat(held) - date(2026, 12, 24) == date(2026, 1, 15) - date(2026, 1, 1)


def test_without_a_choice_there_are_no_stages(job: Job, report: PlanReport) -> None:
    none = attrs.evolve(report.pays, choice=None, quote=None, lines=())
    empty = staged(job, attrs.evolve(report, pays=none))
    assert (empty.stages, empty.likely_minutes, empty.in_a_hundred) == ((), 0.0, 0.0)
