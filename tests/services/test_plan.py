"""The plan of the demo job: three offers, what pays, the order of work, limits and musts."""

from __future__ import annotations

import json
from typing import Any

import attrs
import pytest

from loomwright.loom import Job, NotFound
from loomwright.services.plan import PlanReport, plan, planned
from loomwright.services.weighed import weigh
from sample.demo import demo_job, demo_known


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


@pytest.fixture(scope="module")
def report(job: Job) -> PlanReport:
    return plan(job)


def asked(job: Job, *, offer: str = "what pays", **limits: Any) -> PlanReport:
    """As `plan`, by what the readings of the demo were found to say."""
    return planned(weigh(job, diagnosed=demo_known().diagnosed, **limits), offer=offer)


def test_the_plan_is_the_same_by_what_was_found_before(job: Job, report: PlanReport) -> None:
    assert asked(job).json() == report.json()


def test_the_green_terminal_must_be_done(report: PlanReport) -> None:
    assert report.must == ("TE terminal",)
    for offer in (*report.offers, report.pays):
        assert offer.choice is not None
        assert any(name.endswith(" TE") for name in offer.choice.cures)


def test_offers_grow_and_what_pays_is_the_cheapest_of_all(report: PlanReport) -> None:
    choices = [offer.choice for offer in report.offers if offer.choice]
    assert [offer.name for offer in report.offers] == [
        "only what failed", "all within reach", "everything",
    ]  # fmt: skip
    assert len(choices) == 3
    assert choices[0].opened == choices[1].opened
    assert choices[0].money < choices[1].money < choices[2].money
    assert choices[0].comebacks > choices[1].comebacks > choices[2].comebacks
    assert report.pays.choice is not None
    assert report.pays.choice.expected_cost <= min(each.expected_cost for each in choices) + 1e-9


def test_quotes_lie_round_what_is_likely(report: PlanReport) -> None:
    for offer in report.offers:
        assert offer.quote is not None
        assert offer.choice is not None
        assert offer.quote.low < offer.quote.middle < offer.quote.high
        spares = offer.quote.parts - sum(line.parts for line in offer.lines if line.likely)
        more = spares + offer.quote.handling + offer.quote.postage
        assert offer.quote.likely == pytest.approx(offer.choice.money + more)


def test_the_order_is_that_of_the_offer(job: Job, report: PlanReport) -> None:
    small = asked(job, offer="only what failed")
    assert {step.item for step in small.order} == {"", "TE"}
    assert small.order[-1].name == "prove"
    assert len(report.order) > len(small.order)
    names = [step.name for step in small.order if step.item == "TE"]
    assert names.index("trial") < names.index("cut") < names.index("boot") < names.index("crimp")


def test_a_limit_of_hours_is_kept_and_a_must_is_done(job: Job) -> None:
    tight = asked(job, most_hours=2.0, must=["AV"])
    assert tight.pays.choice is not None
    assert tight.pays.choice.minutes <= 120.0
    assert {"AV boot", "AV terminal", "TE terminal"} == set(tight.must)
    assert tight.offers[2].choice is None
    assert "at least" in tight.offers[2].why_not


def test_a_branch_that_must_be_done_is_done(job: Job) -> None:
    found = asked(job, must=["B8"])
    assert set(found.must) == {"AV boot", "AV terminal", "TE terminal", "W23 insulation"}
    for offer in (*found.offers, found.pays):
        assert offer.choice is not None
        assert not set(found.must) & set(offer.choice.left)


def test_the_facts_are_those_of_the_ordered_offer_and_add_up_to_it() -> None:
    """Work is that of the cures and of the places; money an hour's price and the parts."""
    for name in ("only what failed", "everything", "what pays"):
        found = demo_known(name).plan
        choice = found.chosen.choice
        assert choice is not None
        assert tuple(fact.cure for fact in found.facts) == choice.cures
        assert {place for fact in found.facts for place in fact.opens} == set(choice.opened)
        assert all(fact.because and fact.items and fact.weak_points for fact in found.facts)
        parts = sum(fact.parts for fact in found.facts)
        assert choice.money == pytest.approx(found.rate * choice.minutes / 60.0 + parts)
        assert sum(fact.minutes for fact in found.facts) <= choice.minutes


def test_no_facts_where_the_limits_allow_nothing(job: Job) -> None:
    tight = asked(job, most_hours=1.0, offer="everything")
    assert tight.chosen.choice is None
    assert tight.facts == ()


def test_facts_without_prices_have_none(job: Job) -> None:
    bare = asked(attrs.evolve(job, offers=()), offer="only what failed").json()
    assert [each["parts"] for each in bare["facts"]] == [None]
    (told,) = demo_known("only what failed").plan.json()["facts"]
    assert set(told) == {
        "cure", "because", "items", "minutes", "parts", "opens", "uses_mm", "comeback",
        "weak_points", "life_years", "life_standing",
    }  # fmt: skip
    assert told["parts"] > 0.0
    assert (told["cure"], told["life_years"]) == ("re_terminate TE", 7.0)
    assert told["life_standing"] == "common practice"


def test_turning_points_lie_inside_their_range(report: PlanReport) -> None:
    assert report.flips
    for flip in report.flips:
        assert flip.unknown.low <= flip.beyond <= flip.unknown.high
        assert report.pays.choice is not None
        assert set(flip.instead) != set(report.pays.choice.cures)


def test_unknown_names_are_told_with_the_nearest(job: Job) -> None:
    with pytest.raises(NotFound) as caught:
        asked(job, must=["AVV"])
    assert caught.value.expected == 'did you mean "AV"?'
    with pytest.raises(NotFound, match='no offer "cheap"'):
        asked(job, offer="cheap")


def test_a_job_without_survey_and_readings_asks_for_nothing(job: Job) -> None:
    bare = plan(attrs.evolve(job, survey=(), readings=(), proof=()))
    assert bare.must == ()
    assert bare.pays.choice is not None
    assert bare.pays.choice.cures == ()
    assert bare.order == ()


def test_json_is_plain(report: PlanReport) -> None:
    told = json.loads(json.dumps(report.json()))
    assert set(told) == {
        "job", "currency", "rate", "rate_given", "parts_priced", "must", "offers", "pays",
        "ordered", "order", "facts", "flips", "notes",
    }  # fmt: skip
