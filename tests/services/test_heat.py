"""All that heat and current do: one report for the screen, the paper and the page."""

from __future__ import annotations

from datetime import date

import attrs

from loomwright.services.currents import currents
from loomwright.services.heat import heat
from loomwright.services.life import life
from loomwright.services.plug_heat import plug_heat
from loomwright.services.shield_test import shield_tests
from sample.demo import demo_job, demo_known
from sample.jobs import job as small_job

DAY = date(2026, 3, 19)


def test_it_holds_what_its_parts_say() -> None:
    told = demo_known().heat(DAY).json()
    assert told["plugs"] == plug_heat(demo_job()).json()
    assert told["life"] == life(demo_job(), DAY).json()
    assert told["currents"] == currents(demo_job()).json()
    assert told["shield_tests"] == [each.json() for each in shield_tests(demo_job())]


def test_the_first_of_the_lives_and_the_hottest_plug_lead() -> None:
    told = demo_known().heat(DAY).json()
    peaks = {
        each["plug"]: each["bare"]["peak_c"]
        for zone in told["plugs"]["zones"]
        for each in zone["plugs"]
    }
    assert told["hottest"] == max(peaks, key=lambda name: peaks[name])
    assert told["ages_fastest"] == told["life"]["lines"][0]


def test_a_job_without_zones_tells_that_nothing_is_known() -> None:
    bare = attrs.evolve(
        small_job(), zones=(), warmings=(), survey=(),
        branches=tuple(attrs.evolve(each, zone=None) for each in small_job().branches),
        devices=tuple(attrs.evolve(each, zone=None) for each in small_job().devices),
    )  # fmt: skip
    told = heat(bare, DAY).json()
    assert told["hottest"] is None
    assert told["shield_tests"] == []
    assert told["plugs"]["not_told"]
