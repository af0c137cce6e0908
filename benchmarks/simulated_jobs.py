"""One job from faults to verdict: a make-believe loom is read until a place may be claimed."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any

import attrs
import numpy as np

from loomwright.diagnosis.admissible import Admissible, Situation
from loomwright.diagnosis.model import Model, Probe
from loomwright.diagnosis.posterior import Posterior
from loomwright.diagnosis.weighing import Diagnosis
from loomwright.loom import State
from policies import METER, START, Advised, Policy
from reference.complaint import Owner
from reference.looms import make_job
from reference.workshop import Bench, Draw, Drawer, Mix, Request, readings_seen

SIZES = (40, 45, 50, 55, 60)
MOST_READINGS = 40
_SEEDS_A_SIZE = 4

_BROKEN = frozenset({"open", "high_resistance", "stuck_open"})
_OFF = frozenset({"drift", "wrong_device", "high_resistance", "bypassed"})
SORTS = {
    "open": _BROKEN,
    "high": _BROKEN | {"drift", "wrong_device"},
    "stuck_open": _BROKEN,
    "earth": frozenset({"short_to_earth", "leak"}),
    "leak": frozenset({"short_to_earth", "leak"}),
    "supply": frozenset({"short_to_supply"}),
    "neighbour": frozenset({"short_between", "leak"}),
    "drift_low": _OFF,
    "drift_high": _OFF,
    "stuck_closed": frozenset({"stuck_closed", "bypassed"}),
    "swap": frozenset({"swapped"}),
    "unit": _BROKEN | _OFF,
}
"""Kinds of the package that say the same as a kind of the make-believe workshop."""

Made = Callable[[Diagnosis, int], Policy]


@attrs.frozen
class Step:
    """State of belief before a reading: how sure the top place is, and whether that is true."""

    confidence: float
    right: bool


@attrs.frozen
class Row:
    """How one job went.

    Attributes
    ----------
    number, wires, loom_seed : the case, to make it again with `case`
    symptoms : what the owner says, if asked
    kinds, sizes, items : what is truly wrong, a part each
    top, top_kinds : items and fault kinds of the likeliest place at the end
    right : whether a truly faulty item is among them
    claimed : whether it may be claimed
    confidence, sound, unmodelled : probabilities of the top place, of a sound loom, of neither
    readings, minutes : taken and what they cost
    slowest_s : longest wait for posterior and choice together [s]
    trail : the readings as text, in order
    steps : belief after each reading, before the first one left out
    """

    number: int
    wires: int
    loom_seed: int
    kinds: tuple[str, ...]
    sizes: tuple[float, ...]
    items: tuple[tuple[str, ...], ...]
    top: tuple[str, ...]
    top_kinds: tuple[str, ...]
    right: bool
    claimed: bool
    confidence: float
    sound: float
    unmodelled: float
    readings: int
    minutes: float
    slowest_s: float
    steps: tuple[Step, ...]
    trail: tuple[str, ...]
    symptoms: tuple[str, ...] = ()

    @property
    def is_sound(self) -> bool:
        """Whether nothing was wrong."""
        return not self.kinds


def row_of(saved: dict[str, Any]) -> Row:
    """A row as it was written down with `attrs.asdict` and JSON."""
    steps = tuple(Step(**step) for step in saved["steps"])
    items = tuple(tuple(each) for each in saved["items"])
    lists = {name: tuple(value) for name, value in saved.items() if isinstance(value, list)}
    return Row(**{**saved, **lists, "steps": steps, "items": items})


@lru_cache(maxsize=4)
def owner(wires: int, seed: int) -> Owner:
    """Who brings that loom in."""
    return Owner(make_job(wires, seed))


def told(model: Model, draw: Draw, asked: Owner, rng: np.random.Generator) -> Model:
    """The same loom with what its owner says; a model of its own where that is anything."""
    symptoms = asked.says(draw.faults, rng)
    if not symptoms:
        return model
    job = model.job
    return Model(attrs.evolve(job, about=attrs.evolve(job.about, symptoms=symptoms)))


@lru_cache(maxsize=4)
def loom(wires: int, seed: int) -> tuple[Model, Drawer]:
    """A loom with its model, made once a process."""
    job = make_job(wires, seed)
    return Model(job), Drawer(job)


def case(number: int, mix: Mix, seed: int) -> tuple[int, int, Draw]:
    """Loom size, loom seed and faults of case `number`; the same for the same arguments.

    A draw that no admissible reading could tell from sound is drawn again: no way of choosing
    readings could find it. Two faults are judged together, not each by itself.
    """
    wires = SIZES[number % len(SIZES)]
    loom_seed = seed + (number // len(SIZES)) % _SEEDS_A_SIZE
    rng = np.random.default_rng([seed, number, 3])
    model, drawer = loom(wires, loom_seed)
    for _ in range(50):
        draw = drawer.draw(rng, mix)
        if not draw.parts or visible(model, draw):
            return wires, loom_seed, draw
    raise RuntimeError(f"case {number}: 50 draws in a row that no reading can see; use another mix")


def visible(model: Model, draw: Draw) -> bool:
    """Whether some admissible reading, anywhere on the loom, tells the faults from a sound loom."""
    return any(
        any(readings_seen(model.job, draw.faults, requests)) for requests in all_requests(model)
    )


@lru_cache(maxsize=4)
def _requests(model: Model) -> tuple[tuple[Request, ...], ...]:
    """All admissible readings, those of one setting together; volts and odd states included."""
    plugs = [plug.plug for plug in model.job.plugs]
    now = Situation(state=START, meter=METER)
    groups: dict[object, list[Request]] = {}
    for candidate in Admissible(model).candidates(now, plugs):
        probe = candidate.probe
        groups.setdefault((probe.setting, probe.quantity), []).append(request(probe))
    return tuple(tuple(group) for group in groups.values())


def all_requests(model: Model) -> Iterator[tuple[Request, ...]]:
    """The groups, those that need no plug opened first."""
    yield from sorted(_requests(model), key=lambda group: len(group[0].unplugged))


def request(probe: Probe) -> Request:
    """A probe as the make-believe workshop takes it."""
    return Request(
        probe.quantity,  # type: ignore[arg-type]
        probe.plus,
        probe.minus,
        probe.setting.unplugged,
        State.of(probe.setting.state),
    )


def advised(diagnosis: Diagnosis, seed: int) -> Policy:
    """The package's own choice of readings."""
    return Advised(diagnosis, seed)


