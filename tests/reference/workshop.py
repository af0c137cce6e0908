"""A make-believe bench: a loom with known faults, real-life scatter, and a meter to read it with.

Takes nothing from the project's solver or noise model: it edits a list of branches, solves node
voltages (`dense`) and then spoils the value as a workshop does. The size of every scatter is in
`Scatter`; all of them are assumed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.assumptions import Assumptions
from loomwright.circuit.configuration import Configuration, configure
from loomwright.circuit.network import Edge, Network
from loomwright.loom import TEMPERATURE_KEYS, Job, MeterRange, Point, State
from reference.dense import Branch, Solved
from reference.draws import Draw, Drawer, Mix, Part, draw_faults, told_apart
from reference.faults import Fault, edited

__all__ = [
    "Bench",
    "Draw",
    "Drawer",
    "Mix",
    "Part",
    "Request",
    "Scatter",
    "draw_faults",
    "readings_seen",
]

Quantity = Literal["ohm", "volt"]


@attrs.frozen(kw_only=True)
class Scatter:
    """How far the real loom and the real meter are from what is written down; all assumed.

    Attributes
    ----------
    engine_k, air_k, ambient_k : standard deviation of true against stated temperature [K]
    within_tolerance : standard deviation of a part as a share of its tolerance, cut there
    wire : standard deviation of a wire's resistance (log)
    crimp_ohm : scale of what two crimps add [ohm]
    connection : standard deviation of contacts, joints and closed switches (log)
    supply_v : standard deviation of the supply voltage [V]
    pull_up_v : relative standard deviation of the control unit's inner supply
    gain : share of the meter's percent that its own gain error may use up, either way
    probe_low_ohm, probe_high_ohm : what leads and probe tips add to an ohm reading [ohm]
    probe_v : standard deviation of a voltage reading [V]
    false_over_range : chance that a probe did not touch
    """

    engine_k: float = 1.5
    air_k: float = 1.0
    ambient_k: float = 2.0
    within_tolerance: float = 0.4
    wire: float = 0.06
    crimp_ohm: float = 0.002
    connection: float = 0.4
    supply_v: float = 0.12
    pull_up_v: float = 0.01
    gain: float = 0.7
    probe_low_ohm: float = 0.03
    probe_high_ohm: float = 0.10
    probe_v: float = 0.01
    false_over_range: float = 0.002


USUAL = Scatter()


@attrs.frozen
class Request:
    """One reading to be taken."""

    quantity: Quantity
    plus: Point
    minus: Point
    unplugged: frozenset[str] = frozenset()
    state: State = attrs.field(factory=State)


class Bench:
    """One loom with its faults, on the bench.

    Parameters
    ----------
    job : the loom as it should be; its first meter takes the readings
    faults : what is wrong (`Draw.faults`)
    seed : seed of every scatter; the same requests in the same order give the same values
    assume : what the loom is made of where the job is silent
    scatter : how large the scatter is; None for none at all, meter included
    """

    def __init__(
        self,
        job: Job,
        faults: Iterable[Fault],
        seed: int,
        *,
        assume: Assumptions | None = None,
        scatter: Scatter | None = USUAL,
    ) -> None:
        self.assume = assume or Assumptions.shipped()
        self.faults = tuple(faults)
        self.scatter = scatter
        self.rng = np.random.default_rng([seed, 7])
        self.off_k = self._temperature_errors()
        self.network = Network.of(self._as_it_is(job))
        edges = self.network.edges
        self.factor = np.array([self._factor(edge) for edge in edges])
        self.added = np.array([self._added(edge) for edge in edges])
        self.emf = np.array([self._emf(edge) for edge in edges])
        self.meter = _Meter(job, self.assume, self.rng, scatter)
        self.solved: dict[tuple[object, ...], Solved] = {}

    def take(
        self,
        quantity: Quantity,
        plus: Point | str,
        minus: Point | str,
        unplugged: Iterable[str] = (),
        state: State | str = "",
    ) -> float:
        """What the meter shows [ohm or V]; infinite for over-range.

        Raises
        ------
        ValueError
            when ohms are asked for with the supply on.
        """
        true = self.true_value(quantity, plus, minus, unplugged, state)
        if self.scatter is None:
            return true
        if quantity == "ohm" and self.rng.random() < self.scatter.false_over_range:
            return math.inf
        return self.meter.shows(quantity, true)

    def answer(self, request: Request) -> float:
        """`take` with a request."""
        return self.take(
            request.quantity, request.plus, request.minus, request.unplugged, request.state
        )

    def true_value(
        self,
        quantity: Quantity,
        plus: Point | str,
        minus: Point | str,
        unplugged: Iterable[str] = (),
        state: State | str = "",
    ) -> float:
        """What is really there between the probes, the voltmeter's load included."""
        state = State.parse(state) if isinstance(state, str) else state
        if quantity == "ohm" and state.powered:
            raise ValueError(f"ohms with {state}: switch the supply off first")
        volts = quantity == "volt"
        a, b = (
            self.network.node(Point.parse(p) if isinstance(p, str) else p, volts=volts)
            for p in (plus, minus)
        )
        if a is None or b is None:
            return 0.0 if volts else math.inf
        solved = self._solve(state, frozenset(unplugged), dead=not volts)
        return solved.volt(a, b, meter_ohm=self.assume.voltmeter_ohm) if volts else solved.ohm(a, b)

    def branches(self, state: State, unplugged: Iterable[str], *, dead: bool) -> list[Branch]:
        """The edited list that a reading is solved from."""
        sound = configure(
            self.network, self._true_state(state), frozenset(unplugged), assume=self.assume
        )
        real: Configuration = attrs.evolve(
            sound, ohm=sound.ohm * self.factor + self.added, emf=sound.emf * self.emf
        )
        return edited(self.network, real, self.faults, dead=dead)

    def _solve(self, state: State, unplugged: frozenset[str], *, dead: bool) -> Solved:
        key = (tuple(sorted(state.settings.items(), key=str)), unplugged, dead)
        if key not in self.solved:
            branches = self.branches(state, unplugged, dead=dead)
            self.solved[key] = Solved(len(self.network.points), branches)
        return self.solved[key]

    # How it really is

    def _temperature_errors(self) -> dict[str, float]:
        if self.scatter is None:
            return dict.fromkeys(TEMPERATURE_KEYS, 0.0)
        s = self.scatter
        spread = {"engine_c": s.engine_k, "air_c": s.air_k, "ambient_c": s.ambient_k}
        return {key: float(self.rng.normal(0.0, spread[key])) for key in TEMPERATURE_KEYS}

    def _as_it_is(self, job: Job) -> Job:
        """The job at its true temperatures, where no state tells them."""
        ambient = job.about.ambient_c + self.off_k["ambient_c"]
        return attrs.evolve(job, about=attrs.evolve(job.about, ambient_c=ambient))

    def _true_state(self, state: State) -> State:
        """Stated temperatures put right; what is not stated stays so."""
        return State(
            tuple(
                (key, value + self.off_k.get(key, 0.0) if isinstance(value, float) else value)
                for key, value in state.pairs
            )
        )

    def _factor(self, edge: Edge) -> float:
        s = self.scatter
        if s is None or edge.kind in ("battery", "feed"):
            return 1.0
        if edge.kind == "wire":
            return float(np.exp(self.rng.normal(0.0, s.wire)))
        element = edge.element
        if element is None or element.kind in ("contact", "link"):
            return float(np.exp(self.rng.normal(0.0, s.connection)))
        stated = element.tolerance_pct
        pct = self.assume.tolerance_pct.get(element.kind, 5.0) if stated is None else stated
        return 1 + pct / 100 * _cut_normal(self.rng, s.within_tolerance)

    def _added(self, edge: Edge) -> float:
        if self.scatter is None or edge.kind != "wire":
            return 0.0
        return float(self.rng.gamma(2.0, self.scatter.crimp_ohm / 2))

    def _emf(self, edge: Edge) -> float:
        s = self.scatter
        if s is None:
            return 1.0
        if edge.kind == "battery":
            return 1 + float(self.rng.normal(0.0, s.supply_v)) / self.network.job.about.supply_v
        return 1 + s.pull_up_v * _cut_normal(self.rng, 1.0) if edge.kind == "pull_up" else 1.0


