"""Trial crimps and spare wire of the demo job, as one report."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import pytest

from loomwright.loom import Job, NotFound
from loomwright.services.crimps import CrimpsReport, crimps
from loomwright.storage.job_folder import JobFolder

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"


@pytest.fixture(scope="module")
def job() -> Job:
    return JobFolder().read(DEMO)


@pytest.fixture(scope="module")
def report(job: Job) -> CrimpsReport:
    return crimps(job)


def test_every_set_up_and_every_wired_plug_is_there(job: Job, report: CrimpsReport) -> None:
    assert [each.set_up for each in report.set_ups] == ["S075", "S050"]
    wired = {p.owner for wire in job.wires for p in (wire.from_point, wire.to_point)}
    assert {each.plug for each in report.ledgers} == {p.plug for p in job.plugs} & wired


def test_one_slip_in_five_shows_little_and_counts_against_the_hand(report: CrimpsReport) -> None:
    """One of five: the exact 95 % lower bound is 34.3 % (Clopper-Pearson, 0.05 = I(p; 4, 2))."""
    first = report.set_ups[0]
    assert first.proof.share == pytest.approx(0.3426, abs=0.0005)
    assert first.slipped == 1
    assert first.passes is False
    assert report.scrap > 0.05


def test_without_trials_common_practice_speaks(job: Job) -> None:
    bare = crimps(attrs.evolve(job, crimps=()))
    assert bare.set_ups == ()
    assert bare.scrap == pytest.approx(0.05, abs=0.03)
    assert bare.ledgers


def test_another_standard_asks_for_its_own_force(job: Job, report: CrimpsReport) -> None:
    other = crimps(job, standard="iec-60352-2")
    ours, theirs = report.set_ups[0].least, other.set_ups[0].least
    assert ours is not None
    assert theirs is not None
    assert ours.pull_n != theirs.pull_n
    with pytest.raises(NotFound):
        crimps(job, standard="nobody")


def test_json_is_plain(report: CrimpsReport) -> None:
    told = json.loads(json.dumps(report.json()))
    assert set(told) == {"job", "standard", "set_ups", "scrap", "ledgers"}
    assert told["ledgers"][0]["outlooks"][0]["copper"] == "bright"
