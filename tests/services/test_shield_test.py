"""A boot tried with a hot-air blower: the answer, what could not be told, and what to do."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import pytest

from loomwright.loom import WarmingPoint
from loomwright.loom.identity import PlugId, RunId
from loomwright.services.shield_test import BAD, CAUTIONS, GOOD, OPEN, ShieldTest, shield_tests
from loomwright.services.shield_test_words import (
    constant_words,
    range_words,
    rise_line,
    verdict_line,
)
from loomwright.storage.job_folder import JobFolder
from sample import jobs

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"


def logged(
    run: str, boot: str, *points: tuple[float, float], air: float | None = None, plug: str = "T1"
) -> tuple[WarmingPoint, ...]:
    return tuple(
        WarmingPoint(run=RunId(run), plug=PlugId(plug) if plug else None, boot=boot,
                     seconds=seconds, temperature_c=celsius, air_c=air)
        for seconds, celsius in points
    )  # fmt: skip


BARE = logged("H1", "off", (0, 23), (5, 50))
BOOT = logged("H2", "on", (0, 23), (60, 50))


def tried(*runs: tuple[WarmingPoint, ...]) -> ShieldTest:
    points = tuple(point for run in runs for point in run)
    (found,) = shield_tests(attrs.evolve(jobs.job(), warmings=points))
    return found


@pytest.fixture(scope="module")
def demo() -> ShieldTest:
    (found,) = shield_tests(JobFolder().read(DEMO))
    return found


def test_a_job_without_runs_has_no_tests() -> None:
    assert shield_tests(attrs.evolve(jobs.job(), warmings=())) == ()


def test_the_trade_figure_is_a_sound_boot() -> None:
    # common practice: 23 to 50 °C in about 5 s bare and about a minute with a sound boot
    found = tried(BARE, BOOT)
    assert found.times_slower is not None
    assert found.times_slower.value == pytest.approx(12)
    assert found.verdict == GOOD
    assert verdict_line(found).startswith("Warms 12 times slower than bare, ")
    assert "a sound boot: about 12 (common practice)" in verdict_line(found)
    assert rise_line(found) == "To the same rise (27 K bare): 5 s bare, 60 s with the boot on."


def test_of_two_readings_each_the_time_constants_cannot_be_told() -> None:
    found = tried(BARE, BOOT)
    assert found.bare is found.shielded is found.constants is None
    assert constant_words(found.bare) == "cannot be told: too few readings"
    assert "the time constant with the boot: too few readings" in found.not_told
    assert any("six temperatures or more" in each for each in found.measure)


def test_a_torn_boot_shields_too_little() -> None:
    found = tried(BARE, logged("H2", "on", (0, 23), (5, 38), (10, 50)))
    assert found.verdict == BAD
    assert "look for a tear" in verdict_line(found)


def test_in_between_it_cannot_be_told_whether_it_is_sound() -> None:
    found = tried(BARE, logged("H2", "on", (0, 23), (15, 37), (30, 50)))
    assert found.verdict == OPEN
    assert "cannot be told whether it is sound" in verdict_line(found)
    assert "warm it twice more each way" in found.measure


def test_without_a_bare_run_it_says_what_to_measure() -> None:
    found = tried(BOOT)
    assert found.times_slower is None
    assert found.verdict == OPEN
    assert verdict_line(found).startswith("Cannot be told: how it warms with the boot slid back")
    assert "warm it with the boot slid back, same blower, same distance" in found.measure
    assert rise_line(found) == ""


def test_without_a_start_it_asks_for_one() -> None:
    found = tried(BARE, logged("H2", "on", (20, 30), (60, 50)))
    assert found.slower is None
    assert "where run H2 began" in found.not_told
    assert any("at 0 s" in each for each in found.measure)


def test_air_that_wandered_is_told() -> None:
    points = logged("H2", "on", (0, 23), (60, 50), air=100)
    wandered = (points[0], attrs.evolve(points[1], air_c=140.0))
    found = tried(BARE, wandered)
    assert "how warm the air of run H2 was: 100 to 140 °C" in found.not_told


def test_runs_without_a_plug_ask_for_one() -> None:
    found = tried(logged("H1", "off", (0, 23), (5, 50), plug=""))
    assert found.plug == ""
    assert "which plug was warmed" in found.not_told


def test_rows_may_stand_in_any_order_and_the_first_of_two_counts() -> None:
    mixed = (BOOT[1], BOOT[0], attrs.evolve(BOOT[1], temperature_c=30.0))
    assert tried(BARE, mixed).times_slower == tried(BARE, BOOT).times_slower


def test_a_plug_hotter_than_any_blower_is_still_read() -> None:
    hot = logged("H2", "on", *((10.0 * n, 23.0 + 70 * n) for n in range(10)))
    assert tried(BARE, hot).slower is not None


def test_every_plug_has_a_test_of_its_own() -> None:
    other = logged("H3", "on", (0, 23), (60, 50), plug="T2")
    found = shield_tests(attrs.evolve(jobs.job(), warmings=(*BARE, *BOOT, *other)))
    assert [each.plug for each in found] == ["T1", "T2"]


def test_the_demo_boot_is_sound_by_rise_and_by_curve(demo: ShieldTest) -> None:
    assert demo.plug == "I2"
    assert demo.verdict == GOOD
    assert demo.slower is not None
    assert demo.slower.of_air
    # by hand: 69 °C, reached after 10 s bare and 120 s with the boot on
    assert demo.slower.slower.value == pytest.approx(12)
    assert demo.constants is not None
    # from two readings each: 18 s / ln(97 / 30) = 15.3 s and 110 s / ln(93.5 / 51) = 181 s
    assert demo.constants.value == pytest.approx(181 / 15.3, rel=0.05)
    assert demo.not_told == ()


def test_time_constants_in_words(demo: ShieldTest) -> None:
    assert demo.bare is not None
    assert " s, " in constant_words(demo.bare)
    found = demo.bare.time_constant_s
    wide = attrs.evolve(found, high=float("inf"))
    assert constant_words(attrs.evolve(demo.bare, time_constant_s=wide)).startswith("at least ")
    none = attrs.evolve(wide, low=0.0)
    assert constant_words(attrs.evolve(demo.bare, time_constant_s=none)) == "cannot be told"
    short = attrs.evolve(found, low=0.0)
    assert constant_words(attrs.evolve(demo.bare, time_constant_s=short)).startswith("at most ")
    assert range_words(attrs.evolve(found, low=8.6, high=16.2)) == "8.6 to 16"
    assert range_words(wide).startswith("at least ")
    assert range_words(short).startswith("at most ")
    assert range_words(none) == "how much is open"


def test_cautions_come_with_every_test(demo: ShieldTest) -> None:
    assert demo.cautions == CAUTIONS
    assert "fuel vapour" in demo.cautions[0]
    assert any("melts plastic" in each for each in demo.cautions)


def test_the_test_is_json(demo: ShieldTest) -> None:
    told = json.loads(json.dumps(demo.json()))
    assert told["verdict"] == "good"
    assert told["same_rise"]["slower"]["value"] == 12
    assert told["usual"] == {"times": 12, "least": 6, "standing": "common practice"}
    assert told["cautions"]
    open_ended = json.dumps(tried(BOOT).json())
    assert json.loads(open_ended)["same_rise"] is None
