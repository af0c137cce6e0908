"""What to buy on the demo job: sums, parcels that keep their terms, what nobody sells."""

from __future__ import annotations

import json

import attrs
import pytest

from loomwright.loom import Job, NotFound, OwnFigure
from loomwright.services.buy import BuyReport, bought, buy
from loomwright.services.weighed import EXTRA, Weighed
from sample.demo import demo_job, demo_known, like


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


@pytest.fixture(scope="module")
def seen() -> Weighed:
    return demo_known().weighed


@pytest.fixture(scope="module")
def report(seen: Weighed) -> BuyReport:
    return bought(seen)


def test_every_line_adds_up(report: BuyReport) -> None:
    assert report.lines
    for line in report.lines:
        assert sum(each.count for each in line.reasons) == pytest.approx(line.needed)
        assert line.needed == pytest.approx(
            line.from_drawer + line.bought - line.left_over + line.nowhere
        )


def test_parcels_add_up_and_keep_the_least_order(job: Job, report: BuyReport) -> None:
    rows = {row.supplier: row for row in job.suppliers}
    assert report.parcels
    for parcel in report.parcels:
        assert parcel.goods == pytest.approx(sum(pack.packs * pack.price for pack in parcel.packs))
        assert parcel.goods >= (rows[parcel.supplier].least_order or 0.0)  # type: ignore[index]
    assert report.total == pytest.approx(sum(p.goods + p.postage for p in report.parcels))


def test_what_the_drawer_holds_is_not_bought(job: Job, report: BuyReport) -> None:
    """Twelve terminals lie in the drawer, and two angled boots."""
    drawer = {row.part: row.count for row in job.stock if row.unit == "piece"}
    lines = {line.name: line for line in report.lines}
    assert lines["REC28-S"].from_drawer == drawer["REC28-S"]  # type: ignore[index]
    assert lines["BOOT2-A"].bought == lines["BOOT2-A"].needed - drawer["BOOT2-A"]  # type: ignore[index]


def test_what_nobody_sells_is_told(report: BuyReport) -> None:
    assert {line.name for line in report.nowhere} == {"REC28-T", "WIRE-075 BN/RD"}


def test_one_more_pack_costs_no_more_now_than_later(report: BuyReport) -> None:
    assert report.later
    assert all(each.now <= each.later for each in report.later)


def test_every_piece_of_wire_is_cut_once(report: BuyReport) -> None:
    pieces = [piece for cut in report.cuts for piece in cut.pieces]
    assert len({wire for wire, _ in pieces}) == len(pieces)
    assert all(sum(mm for _, mm in cut.pieces) <= 1000 * cut.length_m for cut in report.cuts)


def test_the_quote_carries_parts_spares_and_postage(seen: Weighed, report: BuyReport) -> None:
    pays = seen.pays
    assert pays.quote is not None
    assert pays.outlay is not None
    assert pays.quote.parts == pytest.approx(pays.outlay.parts)
    assert pays.quote.postage == report.postage
    assert pays.quote.vat is None
    assert pays.lines[-1].words == EXTRA


def test_a_tax_line_stands_only_where_the_job_gives_its_share(job: Job) -> None:
    job = attrs.evolve(job, settings=(OwnFigure(name="vat", value=0.19),))
    taxed = like(demo_known(), job).weighed
    quote = taxed.pays.quote
    assert quote is not None
    assert quote.vat == pytest.approx(
        0.19 * (quote.work + quote.parts + quote.handling + quote.postage)
    )


def test_what_is_left_over_counts_where_the_job_says_so(job: Job, report: BuyReport) -> None:
    """The set of six boots for 24 beats three at 4.80 when leftovers keep most of their price."""
    settings = (OwnFigure(name="leftover_value", value=0.8),)
    kept = like(demo_known(), attrs.evolve(job, settings=settings)).buy
    assert kept.total > report.total
    assert sum(line.left_over for line in kept.lines) > sum(line.left_over for line in report.lines)


def test_dear_parts_change_what_pays(job: Job, seen: Weighed) -> None:
    """At a hundred times the price a stiff boot is left, and terminals are kept where they can."""
    dear = tuple(attrs.evolve(row, price=100 * row.price) for row in job.offers)
    other = like(demo_known(), attrs.evolve(job, offers=dear)).weighed.pays.choice
    assert other is not None
    assert seen.pays.choice is not None
    assert "boot_only I1" in seen.pays.choice.cures
    assert "boot_only I1" not in other.cures
    assert other.comebacks > seen.pays.choice.comebacks


def test_without_offers_the_parts_are_told_and_none_is_bought(job: Job) -> None:
    bare = buy(attrs.evolve(job, offers=(), suppliers=()), offer="only what failed")
    assert [line.part for line in bare.lines] == ["REC28-S", "BOOT2-S"]
    assert bare.parcels == ()
    assert bare.notes[0] == "the table offers is empty, so nothing can be bought"


def test_an_unknown_offer_is_named(seen: Weighed) -> None:
    with pytest.raises(NotFound, match='no offer "cheap"'):
        bought(seen, offer="cheap")


def test_json_is_plain(report: BuyReport) -> None:
    told = json.loads(json.dumps(report.json()))
    assert set(told) == {
        "job", "currency", "offer", "cures", "parts", "parcels", "goods", "postage", "total",
        "lead_days", "later", "cuts", "notes",
    }  # fmt: skip
