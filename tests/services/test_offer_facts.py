"""An offer's figures beside the others'."""

from __future__ import annotations

from functools import cache

import attrs
import pytest

from loomwright.services.offer_facts import left_at_risk, offer_facts
from loomwright.services.plan import PlanReport
from loomwright.services.workup import WorkUp
from sample.demo import demo_known, like


def known() -> WorkUp:
    return demo_known()


@cache
def without_prices() -> PlanReport:
    return like(known(), attrs.evolve(known().job, offers=(), suppliers=())).plan


def figures(report: PlanReport) -> dict[str, str]:
    return {fact.name: fact.value for fact in offer_facts(report.pays, report)}


def test_work_parts_and_postage_add_up_to_the_price() -> None:
    report = known().plan
    told = figures(report)
    added = sum(float(told[name].split()[0]) for name in ("Work", "Parts and handling", "Postage"))
    assert report.pays.quote is not None
    assert added == pytest.approx(report.pays.quote.middle, abs=1.5)


def test_parts_without_a_price_say_so() -> None:
    told = figures(without_prices())
    assert told["Parts and handling"] == "not priced"
    assert "Postage" not in told


def test_tax_stands_there_only_where_the_job_sets_its_share() -> None:
    assert "VAT" not in figures(known().plan)


def test_what_is_left_comes_with_its_risk_the_likeliest_first() -> None:
    report = known().plan
    left = left_at_risk(report.pays, report, known().labels)
    assert report.pays.choice is not None
    assert len(left) == len(report.pays.choice.left)
    shares = [int(each.chance.split()[-2]) for each in left]
    assert shares == sorted(shares, reverse=True)
    assert any("plug (" in each.words for each in left)


@pytest.mark.parametrize("number", [0, 1, 2])
def test_an_offer_that_is_not_possible_has_no_figures(number: int) -> None:
    report = known().plan
    not_possible = attrs.evolve(
        report.offers[number], choice=None, quote=None, why_not="it takes too long"
    )
    assert offer_facts(not_possible, report) == ()
    assert left_at_risk(not_possible, report, known().labels) == ()