class _Meter:
    """Range choice, gain, rounding to counts, and the leads."""

    def __init__(
        self,
        job: Job,
        assume: Assumptions,
        rng: np.random.Generator,
        scatter: Scatter | None,
    ) -> None:
        self.rng, self.scatter, self.assume = rng, scatter, assume
        first = job.meters[0].meter if job.meters else ""
        own = [row for row in job.meters if row.meter == first]
        self.ranges: dict[str, list[MeterRange]] = {}
        for quantity in ("ohm", "volt"):
            rows = [row for row in own if row.quantity == quantity] or self.plain(quantity)
            self.ranges[quantity] = sorted(rows, key=lambda row: row.full_scale)
        allowed = scatter.gain if scatter else 0.0
        self.gain: dict[str, NDArray[np.float64]] = {
            quantity: allowed * rng.uniform(-1, 1, len(rows))
            for quantity, rows in self.ranges.items()
        }

    def plain(self, quantity: str) -> list[MeterRange]:
        """Decades up to the over-range limit, when the job has no such meter."""
        top = self.assume.ohmmeter_limit_ohm if quantity == "ohm" else 400.0
        count = 6 if quantity == "ohm" else 3
        return [
            MeterRange(meter="", quantity=quantity, full_scale=top / 10**n) for n in range(count)
        ]

    def shows(self, quantity: Quantity, value: float) -> float:
        scatter, rng = self.scatter, self.rng
        if scatter is None or math.isinf(value):
            return value
        rows = self.ranges[quantity]
        if quantity == "ohm":
            value += rng.uniform(scatter.probe_low_ohm, scatter.probe_high_ohm)
            value += rows[0].leads_ohm or 0.0
        else:
            value += rng.normal(0.0, scatter.probe_v)
        for number, row in enumerate(rows):
            if abs(value) <= row.full_scale:
                return self.counted(value, row, self.gain[quantity][number])
        return math.inf

    def counted(self, value: float, row: MeterRange, gain: float) -> float:
        """Gain within the specification, a few counts of wander, rounded to the last digit."""
        percent = self.assume.meter_percent if row.percent is None else row.percent
        counts = self.assume.meter_counts if row.counts is None else row.counts
        digit = row.resolution or row.full_scale / self.assume.meter_full_scale_counts
        wander = counts * digit * _cut_normal(self.rng, 0.4)
        shown = round((value * (1 + gain * percent / 100) + wander) / digit) * digit
        if row.quantity == "ohm":
            shown = max(shown, 0.0)
        return float(f"{shown:.9g}")


def readings_seen(
    job: Job,
    faults: Iterable[Fault],
    requests: Iterable[Request],
    *,
    assume: Assumptions | None = None,
) -> list[bool]:
    """Whether each reading would tell the faults from a sound loom, scatter apart.

    Told apart is over-range on one side only, or a difference above 0.4 ohm + 5 %, or above 0.3 V.
    """
    sound = Bench(job, (), 0, assume=assume, scatter=None)
    faulty = Bench(job, faults, 0, assume=assume, scatter=None)
    return [_told_apart(request, sound, faulty) for request in requests]


def _told_apart(request: Request, sound: Bench, faulty: Bench) -> bool:
    one, other = sound.answer(request), faulty.answer(request)
    if request.quantity == "volt":
        return abs(one - other) > 0.3
    return told_apart(one, other, limit_ohm=sound.assume.ohmmeter_limit_ohm)


def _cut_normal(rng: np.random.Generator, spread: float) -> float:
    """A normal draw of that standard deviation, taken again until it lies in -1 … 1."""
    while True:
        value = float(rng.normal(0.0, spread))
        if abs(value) <= 1:
            return value
