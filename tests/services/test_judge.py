"""Judge: conditions and fit of a whole job, and what is amiss with its parts."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import pytest
from hypothesis import HealthCheck, given, settings

from loomwright.loom import Job, OwnFigure, Part
from loomwright.services.judge import JudgeReport, PartFit, PlugFit, judge
from loomwright.storage.job_folder import JobFolder
from sample import jobs
from sample.strategies import any_job

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"
REC = Part(
    part="REC", kind="terminal", section_min_mm2=0.5, section_max_mm2=1.0, insulation_min_mm=1.6,
    insulation_max_mm=2.6, tab_width_mm=2.8, tab_thickness_mm=0.8, barrel_mm=3.5, die="NEST",
)  # fmt: skip


@pytest.fixture(scope="module")
def demo() -> JudgeReport:
    return judge(JobFolder().read(DEMO))


def small(*parts: Part, tab_thickness_mm: float = 0.8) -> Job:
    """The small job with tabs on its sensor, no survey, and parts."""
    job = jobs.job()
    sensor = next(each for each in job.devices if each.device == "NTC1")
    tabbed = attrs.evolve(sensor, tab_width_mm=2.8, tab_thickness_mm=tab_thickness_mm)
    return attrs.evolve(job, devices=(tabbed,), catalogue=parts, survey=())


def at(report: JudgeReport, plug: str) -> PlugFit:
    (found,) = (each for each in report.fits if each.plug == plug)
    return found


def part(fit: PlugFit, name: str) -> PartFit:
    (found,) = (each for each in fit.parts if each.part == name)
    return found


def test_own_figures_take_the_place_of_defaults() -> None:
    job = small(REC, tab_thickness_mm=0.73)
    assert part(at(judge(job), "T1"), "REC").outcome == "fits"
    strict = attrs.evolve(job, settings=(OwnFigure(name="tab_thickness_play", value=0.05),))
    assert part(at(judge(strict), "T1"), "REC").outcome == "does not fit"


def test_a_job_with_nothing_surveyed_claims_nothing() -> None:
    report = judge(small())
    assert {each.worst for each in report.items} == {None}
    assert [each.verdict for each in report.branches] == ["not decided"]
    assert report.loom.verdict == "not decided"
    told = {(kind, aspect): len(names) for (kind, aspect), names in report.not_looked_at.items()}
    assert told["wire", "insulation"] == 8
    assert told["plug", "shell"] == 5


def test_the_demo_worst_first(demo: JudgeReport) -> None:
    assert [each.item for each in demo.items[:2]] == ["TH", "TE"]
    worst = [-1 if each.worst is None else each.worst for each in demo.items]
    assert worst == sorted(worst, reverse=True)
    assert {each.item: each.worst for each in demo.items}["W46"] == 2  # 2 of 32 strands cut


def test_the_demo_has_a_thick_terminal_on_a_thin_tab(demo: JudgeReport) -> None:
    (problem,) = at(demo, "AV").problems
    assert "0.5 mm thick" in problem
    angled = {each.plug: part(each, "BOOT2-A").outcome for each in demo.fits if each.plug in
              ("I1", "TE")}  # fmt: skip
    assert angled == {"I1": "fits", "TE": "does not fit"}


def test_json_is_plain_and_whole(demo: JudgeReport) -> None:
    told = json.loads(json.dumps(demo.json(), allow_nan=False))
    assert set(told) == {"job", "items", "branches", "loom", "fits", "crimping", "not_looked_at"}
    assert len(told["items"]) == 25 + 64 + 12 + 1  # one device was surveyed
    assert told["fits"][0]["plug"] == "TH"


@given(any_job())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_job_at_all_is_judged(job: Job) -> None:
    report = judge(job)
    json.dumps(report.json(), allow_nan=False)
    # a name that stands twice is one thing to be looked at, told once per row
    assert {each.item for each in report.items if each.kind == "plug"} == {
        each.plug for each in job.plugs
    }
