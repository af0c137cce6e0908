"""Small simulated jobs diagnosed from readings: a coarse check of how right and how sure.

The truth is the reference's workshop (its own solver, scatter and meter). Bounds are wide: forty
jobs tell a broken diagnosis from a working one, not a good one from a better.
"""

from __future__ import annotations

import itertools

import attrs
import numpy as np
import pytest

from loomwright.diagnosis import Advisor, Diagnosis, Model, Probe, Setting, should_stop
from loomwright.loom import Job, Point, State
from reference.looms import make_job
from reference.workshop import Bench, Draw, Drawer, Mix

JOBS, LED, MOST = 40, 8, 12
KINDS = ("open", "high", "earth", "neighbour", "drift_high", "stuck_open")


@attrs.frozen
class Outcome:
    """How one job ended: probability of the leading place, whether it is right, and claimed."""

    said: float
    right: bool
    claimed: bool


def drawn(number: int) -> tuple[Job, Draw, Bench]:
    job = make_job(12, seed=number % 5)
    wrong = Drawer(job).draw(np.random.default_rng([number, 3]), Mix.only(*KINDS))
    return job, wrong, Bench(job, wrong.faults, seed=number)


def take(bench: Bench, diagnosis: Diagnosis, probe: Probe) -> None:
    setting = probe.setting
    value = bench.take(
        probe.quantity,  # type: ignore[arg-type]
        probe.plus, probe.minus, setting.unplugged, setting.as_state,
    )  # fmt: skip
    diagnosis.add(probe, value)


def ended(diagnosis: Diagnosis, wrong: Draw) -> Outcome:
    posterior = diagnosis.posterior()
    best = posterior.best
    assert best is not None
    right = bool(set(diagnosis.places[best].items) & wrong.items)
    return Outcome(posterior.sure, right, posterior.claimed is not None)


def checklist(model: Model) -> list[Probe]:
    """Every cavity of the control plug to earth, and those that the loom joins to each other."""
    setting = Setting.of(State(), ("CU",))
    node_of, island = model.network.node_of, model.solved(setting).island
    cavities = [Point("CU", name) for name in model.job.plugs[0].face.cavities]
    cavities = [cavity for cavity in cavities if cavity in node_of]
    found = [Probe("ohm", cavity, Point("BMINUS"), setting) for cavity in cavities]
    found += [
        Probe("ohm", one, other, setting)
        for one, other in itertools.combinations(cavities, 2)
        if island[node_of[one]] == island[node_of[other]]
    ]
    return found


@pytest.fixture(scope="module")
def listed() -> list[Outcome]:
    """Jobs read by the checklist, all of it."""
    outcomes = []
    models = {seed: Model(make_job(12, seed)) for seed in range(5)}
    for number in range(JOBS):
        _, wrong, bench = drawn(number)
        diagnosis = Diagnosis(models[number % 5])
        for probe in checklist(diagnosis.model):
            take(bench, diagnosis, probe)
        outcomes.append(ended(diagnosis, wrong))
    return outcomes


@pytest.fixture(scope="module")
def led() -> list[Outcome]:
    """Jobs in which each reading is the one offered."""
    outcomes = []
    for number in range(LED):
        job, wrong, bench = drawn(number)
        diagnosis = Diagnosis(Model(job))
        advisor = Advisor(diagnosis, seed=number)
        for _ in range(MOST):
            posterior = diagnosis.posterior()
            offered = advisor.suggest(posterior, count=1)
            if should_stop(posterior, offered):
                break
            take(bench, diagnosis, offered[0].candidate.probe)
        outcomes.append(ended(diagnosis, wrong))
    return outcomes


def test_no_more_is_said_than_is_kept(listed: list[Outcome]) -> None:
    """One-sided: a name next to the fault counts as right, so more is kept than said."""
    said = np.mean([each.said for each in listed])
    kept = np.mean([each.right for each in listed])
    assert kept > said - 0.1


def test_surer_is_righter(listed: list[Outcome]) -> None:
    surer, less = (
        [each.right for each in listed if (each.said >= 0.7) == sure] for sure in (True, False)
    )
    assert np.mean(surer) > np.mean(less) + 0.1


def test_offered_readings_lead_to_the_fault(led: list[Outcome]) -> None:
    assert sum(each.right for each in led) >= 0.7 * LED
    claims = [each.right for each in led if each.claimed]
    assert claims
    assert sum(claims) >= 0.8 * len(claims)
