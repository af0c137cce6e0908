"""Certify a sound loom: which readings would show a fault, if there were one."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright.diagnosis import Advisor, CoverStep, cover_plan, coverage
from loomwright.diagnosis.harm import Caution
from loomwright.loom import Job
from loomwright.services.diagnose import Diagnosed, Progress, diagnose, go_on
from loomwright.services.next_words import cautions_of, in_words, probe_json

MOST_READINGS = 25


@attrs.frozen(kw_only=True)
class PlannedReading:
    """One reading of the plan in words, with the coverage reached once it is taken."""

    step: CoverStep
    words: tuple[str, ...]
    cautions: tuple[Caution, ...]

    def json(self) -> dict[str, Any]:
        """The reading as the documented JSON."""
        return {
            **probe_json(self.step.candidate.probe),
            "minutes": round(self.step.candidate.minutes, 2),
            "coverage": round(self.step.coverage, 3),
            "words": list(self.words),
            "cautions": [f"{caution.reason}: {caution.instead}" for caution in self.cautions],
        }


@attrs.frozen(kw_only=True)
class CertifyReport:
    """How far the loom is shown to be sound, and what would show more.

    Attributes
    ----------
    sound : probability that nothing modelled is wrong
    coverage : share of the modelled faults that the readings taken would have shown
    plan : readings to take, in order
    """

    job: str
    sound: float
    coverage: float
    plan: tuple[PlannedReading, ...]

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "sound": round(self.sound, 4),
            "coverage": round(self.coverage, 3),
            "plan": [each.json() for each in self.plan],
        }


def certify(
    job: Job, progress: Progress | None = None, *, found: Diagnosed | None = None
) -> CertifyReport:
    """Plan the readings that cover most of the modelled faults in the fewest minutes.

    Parameters
    ----------
    job : the job
    progress : told how far it is
    found : the readings taken into account, if that was done already

    Raises
    ------
    Stopped
        when `progress` answers False.
    """
    diagnosis = (found or diagnose(job, progress)).diagnosis
    go_on(progress, "planning the readings", 0.7)
    steps = cover_plan(diagnosis, Advisor(diagnosis).situation(), MOST_READINGS)
    loom = diagnosis.model.network.topology
    before = diagnosis.taken[-1].probe if diagnosis.taken else None
    plan = []
    for step in steps:
        probe = step.candidate.probe
        plan.append(
            PlannedReading(
                step=step,
                words=in_words(loom, probe, before),
                cautions=cautions_of(loom, probe),
            )
        )
        before = probe
    return CertifyReport(
        job=job.about.title,
        sound=diagnosis.posterior().sound,
        coverage=coverage(diagnosis),
        plan=tuple(plan),
    )
