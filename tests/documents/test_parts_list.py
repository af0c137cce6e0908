"""The parts list: needs with their reasons, drawer, orders, cuts, what has no offer, poor jobs."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import attrs
import pytest
from pypdf import PdfReader

from loomwright.documents.parts_list import PartsList, parts_list
from loomwright.documents.typesetting import pdf
from loomwright.loom import About, Job
from loomwright.services.workup import WorkUp
from sample import demo

DAY = "2026-03-21"


def made(known: WorkUp) -> PartsList:
    (paper,) = parts_list(known, DAY)
    assert isinstance(paper.context, PartsList)
    assert pdf(paper, size="letter").startswith(b"%PDF")
    return paper.context


def without(known: WorkUp, *tables: str) -> PartsList:
    return made(demo.like(known, attrs.evolve(known.job, **dict.fromkeys(tables, ()))))


def number(text: str) -> float:
    return float(text.split()[0])


@pytest.fixture(scope="module")
def page(press: Any) -> PartsList:
    (paper,) = press.papers("parts")
    assert isinstance(paper.context, PartsList)
    return paper.context


@pytest.fixture(scope="module")
def everything() -> PartsList:
    return made(demo.demo_known("everything"))


def test_it_is_read_from_what_is_missing_to_what_it_rests_on(press: Any) -> None:
    pages = PdfReader(BytesIO(press.content("parts", "a4")["parts-list"])).pages
    words = " ".join(" ".join(page.extract_text() for page in pages).split())
    order = (
        "For the offer “what pays”.", "To be found elsewhere, or asked for",
        "REC28-T (Flat receptacle 2.8 x 0.5): 2 pieces without an offer.",
        "No boot of the catalogue is sure to fit TH", "What is needed",
        "4 for Throttle switch plug (TH).", "3 spare, enough in 95 of 100 such jobs.",
        "3 for trial crimps on 0.5 mm²", "From the drawer", "drawer 3", "To order",
        "SUP-B: Supplier B", "Postage", "Together", "There in 5 days.", "Ordered on",
        "How wire is cut", "2760 mm", "wire W23 (SPP to AV.1)", "One more pack",
        "What this rests on",
    )  # fmt: skip
    places = []
    for each in order:
        places.append(words.index(each, places[-1] if places else 0))
    assert places == sorted(places)


def test_reasons_add_up_to_what_is_needed(page: PartsList) -> None:
    """`1 each for A; B.` counts once for each."""
    for row in page.needs:
        counted = sum(
            number(why) * (len(why.split("; ")) if " each for " in why else 1) for why in row.why
        )
        assert counted == pytest.approx(number(row.needed), abs=0.011)


def test_a_parcel_adds_up(everything: PartsList) -> None:
    assert len(everything.orders) == 2
    for order in everything.orders:
        for row in order.packs:
            assert number(row.packs) * float(row.each) == pytest.approx(float(row.total))
        goods = sum(float(row.total) for row in order.packs)
        assert goods + float(order.postage) == pytest.approx(float(order.total))


def test_a_length_is_its_pieces_and_what_is_left(everything: PartsList) -> None:
    lengths = [row for group in everything.cuts for row in group.lengths]
    assert lengths
    for row in lengths:
        pieces = sum(number(length) for length, _ in row.pieces) / 1000
        assert pieces + number(row.left) == pytest.approx(number(row.source), abs=0.011)
    assert len({group.wire for group in everything.cuts}) == len(everything.cuts)


def test_a_splice_names_its_wire_and_its_plug(everything: PartsList) -> None:
    (splice,) = (row for row in everything.needs if row.part == "SPL-S")
    assert splice.why[0].startswith("1 each for wire W46 (RB.6 to I6.1) at I6; wire W52")


def test_the_drawer_says_where_a_part_lies(page: PartsList) -> None:
    assert {row.part: (row.take, row.kept) for row in page.drawer} == {
        "REC28-S": ("12 pieces", "drawer 3"),
        "REC28-T": ("4 pieces", "drawer 3"),
        "BOOT2-A": ("2 pieces", "drawer 5"),
    }


def test_without_offers_all_that_the_drawer_lacks_is_without_one(press: Any) -> None:
    said = without(press.known, "offers")
    assert said.orders == said.more == ()
    assert said.no_order == "Nothing is ordered: what the drawer does not hold has no offer."
    assert "The table offers is empty, so nothing can be bought." in said.missing
    assert any(line.startswith("BOOT2-S") for line in said.missing)
    assert said.drawer


def test_without_stock_nothing_comes_from_the_drawer(press: Any) -> None:
    said = without(press.known, "stock")
    assert said.drawer == ()
    assert all(row.drawer == "–" for row in said.needs)
    assert said.orders


def test_without_a_catalogue_no_part_is_invented(press: Any) -> None:
    said = without(press.known, "catalogue", "offers", "stock")
    assert said.needs == said.orders == ()
    assert said.no_order == "No parts are needed for this work, or none are known."
    assert "The catalogue is empty, so no part can be chosen." in said.missing


def test_nothing_to_do_takes_no_parts() -> None:
    said = made(WorkUp(Job(about=About(title="Empty"))))
    assert said.no_order == "Nothing is done by this offer, so no parts are needed."
    assert said.needs == said.drawer == said.orders == said.cuts == said.more == ()
    assert said.missing == ()


def test_an_offer_that_is_not_possible_says_why(press: Any) -> None:
    seen = press.known.weighed
    none = attrs.evolve(
        seen.pays, choice=None, quote=None, outlay=None, lines=(), why_not="2 h are too few"
    )
    known = WorkUp(press.known.job)
    known.weighed = attrs.evolve(seen, pays=none)
    said = made(known)
    assert said.no_order == "The offer “what pays” is not possible: 2 h are too few."
    assert said.missing == said.needs == ()


def test_no_currency_shows_none(press: Any) -> None:
    job = press.known.job
    suppliers = tuple(attrs.evolve(row, currency=None) for row in job.suppliers)
    bare = attrs.evolve(job, suppliers=suppliers, about=attrs.evolve(job.about, currency=None))
    said = made(demo.like(press.known, bare))
    assert said.money == ""
    assert "EUR" not in str(attrs.asdict(said))


def test_parts_and_plan_share_one_weighing(press: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    known = WorkUp(press.known.job)
    known.weighed = press.known.weighed

    def again(*_: object, **__: object) -> None:
        raise AssertionError("weighed twice")

    monkeypatch.setattr("loomwright.services.workup.weigh", again)
    monkeypatch.setattr("loomwright.services.buy.weigh", again)
    assert known.buy == press.known.buy
