"""Coverage: what readings would have shown, and plans that reach for more."""

from __future__ import annotations

import pytest

from loomwright.diagnosis import Diagnosis, Model, Probe, Setting, Situation, cover_plan, coverage
from loomwright.loom import Job, Point, State
from reference.looms import make_job
from reference.workshop import Bench

REST = State.parse("key=off; throttle=shut; engine_c=20; air_c=20")


def sound_loom() -> Job:
    return make_job(12, 3)


def test_nothing_read_covers_nothing() -> None:
    assert coverage(Diagnosis(Model(sound_loom()))) == 0.0


def test_the_plan_climbs_and_the_readings_reach_what_it_promised() -> None:
    """The plan foresees coverage from predictions; taking its readings must come near it."""
    job = sound_loom()
    diagnosis = Diagnosis(Model(job))
    start = Situation(state=REST, meter="DMM")
    steps = cover_plan(diagnosis, start, most=6)
    reached = [step.coverage for step in steps]
    assert len(steps) == 6
    assert reached == sorted(reached)
    bench = Bench(job, (), seed=4)
    for step in steps:
        probe = step.candidate.probe
        value = bench.take(
            probe.quantity, probe.plus, probe.minus, tuple(probe.setting.unplugged),
            probe.setting.as_state,
        )  # fmt: skip
        diagnosis.add(probe, value)
    assert coverage(diagnosis) == pytest.approx(reached[-1], abs=0.05)


def test_a_fault_in_what_is_covered_strays_from_the_sound_loom() -> None:
    """An open sensor circuit is covered by reading it: a good value then speaks against it."""
    job = sound_loom()
    model = Model(job)
    sensor = next(element for element in job.elements if element.kind == "thermistor")
    plug = next(plug for plug in job.plugs if plug.mates_with == sensor.device)
    diagnosis = Diagnosis(model)
    points = [Point(plug.plug, pin) for pin in (sensor.from_pin, sensor.to_pin)]
    probe = Probe("ohm", *points, Setting.of(REST, ("CU",)), "DMM")
    value = Bench(job, (), seed=5).take("ohm", *points, ("CU",), REST)
    before = coverage(diagnosis)
    diagnosis.add(probe, value)
    assert coverage(diagnosis) > before
    opens = [
        n for n, f in enumerate(model.faults) if f.kind == "open" and f.device == sensor.device
    ]
    assert diagnosis.posterior().fault[opens].sum() < 1e-3
