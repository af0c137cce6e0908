"""Three offers and what would change the choice."""

from __future__ import annotations

import attrs
import pytest

from loomwright.repair.choice import Cure, Item, Terms, choose
from loomwright.repair.offers import Unknown, flips, three_offers, what_pays

ACCESS = {"intake": 90.0, "dash": 45.0}
TERMS = Terms(rate=60.0, comeback_cost=150.0)
ITEMS = [
    Item(item="I1", comeback=0.9),
    Item(item="I2", comeback=0.3),
    Item(item="I3", comeback=0.02),
    Item(item="CU", comeback=0.2),
]
CURES = [
    Cure(cure="terminal I1", items=("I1",), minutes=20.0, parts=6.0, opens=("intake",)),
    Cure(cure="terminal I2", items=("I2",), minutes=20.0, parts=6.0, opens=("intake",)),
    Cure(cure="terminal I3", items=("I3",), minutes=20.0, parts=6.0, opens=("intake",)),
    Cure(cure="clean CU", items=("CU",), minutes=30.0, opens=("dash",)),
]


def test_each_offer_says_what_it_does_and_leaves() -> None:
    first, second, third = three_offers(ITEMS, CURES, ACCESS, failed={"I1"}, terms=TERMS)
    assert first.choice is not None
    assert second.choice is not None
    assert third.choice is not None
    assert first.choice.cures == ("terminal I1",)
    assert first.choice.left == ("I2", "I3", "CU")
    assert first.choice.comebacks == pytest.approx(0.52)
    # I2 pays (0.3 x 150 against 26), I3 does not (3 against 26); CU is behind another access.
    assert second.choice.cures == ("terminal I1", "terminal I2")
    assert third.choice.left == ()
    assert third.choice.opened == ("dash", "intake")
    money = [offer.choice.money for offer in (first, second, third) if offer.choice]
    assert money == sorted(money)


def test_everything_is_what_is_worth_it_and_what_pays_is_least_of_all() -> None:
    third = three_offers(ITEMS, CURES, ACCESS, failed={"I1"}, terms=TERMS, worth=0.1)[2]
    assert third.choice is not None
    assert third.choice.left == ("I3",)
    best = what_pays(ITEMS, CURES, ACCESS, failed={"I1"}, terms=TERMS)
    assert best.choice is not None
    assert best.choice.cures == ("terminal I1", "terminal I2")


def test_an_offer_beyond_the_limits_says_why() -> None:
    tight = attrs.evolve(TERMS, most_minutes=140.0)
    offers = three_offers(ITEMS, CURES, ACCESS, failed={"I1"}, terms=tight)
    assert offers[0].choice is not None
    assert offers[2].choice is None
    assert "at least" in offers[2].why_not


def test_the_turning_point_of_an_unknown_is_found() -> None:
    """CU is left: cleaning costs 75 of time. From 0.5 x 150 on it pays."""
    unknowns = [
        Unknown(name="chance that CU comes back", kind="left", of="CU", low=0.05, high=0.8),
        Unknown(name="minutes at I1", kind="cure", of="terminal I1", low=10.0, high=40.0),
    ]
    items = [attrs.evolve(ITEMS[0], must=True), *ITEMS[1:]]
    assert "clean CU" not in choose(items, CURES, ACCESS, terms=TERMS).cures
    (flip,) = flips(items, CURES, ACCESS, terms=TERMS, unknowns=unknowns)
    assert flip.unknown.of == "CU"
    assert not flip.down
    assert flip.beyond == pytest.approx(0.5, abs=0.001)
    assert "clean CU" in flip.instead
