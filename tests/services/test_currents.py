"""The report on currents of the demo job: worst first, as JSON and in words."""

from __future__ import annotations

import json
import time
from pathlib import Path

import attrs
import pytest

from loomwright.loom import Job
from loomwright.services.currents import CurrentsReport, currents
from loomwright.services.currents_words import (
    STANDING,
    current_words,
    feeds_words,
    guard_words,
    headline,
    missing_words,
    warmth_words,
)
from loomwright.storage.job_folder import JobFolder
from sample import fed

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"


@pytest.fixture(scope="module")
def job() -> Job:
    return JobFolder().read(DEMO)


@pytest.fixture(scope="module")
def report(job: Job) -> CurrentsReport:
    return currents(job)


def test_every_wire_stands_in_it_the_least_room_first(job: Job, report: CurrentsReport) -> None:
    assert {each.heat.wire for each in report.lines} == {each.wire for each in job.wires}
    room = [each.heat.headroom_k for each in report.lines if each.heat.headroom_k is not None]
    assert room == sorted(room)
    assert report.lines[0].level == "bad"


def test_wires_in_a_zone_above_their_class_are_too_warm(report: CurrentsReport) -> None:
    (line,) = (each for each in report.lines if each.heat.wire == "W23")
    assert line.level == "bad"  # 105 °C wire at 132 °C
    assert "27 K too warm" in warmth_words(line)


def test_words_leave_nothing_out(report: CurrentsReport) -> None:
    for line in report.lines:
        assert current_words(line.heat.current)
        assert warmth_words(line)
    assert all(guard_words(each) for each in report.guards)
    assert STANDING


def test_a_wire_says_what_it_feeds_and_when(report: CurrentsReport) -> None:
    by_name = {each.heat.wire: each.heat.current for each in report.lines}
    assert current_words(by_name["W12"]).endswith("A while starting")
    assert feeds_words(by_name["W12"]) == "VALVE"
    assert " and " in feeds_words(by_name["W01"])
    assert current_words(by_name["W63"]) == "nothing in any state tried"


def test_what_is_wrong_with_a_fuse_comes_first_and_carries_a_caution() -> None:
    job = fed.fed(fuse_a=30.0)
    report = currents(job)
    assert [each.wire for each in report.guards] == ["W2", "W1"]
    assert guard_words(report.guards[0]).startswith("FU, 30 A: too large; at 40 A the fuse may ")
    assert "without a fuse" in guard_words(report.guards[1])
    assert "can burn the car down" in report.caution
    assert headline(report) == (
        "0 wires warmer than their class, 1 without a fuse, 1 behind too large a fuse"
    )


def test_a_good_fuse_says_so_and_the_largest_is_told() -> None:
    told = guard_words(next(each for each in currents(fed.fed(fuse_a=5.0)).guards if each.fuse))
    assert told.startswith("FU, 5 A: opens before the wire is too hot; the largest")


def test_a_job_without_a_fuse_is_asked_for_it() -> None:
    assert "give fuse_a" in missing_words(currents(fed.fed(fuse_a=None)))
    assert missing_words(currents(fed.fed())) == ""


def test_without_a_class_nothing_is_judged() -> None:
    report = currents(fed.wired(fed.fed(), insulation=None))
    assert {each.level for each in report.lines} == {"open"}
    assert all("insulation not told" in warmth_words(each) for each in report.lines)


def test_a_wire_that_heats_without_end_is_told_in_words_and_json() -> None:
    report = currents(fed.wired(fed.fed(ohm=0.01), section_mm2=0.3, length_mm=10))
    assert "without end" in warmth_words(report.lines[0])
    told = json.loads(json.dumps(report.json(), allow_nan=False))
    assert told["lines"][0]["conductor_c"] is None


def test_json_is_plain(report: CurrentsReport) -> None:
    told = json.loads(json.dumps(report.json(), allow_nan=False))
    assert set(told) == {"job", "supply_v", "caution", "lines", "fuses", "guards"}
    assert "OL" not in json.dumps(told)


def test_an_empty_job_makes_an_empty_report() -> None:
    report = currents(Job(about=fed.fed().about))
    assert (report.lines, report.guards, report.caution) == ((), (), "")


def test_no_battery_feeds_nothing() -> None:
    job = fed.fed()
    bare = attrs.evolve(job, joints=job.joints[1:])
    report = currents(bare)
    assert report.guards == ()
    assert all(each.level in ("open", "good") for each in report.lines)


def test_five_hundred_wires_take_less_than_five_seconds(job: Job) -> None:
    began = time.process_time()
    currents(fed.many(job, 8))
    assert time.process_time() - began < 5
