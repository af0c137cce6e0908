"""Offers, stock and suppliers as baskets and prices take them."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import Job
from loomwright.repair.market import basket_for, market, worth
from loomwright.repair.parts_need import Need, Piece, Reason, bought_as
from sample import jobs


@pytest.fixture
def job() -> Job:
    return jobs.job()


def need(part: str, count: float) -> Need:
    return Need(part=part, kind="terminal", colour="", unit="piece", count=count,
                reasons=(Reason(count=count, words="T1"),))  # fmt: skip


def wire(colour: str, *lengths: int) -> Need:
    cuts = tuple(Piece(wire=f"W{n}", length_mm=length) for n, length in enumerate(lengths))
    return Need(part="WIRE", kind="wire", colour=colour, unit="m", count=sum(lengths) / 1000,
                reasons=(), cuts=cuts)  # fmt: skip


def test_wire_is_bought_in_its_colour_and_parts_in_any() -> None:
    assert bought_as("WIRE", "bn/wh") == "WIRE BN/WH"
    assert bought_as("REC", None) == "REC"


def test_prices_are_the_least_of_a_piece_or_a_metre(job: Job) -> None:
    """10 for 4.5 and 50 for 15: 0.30 each; wire at 0.9 a metre."""
    assert market(job).price == {"REC": pytest.approx(0.3), "WIRE BN/WH": pytest.approx(0.9)}


def test_the_drawer_holds_pieces_and_single_lengths(job: Job) -> None:
    found = market(attrs.evolve(job, stock=(*job.stock, *job.stock)))
    assert found.stock == {"REC": 12}
    assert found.drawer == {"WIRE BN": (1500, 1500)}


def test_a_metre_is_cut_to_order_and_more_is_a_reel(job: Job) -> None:
    reel = attrs.evolve(job.offers[2], pack=10.0)
    found = market(attrs.evolve(job, offers=(job.offers[2], reel)))
    assert [(each.pack, each.one_length) for each in found.offers] == [(1000, True), (10000, False)]


def test_blanks_of_a_supplier_count_as_none(job: Job) -> None:
    assert [each.least_order for each in market(job).suppliers] == [0.0, 15.0]


def test_what_lies_in_the_drawer_is_worth_its_replacement(job: Job) -> None:
    total, unpriced = worth([need("REC", 6), need("BOOT", 1)], market(job).price)
    assert total == pytest.approx(1.8)
    assert unpriced == ("BOOT",)


def test_the_basket_counts_the_drawer_and_cuts_wire(job: Job) -> None:
    found = basket_for([need("REC", 9), wire("BN", 900, 700), wire("BN/WH", 900)], market(job))
    assert [(each.offer.offer, each.packs) for each in found.bought] == [("F1", 17), ("N1", 1)]
    assert found.nowhere == {"WIRE BN": 700}
    assert found.left_over["REC"] == 7
