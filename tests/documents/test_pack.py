"""Which papers a job gives unasked."""

from __future__ import annotations

from typing import Any

import attrs
import pytest

from loomwright.documents.pack import KINDS, USUAL, papers, unasked
from loomwright.loom import NotFound
from loomwright.services.workup import WorkUp
from sample import demo

DAY = "2026-03-21"
OF_A_NEW_LOOM = {"build", "board", "cut", "verify"}


def test_a_repair_gives_no_papers_of_a_new_loom(press: Any) -> None:
    assert not press.known.renews_loom
    assert set(KINDS) - set(unasked(press.known)) == OF_A_NEW_LOOM
    assert unasked(press.known) == USUAL


def test_an_offer_that_makes_a_new_loom_gives_them(press: Any) -> None:
    plan = press.known.plan
    choice = attrs.evolve(plan.chosen.choice, cures=("new_loom loom",))
    offers = tuple(
        attrs.evolve(each, choice=choice if each.name == plan.ordered else each.choice)
        for each in plan.offers
    )
    pays = attrs.evolve(
        plan.pays, choice=choice if plan.pays.name == plan.ordered else plan.pays.choice
    )
    known = demo.like(press.known, press.known.job)
    vars(known)["plan"] = attrs.evolve(plan, offers=offers, pays=pays)
    assert known.renews_loom
    assert unasked(known) == tuple(KINDS)


def test_a_paper_is_made_when_it_is_named(press: Any) -> None:
    names = [paper.name for paper in papers(press.known, only=["verify", "build"], made_on=DAY)]
    assert names == ["build-sheet", "verification"]


def test_a_kind_that_there_is_not_is_refused_with_the_nearest() -> None:
    with pytest.raises(NotFound) as refusal:
        papers(WorkUp(demo.demo_job()), only=["bild"], made_on=DAY)
    assert 'Did you mean "build"' in str(refusal.value)