def run(
    number: int,
    *,
    mix: Mix,
    seed: int,
    make: Made = advised,
    most: int = MOST_READINGS,
    complaint: bool = False,
) -> Row:
    """Take readings of one case until a claim, no useful reading, or `most` of them.

    With `complaint` the diagnosis is told what the owner says.
    """
    wires, loom_seed, draw = case(number, mix, seed)
    model, _ = loom(wires, loom_seed)
    if complaint:
        rng = np.random.default_rng([seed, number, 5])
        model = told(model, draw, owner(wires, loom_seed), rng)
    bench = Bench(model.job, draw.faults, seed=1000 * seed + number)
    diagnosis = Diagnosis(model)
    policy = make(diagnosis, number)
    steps, trail = [], []
    minutes = slowest = 0.0
    while True:
        began = time.perf_counter()
        # With nothing odd so far nothing can be claimed, and a checklist needs no posterior.
        skipped = policy.quiet and len(diagnosis.taken) < most
        posterior = None if skipped else diagnosis.posterior()
        if posterior is not None and diagnosis.taken:
            steps.append(Step(_top(posterior), _true(diagnosis, posterior, draw)))
        claimed = posterior is not None and posterior.claimed is not None
        if claimed or len(diagnosis.taken) >= most:
            break
        chosen = policy.next(posterior)
        slowest = max(slowest, time.perf_counter() - began)
        if chosen is None:
            break
        value = bench.answer(request(chosen.probe))
        diagnosis.add(chosen.probe, value)
        minutes += chosen.minutes
        trail.append(_told(chosen.probe, value))
    posterior = posterior or diagnosis.posterior()
    return Row(
        number=number, wires=wires, loom_seed=loom_seed, symptoms=model.job.about.symptoms,
        kinds=tuple(part.kind for part in draw.parts),
        sizes=tuple(part.size for part in draw.parts),
        items=tuple(tuple(sorted(part.items)) for part in draw.parts),
        **_end(diagnosis, posterior, draw),
        readings=len(diagnosis.taken), minutes=minutes, slowest_s=slowest,
        steps=tuple(steps), trail=tuple(trail),
    )  # fmt: skip


def _end(diagnosis: Diagnosis, posterior: Posterior, draw: Draw) -> dict[str, Any]:
    """What is believed when no more is read."""
    best = posterior.best
    place = None if best is None else diagnosis.places[best]
    faults = diagnosis.model.faults
    return {
        "top": () if place is None else place.items,
        "top_kinds": () if place is None else tuple({faults[n].kind: 0 for n in place.faults}),
        "right": _right(diagnosis, posterior, draw),
        "claimed": posterior.claimed is not None,
        "confidence": _top(posterior),
        "sound": posterior.sound,
        "unmodelled": posterior.unmodelled,
    }


def _top(posterior: Posterior) -> float:
    return posterior.sure


def _right(diagnosis: Diagnosis, posterior: Posterior, draw: Draw) -> bool:
    """Whether the likeliest place holds a truly faulty item."""
    best = posterior.best
    return best is not None and bool(set(diagnosis.places[best].items) & draw.items)


def _true(diagnosis: Diagnosis, posterior: Posterior, draw: Draw) -> bool:
    """Whether what is said is so: a fault of that sort at an item of the place.

    Stricter than `_right`: a short that names a wire is not true where that wire is broken.
    """
    best = posterior.best
    if best is None:
        return False
    meant = np.flatnonzero(diagnosis.sharing(best))
    faults = diagnosis.model.faults
    return any(
        faults[n].kind in SORTS[part.kind] and not part.items.isdisjoint(faults[n].items)
        for part in draw.parts
        for n in meant
    )


def _told(probe: Probe, value: float) -> str:
    off = " ".join(sorted(probe.setting.unplugged))
    state = "; ".join(f"{key}={value}" for key, value in probe.setting.state)
    return f"{probe.quantity} {probe.plus} {probe.minus} [{off}] ({state}) {value:g}"
