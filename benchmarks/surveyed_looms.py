"""Random looms that were measured and looked at: what a plan and a pack of papers need.

Grades are drawn with the weights below, readings come from the make-believe workshop with one fault
in the loom. Weights and the number of places are invented (assumed).
"""

from __future__ import annotations

import attrs
import numpy as np

from loomwright.diagnosis import Diagnosis, Model
from loomwright.loom import Face, Job, Plug, Point, Reading, State, SurveyRow, Wire
from loomwright.loom.cells import MOST_NAMES
from loomwright.loom.identity import PlugId
from policies import Advised
from reference.looms import make_job
from reference.workshop import Bench, Drawer, Mix
from simulated_jobs import request

GRADES = (0.30, 0.30, 0.20, 0.15, 0.05)
"""Shares of the survey grades 0 to 4."""
READINGS = 6
PLUGS_A_PLACE = 5


def surveyed_job(wires: int, seed: int = 1) -> Job:
    """A loom of so many wires with readings, a survey, and places that come apart together."""
    job = make_job(wires, seed)
    rng = np.random.default_rng([wires, seed, 5])
    plugs = tuple(
        attrs.evolve(plug, place=f"place {number // PLUGS_A_PLACE + 1}", spare_mm=60.0)
        for number, plug in enumerate(job.plugs)
    )
    about = attrs.evolve(job.about, currency="EUR", labour_rate=65.0)
    looked_at = [(plug.plug, aspect) for plug in plugs for aspect in ("boot", "shell", "terminal")]
    looked_at += [(wire.wire, "insulation") for wire in job.wires if rng.random() < 0.2]
    looked_at += [(joint.joint, "terminal") for joint in job.joints]
    grades = rng.choice(len(GRADES), size=len(looked_at), p=GRADES)
    survey = tuple(
        SurveyRow(item=item, aspect=aspect, grade=int(grade))
        for (item, aspect), grade in zip(looked_at, grades, strict=True)
    )
    return attrs.evolve(
        job, about=about, plugs=plugs, survey=survey, readings=_readings(job, rng, seed)
    )


def with_keepable_plugs(job: Job) -> Job:
    """The same loom with plugs no larger than a sheet can hold: a large one becomes several.

    Each has whole rows of the face, sits on the same device and keeps the names of its cavities.
    """
    parts = {str(plug.plug): _parts(plug) for plug in job.plugs}

    def moved(point: Point) -> Point:
        for part in parts.get(point.owner, ()):
            if point.terminal in part.face.cavities:
                return Point(part.plug, point.terminal)
        return point

    def ends(row: Wire) -> Wire:
        return attrs.evolve(row, from_point=moved(row.from_point), to_point=moved(row.to_point))

    def probes(row: Reading) -> Reading:
        off = tuple(part.plug for name in row.unplugged for part in parts[name])
        return attrs.evolve(row, plus=moved(row.plus), minus=moved(row.minus), unplugged=off)

    return attrs.evolve(
        job,
        plugs=tuple(part for plug in job.plugs for part in parts[plug.plug]),
        wires=tuple(map(ends, job.wires)),
        readings=tuple(map(probes, job.readings)),
    )


def _parts(plug: Plug) -> tuple[Plug, ...]:
    rows, most = plug.face.rows, max(1, MOST_NAMES // max(map(len, plug.face.rows)))
    return tuple(
        attrs.evolve(
            plug,
            plug=PlugId(f"{plug.plug}{number + 1}" if number else plug.plug),
            face=Face(rows[start : start + most]),
        )
        for number, start in enumerate(range(0, len(rows), most))
    )


def _readings(job: Job, rng: np.random.Generator, seed: int) -> tuple[Reading, ...]:
    """The first readings that the package asks for, of a loom with one fault."""
    mix = Mix(sound=0.0, single=1.0, double=0.0)
    bench = Bench(job, Drawer(job).draw(rng, mix).faults, seed=seed)
    diagnosis = Diagnosis(Model(job))
    policy = Advised(diagnosis, seed)
    taken: list[Reading] = []
    chosen = policy.next(diagnosis.posterior())
    while chosen is not None and len(taken) < READINGS:
        probe = chosen.probe
        value = bench.answer(request(probe))
        taken.append(
            Reading(
                reading=f"R{len(taken) + 1:02d}",
                quantity=probe.quantity,
                plus=probe.plus,
                minus=probe.minus,
                value=value,
                unplugged=tuple(sorted(probe.setting.unplugged)),
                state=State.of(probe.setting.state),
            )
        )
        diagnosis.add(probe, value)
        chosen = policy.next(diagnosis.posterior())
    return tuple(taken)
