"""The life report of the demo job: worst first, as JSON and in words."""

from __future__ import annotations

import json
import time
from datetime import date
from pathlib import Path

import attrs
import pytest

from loomwright.loom import Job, SurveyRow
from loomwright.services.life import LifeReport, life
from loomwright.services.life_words import (
    STANDING,
    bought_words,
    headline,
    inspect_words,
    left_words,
    reason_words,
)
from loomwright.storage.job_folder import JobFolder
from sample import fed

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"
TODAY = date(2026, 3, 19)


@pytest.fixture(scope="module")
def job() -> Job:
    return JobFolder().read(DEMO)


@pytest.fixture(scope="module")
def report(job: Job) -> LifeReport:
    return life(job, TODAY)


def test_every_wire_and_every_boot_stands_in_it_once(job: Job, report: LifeReport) -> None:
    wires = {line.life.item for line in report.lines if line.life.kind == "wire"}
    boots = {line.life.item for line in report.lines if line.life.kind == "boot"}
    assert wires == {each.wire for each in job.wires}
    assert boots == {each.plug for each in job.plugs if each.boot != "none"}
    assert len(report.lines) == len(wires) + len(boots)


def test_the_wire_beside_the_exhaust_comes_first(report: LifeReport) -> None:
    """105 °C wire of grade 3 at 132 °C running and 162 °C after a hot stop."""
    first = report.lines[0]
    assert (first.life.item, first.level) == ("W23", "bad")
    assert inspect_words(first) == "inspect now"
    assert "132 °C running, 162 °C after a hot stop" in reason_words(first.life)
    assert left_words(first.life, report.most_years).endswith("left")


def test_levels_do_not_mix(report: LifeReport) -> None:
    levels = [line.level for line in report.lines]
    order = ["bad", "watch", "open", "good"]
    assert levels == sorted(levels, key=order.index)


def test_a_missing_boot_is_due_whatever_its_rubber(report: LifeReport) -> None:
    (line,) = report.of("TH")
    assert line.level == "bad"
    assert left_words(line.life, report.most_years) == "missing: fit one now"


def test_words_say_bands_what_is_missing_and_what_helps(report: LifeReport) -> None:
    told = [(left_words(each.life, report.most_years), reason_words(each.life),
             bought_words(each.life, report.most_years)) for each in report.lines]  # fmt: skip
    assert all(left and reason for left, reason, _ in told)
    assert not any("inf" in word or "nan" in word for left, reason, _ in told
                   for word in f"{left} {reason}".split())  # fmt: skip
    kinds = [words.split(":")[0] for words in told[0][2]]
    assert len(kinds) == 3
    assert any(words.startswith("a reflective sleeve") for words in kinds)
    assert "due now" in headline(report)
    assert "assumed" in STANDING


def test_counts_in_the_headline_are_those_of_the_lines(report: LifeReport) -> None:
    bad = sum(line.level == "bad" for line in report.lines)
    assert headline(report).startswith(f"{bad} items due now")


def test_a_life_without_a_date_for_what_nobody_saw(report: LifeReport) -> None:
    (unseen,) = (line for line in report.lines if line.life.item == "W24")
    assert "nobody looked at this one" in left_words(unseen.life, report.most_years)
    assert inspect_words(unseen) == ""


def test_a_life_that_rests_on_a_guess_says_so() -> None:
    job = fed.wired(fed.fed(ohm=1e5), section_mm2=None)
    (line,) = life(job, TODAY).of("W2")
    assert line.life.total is not None
    assert reason_words(line.life).endswith("(section not told; 1 mm² is taken)")


def test_a_wire_that_heats_without_end_is_told_in_words_and_json() -> None:
    report = life(fed.wired(fed.fed(ohm=0.01), section_mm2=0.3, length_mm=10), TODAY)
    (line,) = report.of("W2")
    assert "no end by its own current" in reason_words(line.life)
    assert "within a year" in reason_words(line.life)
    json.dumps(report.json(), allow_nan=False)


def test_an_empty_job_makes_an_empty_report() -> None:
    assert life(Job(about=fed.fed().about), TODAY).lines == ()


def test_a_good_wire_is_looked_at_by_a_day() -> None:
    seen = (SurveyRow(item="W2", aspect="insulation", grade=0),)
    job = attrs.evolve(fed.fed(ohm=1e5), survey=seen)
    (line,) = life(job, TODAY).of("W2")
    assert line.level == "good"
    assert inspect_words(line) == "inspect by 2029-03-18"  # three years less a day, 365.25 d each


def test_json_is_plain(report: LifeReport) -> None:
    told = json.loads(json.dumps(report.json(), allow_nan=False))
    assert set(told) == {"job", "today", "most_years", "lines"}
    first = told["lines"][0]
    assert first["item"] == "W23"
    assert len(first["remaining_a"]) == 3
    assert "OL" not in json.dumps(told)


def test_five_hundred_wires_take_less_than_two_seconds(job: Job) -> None:
    large = fed.many(job, 8)
    assert len(large.wires) > 500
    began = time.process_time()
    life(large, TODAY)
    assert time.process_time() - began < 2 * 2  # twice the aim: the machine may be shared
