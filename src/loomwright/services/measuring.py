"""One reading about to be taken: where the probes go, what to do first, what it should give."""

from __future__ import annotations

from collections.abc import Sequence

import attrs

from loomwright.diagnosis import Model, Predictor, Probe
from loomwright.loom import CASE_PIN, TEMPERATURE_KEYS, Job, Point, Reading, Topology
from loomwright.services.diagnose import Diagnosed
from loomwright.services.expect import Expectation, expectation, untaken
from loomwright.services.next_words import Caution, cautions_of, in_words, named
from loomwright.services.reading_words import Step, steps
from loomwright.services.warmth import held
from loomwright.services.words import listed, state_words

__all__ = [
    "Asked",
    "Model",
    "Touch",
    "asked",
    "expected_after",
    "holds",
    "last_taken",
    "points",
    "retaken",
    "touch",
]


@attrs.frozen
class Touch:
    """Where one probe goes.

    Attributes
    ----------
    point : as the sheet writes it
    words : what that is and how it is touched
    plug, cavity : the same where it is a plug's cavity, else blank
    """

    point: str
    words: str
    plug: str = ""
    cavity: str = ""


@attrs.frozen(kw_only=True)
class Asked:
    """A reading to take.

    Attributes
    ----------
    probe : what it is
    red, black : where the probes go
    before : what is to be done first, in this order, each with its cautions
    cautions : to be minded at the probes
    band : what a sound loom reads; None for a refused one
    refusal : why it must not be taken, with what to do instead; None where it may be
    telling : temperatures that move what a sound loom reads
    """

    probe: Probe
    red: Touch
    black: Touch
    before: tuple[Step, ...]
    cautions: tuple[str, ...]
    band: Expectation | None
    refusal: Caution | None
    telling: tuple[str, ...]


def asked(job: Job, probe: Probe, model: Model, *, table: str = "readings") -> Asked:
    """A reading with all that a person at the car needs for it.

    Parameters
    ----------
    job : the job
    probe : the reading
    model : of the job's loom
    table : where it will stand: what is to be done goes from the last reading there
    """
    loom = model.network.topology
    said = cautions_of(loom, probe)
    refusal = next((caution for caution in said if caution.refuses), None)
    last = last_taken(job, table)
    *before, at_last = steps(in_words(loom, probe, None if last is None else Probe.of(last)), said)
    off = probe.setting.unplugged
    return Asked(
        probe=probe,
        red=touch(loom, probe.plus, off),
        black=touch(loom, probe.minus, off),
        before=tuple(before),
        cautions=at_last.cautions,
        band=None if refusal else untaken(model, probe),
        refusal=refusal,
        telling=() if refusal else _telling(model, probe),
    )


def last_taken(job: Job, table: str = "readings") -> Reading | None:
    """The reading in the last row of a table, None while there is none."""
    taken: Sequence[Reading] = job.proof if table == "proof" else job.readings
    return taken[-1] if taken else None


def touch(loom: Topology, point: Point, off: frozenset[str]) -> Touch:
    """Where a probe goes, in words.

    Parameters
    ----------
    loom : for the labels
    point : where
    off : plugs that are off then
    """
    name = point.owner
    if name in loom.plugs:
        label = loom.plugs[name].label or f"plug {name}"
        how = "the plug is off" if name in off else "from the wire side, the plug stays on"
        words = f"{label}, cavity {point.terminal}; {how}"
        return Touch(str(point), words, name, point.terminal)
    if name in loom.devices:
        label = loom.devices[name].label or f"device {name}"
        pin = (
            "its metal body"
            if point.terminal == CASE_PIN
            else f"the part's own pin {point.terminal}"
        )
        return Touch(str(point), f"{label}, {pin}")
    joint = loom.joints.get(name)
    return Touch(str(point), (joint.label if joint else None) or f"joint {name}")


def holds(loom: Topology, probe: Probe) -> str:
    """What must hold while it is taken: `key off, throttle shut; off: plug CU (…)`."""
    off = [named(loom, plug) for plug in sorted(probe.setting.unplugged)]
    return f"{state_words(held(probe))}; {f'off: plug {listed(off)}' if off else 'every plug on'}"


def points(job: Job) -> tuple[str, ...]:
    """Every point with a wire or a part behind it, cavities first, then pins, then joints."""
    loom = Topology(job)
    cavities = [
        f"{plug.plug}.{name}"
        for plug in job.plugs
        for name in plug.face.cavities
        if Point(plug.plug, name) in loom.wires_at
    ]
    pins = [f"{device}.{pin}" for device, names in loom.pins.items() for pin in names]
    return (*cavities, *pins, *(str(joint.joint) for joint in job.joints))


def retaken(job: Job, names: Sequence[str]) -> tuple[tuple[str, Probe], ...]:
    """Readings before the work, to be taken once more after it: name and what to measure."""
    wanted = set(names)
    return tuple(
        (str(each.reading), Probe.of(each)) for each in job.readings if each.reading in wanted
    )


def expected_after(job: Job, found: Diagnosed) -> tuple[Expectation, ...]:
    """The readings after the work, each with the band of a sound loom."""
    return tuple(expectation(found.diagnosis.model, reading) for reading in job.proof)


def _telling(model: Model, probe: Probe) -> tuple[str, ...]:
    if model.nodes(probe) is None:
        return ()
    causes = Predictor(model, probe).predict(model.singles[:1]).causes
    sources = {cause.split()[1] for cause in causes if cause.startswith("temperature ")}
    return tuple(name for name in TEMPERATURE_KEYS if name.removesuffix("_c") in sources)
