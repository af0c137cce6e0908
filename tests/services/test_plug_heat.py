"""The heat of the demo job's plugs, by zone, in figures and in words."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import pytest

from loomwright.loom import Job, OwnFigure
from loomwright.services.plug_heat import PlugHeatReport, as_it_is, plug_heat
from loomwright.services.plug_heat_words import (
    blower_line,
    not_told_line,
    plug_line,
    zone_line,
)
from loomwright.storage.job_folder import JobFolder

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"


@pytest.fixture(scope="module")
def job() -> Job:
    return JobFolder().read(DEMO)


@pytest.fixture(scope="module")
def report(job: Job) -> PlugHeatReport:
    return plug_heat(job)


def test_every_plug_stands_in_one_zone_or_among_those_not_told(
    job: Job, report: PlugHeatReport
) -> None:
    told = [each.plug for zone in report.zones for each in zone.plugs]
    told += [each.plug for each in report.not_told]
    assert sorted(told) == sorted(each.plug for each in job.plugs)


def test_zones_come_hottest_first(report: PlugHeatReport) -> None:
    soaks = [each.course.soak_c for each in report.zones]
    assert soaks == sorted(soaks, reverse=True)
    assert report.zones[0].course.zone == "EXHAUST"


def test_plugs_above_what_they_are_made_for_are_named(report: PlugHeatReport) -> None:
    # PVC of 105 °C: the engine zone soaks at 116 °C, the bay at 88 °C
    over = {zone.course.zone: {each.plug for each in zone.over} for zone in report.zones}
    assert "TE" in over["ENGINE"]
    assert over["BAY"] == set()
    # the exhaust zone runs at 132 °C
    hot = {each.plug for zone in report.zones for each in zone.hot_running}
    assert hot == {"AV"}


def test_a_plug_counts_with_its_boot_only_where_it_has_one(report: PlugHeatReport) -> None:
    plugs = {each.plug: each for zone in report.zones for each in zone.plugs}
    assert as_it_is(plugs["TE"]) is plugs["TE"].shielded
    assert as_it_is(plugs["MR"]) is plugs["MR"].bare
    assert as_it_is(attrs.evolve(plugs["TE"], has_boot=None)) is plugs["TE"].bare


def test_every_figure_of_the_model_carries_its_standing(job: Job, report: PlugHeatReport) -> None:
    standing = {each.name: each.standing for each in report.figures}
    assert standing["boot_wall"] == "assumed"
    assert standing["soak_rise"] == "assumed"
    assert "boot_slows" not in standing
    own = attrs.evolve(job, settings=(OwnFigure(name="boot_wall", value=3.0),), plugs=())
    mine = {each.name: each for each in plug_heat(own).figures}["boot_wall"]
    assert (mine.value, mine.standing) == (3.0, "measured")


def test_the_report_is_json(report: PlugHeatReport) -> None:
    told = json.loads(json.dumps(report.json()))
    assert told["standing"] == "derived"
    first = told["zones"][0]
    assert first["course"][0]["minutes"] == 0
    assert first["plugs"][0]["bare"]["peak_c"] > first["running_c"]
    assert 30 <= told["blower"]["shielded_s"] <= 120  # common practice is about a minute


def test_a_zone_in_words(report: PlugHeatReport) -> None:
    words = {each.course.zone: zone_line(each) for each in report.zones}
    assert words["ENGINE"].startswith(
        "Air 96 °C running, 116 °C after a hot stop: a bare plug reaches 11"
    )
    assert "with its boot" in words["ENGINE"]
    assert words["EXHAUST"].endswith("Running alone is hotter already than AV can bear for long.")


def test_a_plug_in_words(report: PlugHeatReport) -> None:
    plugs = {each.plug: plug_line(each) for zone in report.zones for each in zone.plugs}
    assert "minutes above the 105 °C (wire W32) it is made for; with its boot" in plugs["TE"]
    assert plugs["PS"].startswith("Bare at most 8")
    assert "boot" not in plugs["MR"]


def test_what_is_not_known_is_said(job: Job) -> None:
    lost = plug_heat(attrs.evolve(job, zones=()))
    assert lost.zones == ()
    assert not_told_line(lost).startswith("How hot it gets is not known for CU, TE,")
    assert plug_line(lost.not_told[0]).startswith("No heat zone that tells how warm it runs: give")
    assert lost.not_told[0].plug == "CU"
    assert json.dumps(lost.json())


def test_where_all_is_known_nothing_is_missing(report: PlugHeatReport) -> None:
    assert not_told_line(report) == ""


def test_the_blower_in_words(report: PlugHeatReport) -> None:
    assert blower_line(report.blower).startswith("From 23 to 50 °C in air of 150 °C: bare about ")
    assert "common practice is about 5 s and about a minute" in blower_line(report.blower)
    cold = attrs.evolve(report.blower, bare_s=float("inf"))
    assert blower_line(cold).endswith("it never gets there.")
