"""The cut plan of a job: sums, what is bought, lengths from elsewhere, and a stop."""

from __future__ import annotations

import json
from collections import Counter

import attrs
import pytest

from loomwright.loom import Job, OwnFigure, StockRow
from loomwright.loom.errors import Stopped
from loomwright.services.cut import CutReport, cut
from loomwright.services.cut_report import Proof
from loomwright.services.cut_words import (
    bought_words,
    left_out_words,
    left_words,
    metres,
    proof_words,
    source_words,
    strip_words,
    sum_words,
)
from sample.demo import demo_job


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


@pytest.fixture(scope="module")
def report(job: Job) -> CutReport:
    return cut(job)


def test_every_wire_is_cut_once(job: Job, report: CutReport) -> None:
    cuts = [w.wire for kind in report.kinds for each in kind.sources for w in each.wires]
    assert Counter(cuts) == Counter(str(wire.wire) for wire in job.wires)
    assert not report.left_out


def test_lengths_needed_left_and_lost_add_up(report: CutReport) -> None:
    for kind in report.kinds:
        opened = sum(each.length_mm for each in kind.sources)
        assert opened == kind.needed_mm + kind.waste_mm + kind.back_mm
        for each in kind.sources:
            assert each.left_mm >= 0
            assert each.goes_back == (each.left_mm >= report.keep_mm)
    assert sum(report.colours_mm.values()) == sum(kind.needed_mm for kind in report.kinds)


def test_the_example_is_proved(report: CutReport) -> None:
    assert all(kind.proved for kind in report.kinds)
    assert {proof_words(kind) for kind in report.kinds} == {
        "Proved: no plan takes less (by the lengths of its wires together)."
    }


def test_what_is_bought_covers_what_is_cut(report: CutReport) -> None:
    for each in report.buy:
        assert len(each.least_mm) == each.count
        assert max(each.least_mm) <= each.length_mm
    sold = next(each for each in report.buy if each.name == "WIRE-075 RD/GN")
    # One wire of less than 5 m; offer B10 of the example is a reel of 5 m at 5.50.
    assert (sold.offer, sold.length_mm, sold.count, sold.price) == ("B10", 5000, 1, 5.5)
    assert bought_words(sold, "EUR") == ("1 × 5.00 m WIRE-075 RD/GN: offer B10 of SUP-B, 5.50 EUR")


def test_wire_cut_to_order_is_bought_in_one_length(report: CutReport) -> None:
    sold = next(each for each in report.buy if each.name == "WIRE-100 BN")
    assert sold.count == 1
    assert sold.packs * 1000 == sold.length_mm
    assert sold.price == pytest.approx(1.6 * sold.packs)  # offer A06: 1.60 a metre
    assert sold.length_mm - 1000 < sold.least_mm[0] <= sold.length_mm


def test_the_drawer_is_cut_before_anything_is_bought(job: Job) -> None:
    stock = (
        StockRow(part="WIRE-100", colour="BN", count=2.1, unit="m", kept="hook 2"),
        StockRow(part="WIRE-100", colour="BN", count=40.0, unit="m"),
        StockRow(part="WIRE-100", colour="BN", count=9.0, unit="m"),
    )
    kind = next(k for k in cut(attrs.evolve(job, stock=stock)).kinds if k.name == "WIRE-100 BN")
    assert kind.reels == Proof(got=0, least=0)
    assert [each.length_mm for each in kind.sources] == [9000]
    assert source_words(kind.sources[0]) == "9.00 m from the drawer, hook 2"
    assert left_words(kind.sources[0]).endswith("mm left, to the drawer")


def test_lengths_from_elsewhere_are_taken_as_they_are(job: Job) -> None:
    told = {str(wire.wire): 1000.0 for wire in job.wires[1:]}
    found = cut(job, cut_mm=told)
    lengths = {w.length_mm for kind in found.kinds for s in kind.sources for w in s.wires}
    assert lengths == {1000}
    assert left_out_words(found) == (f"{job.wires[0].wire}: length not known",)


def test_without_catalogue_the_plan_goes_by_section_insulation_and_colour(job: Job) -> None:
    found = cut(attrs.evolve(job, catalogue=(), offers=(), stock=()))
    assert {kind.part for kind in found.kinds} == {""}
    assert any(note.startswith("the catalogue is empty") for note in found.notes)
    assert all(source.to_be_found for kind in found.kinds for source in kind.sources)
    assert left_words(found.kinds[0].sources[0]) == ""
    assert source_words(found.kinds[0].sources[0]).startswith("at least ")
    assert "no waste" in sum_words(found)


def test_different_insulations_from_one_wire_are_told(job: Job) -> None:
    some = [each for each in job.wires if each.colour == "BN" and each.section_mm2 == 1]
    hot = tuple(attrs.evolve(each, insulation="XLPE 125") if each is some[0] else each
                for each in job.wires)  # fmt: skip
    notes = cut(attrs.evolve(job, wires=hot)).notes
    assert any("name different insulations" in note and "XLPE 125" in note for note in notes)


def test_figures_of_the_job_come_first(job: Job) -> None:
    own = attrs.evolve(job, settings=(OwnFigure(name="offcut_keep", value=50_000.0),))
    assert not any(source.goes_back for kind in cut(own).kinds for source in kind.sources)


def test_what_is_not_proved_says_how_much_less_might_do(report: CutReport) -> None:
    kind = attrs.evolve(report.kinds[0], reels=Proof(got=3, least=2))
    assert proof_words(kind) == "Not proved in the time there was: 2 new lengths might do."


def test_the_json_can_be_written(report: CutReport) -> None:
    told = json.loads(json.dumps(report.json()))
    assert told["kinds"][0]["sources"][0]["wires"][0]["strip_start_mm"] == [4.0, 4.5]


def test_it_stops_when_it_is_told_to(job: Job) -> None:
    with pytest.raises(Stopped):
        cut(job, progress=lambda *_: False)


def test_lengths_needed_are_never_told_too_short() -> None:
    assert (metres(1885), metres(2000), metres(1)) == ("1.89 m", "2.00 m", "0.01 m")
    assert (strip_words(None), strip_words((4.0, 4.5)), strip_words((4.0, 4.0))) == (
        "", "4 to 4.5 mm", "4 mm")  # fmt: skip
