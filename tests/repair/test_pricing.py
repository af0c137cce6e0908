"""What cures cost in parts: by hand in the small job."""

from __future__ import annotations

import attrs
import pytest

from loomwright import standards
from loomwright.loom import Job
from loomwright.repair.candidates import Candidates, candidates
from loomwright.repair.choice import Choice
from loomwright.repair.condition import conditions
from loomwright.repair.pricing import Pricing
from sample import jobs
from sample.parts import ALL, small

VALUE = standards.values()
EDITS: jobs.Edits = {"offers": ("F1,FAR,WIRE,1,m,0.9,BN/WH", "F1,FAR,BOOT,1,piece,2.5,")}


@pytest.fixture
def job() -> Job:
    """Terminals at 0.30 or less, boots at 2.50; T1's boot is of grade 3."""
    traded = jobs.job(EDITS)
    return small(*ALL, offers=traded.offers, suppliers=traded.suppliers, stock=())


def could(job: Job) -> Candidates:
    return candidates(job, conditions(job), (), value=VALUE)


def choice(*cures: str) -> Choice:
    return Choice(cures=cures, opened=(), left=(), minutes=0.0, money=0.0, comebacks=0.0,
                  expected_cost=0.0)  # fmt: skip


def test_a_cure_costs_its_parts_at_the_least_price(job: Job) -> None:
    """A boot at 2.50; new terminals: two at 0.30 and the boot."""
    priced = {cure.cure: cure.parts for cure in Pricing(job, VALUE).with_parts(could(job)).cures}
    assert priced["boot_only T1"] == pytest.approx(2.5)
    assert priced["re_terminate T1"] == pytest.approx(2 * 0.3 + 2.5)


def test_what_has_no_price_counts_as_nothing_and_is_noted(job: Job) -> None:
    priced = Pricing(job, VALUE).with_parts(could(job))
    assert next(cure.parts for cure in priced.cures if cure.cure == "new_wire W1") < 1.0
    assert "without a price, so counted as 0: 1 of the parts and wires in question" in priced.notes


def test_without_offers_cures_are_left_as_they_are(job: Job) -> None:
    bare = attrs.evolve(job, offers=())
    assert Pricing(bare, VALUE).with_parts(could(bare)) == could(bare)


def test_an_outlay_adds_spares_and_trials_to_the_parts(job: Job) -> None:
    found = Pricing(job, VALUE).outlay(could(job), choice("re_terminate T1"))
    spare = sum(
        each.count
        for each in found.need.needs[0].reasons
        if each.words.startswith(("spare", "for"))
    )
    assert found.extra == pytest.approx(0.3 * spare)
    assert found.parts == pytest.approx(2 * 0.3 + 2.5 + found.extra)
    assert found.basket.suppliers == ("FAR", "NEAR")
    assert found.unpriced == ()
