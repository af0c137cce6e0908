"""What the owner of a make-believe car says, from the dense solver and thresholds of its own.

The car is driven in thought: engine cold, engine hot, throttle shut and open, each output of the
control unit closed in turn, 5 A drawn from its supply. What differs from the sound loom by more
than `Notices` becomes a complaint, as trade practice connects them (common practice, no published
source; the thresholds are assumed). Some owners say nothing, some are led astray.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.network import Edge, Network
from loomwright.loom import Job, Point, State
from reference.dense import Branch, Solved
from reference.faults import Fault
from reference.workshop import Bench

SYMPTOMS = (
    "cold_no_start", "no_start", "hot_start", "runs_rich", "runs_lean", "one_cylinder",
    "several_cylinders", "cuts_out", "hesitates", "idle_hunts",
)  # fmt: skip
"""All that is ever said."""

_GRID_C = tuple(float(celsius) for celsius in range(-20, 121, 10))
_COLD, _HOT = "key=on; throttle=shut; engine_c=0", "key=on; throttle=shut; engine_c=80"
_OPEN = "key=on; throttle=open; engine_c=80"
_CLOSED_OHM, _DRAWN_OHM = 0.1, 2.4


@attrs.frozen(kw_only=True)
class Notices:
    """From what size an owner notices something; all assumed.

    Attributes
    ----------
    engine_k, air_k : error of a believed temperature [K]
    injector, coil : share of the current that is lost
    held : share of the driven current that flows undriven
    low_v : the control unit's own supply while 5 A are drawn [V]
    short_a : the battery's current [A]
    swing, signal : share of a switch's swing lost, relative error of another input
    silent, astray : chance of saying nothing, and of saying anything at all
    """

    engine_k: float = 7.0
    air_k: float = 18.0
    injector: float = 0.07
    coil: float = 0.3
    held: float = 0.4
    low_v: float = 10.5
    short_a: float = 30.0
    swing: float = 0.6
    signal: float = 0.15
    silent: float = 0.1
    astray: float = 0.1


class Owner:
    """The owner of one loom of `looms`, whose outputs all switch to earth.

    Parameters
    ----------
    job : the loom as it should be
    notices : how attentive the owner is
    """

    def __init__(self, job: Job, notices: Notices | None = None) -> None:
        self.job, self.notices = job, notices or Notices()
        self.network = Network.of(job)
        self.sound = _Car(self.network, Bench(job, (), 0, scatter=None))

    def says(self, faults: Iterable[Fault], rng: np.random.Generator) -> tuple[str, ...]:
        """One or two words of `SYMPTOMS`, or none; the same for the same state of `rng`."""
        chance, guess = rng.random(), str(rng.choice(SYMPTOMS))
        picked = rng.random(2)
        if chance < self.notices.silent:
            return ()
        if chance < self.notices.silent + self.notices.astray:
            return (guess,)
        felt = list(dict.fromkeys(self.feels(faults)))
        if not felt:
            return ()
        first = felt.pop(int(picked[0] * len(felt)))
        # Every other owner adds a second thing, where there is one.
        second = felt[int(2 * (picked[1] - 0.5) * len(felt))] if felt and picked[1] > 0.5 else None
        return (first,) if second is None else (first, second)

    def feels(self, faults: Iterable[Fault]) -> Iterator[str]:
        """Every word that would be true of these faults."""
        car = _Car(self.network, Bench(self.job, faults, 0, scatter=None))
        yield from self._temperatures(car)
        yield from self._injectors(car)
        yield from self._supplies(car)
        yield from self._signals(car)

    def _temperatures(self, car: _Car) -> Iterator[str]:
        n = self.notices
        for pin in self.sound.sensors("engine_c"):
            cold, hot = (self._believed(car, pin, "engine_c", celsius) for celsius in (0.0, 80.0))
            if hot - 80.0 < -n.engine_k:
                yield from ("hot_start", "runs_rich") if cold > -20.0 + 1e-6 else ("runs_rich",)
            if cold > n.engine_k:
                yield "cold_no_start"
            if hot - 80.0 > n.engine_k:
                yield "runs_lean"
        for pin in self.sound.sensors("air_c"):
            error = self._believed(car, pin, "air_c", 20.0) - 20.0
            if abs(error) > n.air_k:
                yield "runs_rich" if error < 0 else "runs_lean"

    def _believed(self, car: _Car, pin: int, key: str, celsius: float) -> float:
        """Temperature at which the sound loom would show the voltage that the faulty one shows."""
        grid = [self.sound.at(f"key=on; throttle=shut; {key}={c:g}").volts[pin] for c in _GRID_C]
        volts = np.array(grid) - self.sound.at(_HOT).volts[self.sound.earth]
        seen = car.at(f"key=on; throttle=shut; {key}={celsius:g}")
        shown = seen.volts[pin] - seen.volts[self.sound.earth]
        return float(np.interp(-shown, -volts, _GRID_C))  # the voltage falls with temperature

    def _injectors(self, car: _Car) -> Iterator[str]:
        n, lost, held = self.notices, [], False
        for edge, pin in self.sound.driven.items():
            was = self.sound.current(edge, _HOT, closed=pin)
            share = 1.0 - car.current(edge, _HOT, closed=pin) / was
            if not self._is_injector(edge):
                if share > n.coil:
                    yield "idle_hunts"
                continue
            lost.append(share > n.injector)
            held |= abs(car.current(edge, _HOT) / was) > n.held
        if held:
            yield from ("runs_rich", "hot_start")
        if sum(lost) == 1:
            yield from ("one_cylinder", "runs_lean")
        elif sum(lost) > 1:
            yield from ("several_cylinders", "runs_lean")
            if all(lost):
                yield "no_start"

    def _is_injector(self, edge: int) -> bool:
        element = self.network.edges[edge].element
        return element is not None and str(element.device).startswith("INJ")

    def _supplies(self, car: _Car) -> Iterator[str]:
        n, pin = self.notices, self.sound.feed
        if pin is not None and car.loaded(pin, self.sound.earth) < n.low_v:
            yield from ("no_start", "cuts_out")
        if car.battery_a() > n.short_a:
            yield from ("no_start", "cuts_out")
        for edge in self.sound.fed:
            if 1.0 - car.current(edge, _HOT) / self.sound.current(edge, _HOT) > n.coil:
                yield from ("no_start", "cuts_out")

    def _signals(self, car: _Car) -> Iterator[str]:
        n = self.notices
        for pin in self.sound.inputs:
            was = [self.sound.told(pin, text) for text in (_HOT, _OPEN)]
            now = [car.told(pin, text) for text in (_HOT, _OPEN)]
            swing = was[0] - was[1]
            if abs(swing) > 0.5:
                if 1.0 - abs((now[0] - now[1]) / swing) > n.swing:
                    yield "idle_hunts" if swing < 0 else "hesitates"
            elif pin in self.sound.steady and abs(now[0] / was[0] - 1.0) > n.signal:
                yield from ("hesitates", "runs_lean" if now[0] < was[0] else "runs_rich")


class _Car:
    """One loom, sound or not, as it runs."""

    def __init__(self, network: Network, bench: Bench) -> None:
        self.network, self.bench = network, bench
        self._solved: dict[tuple[str, tuple[Branch, ...]], _Running] = {}

    def at(self, text: str, *more: Branch) -> _Running:
        """Solved in a state, with branches added."""
        if (text, more) not in self._solved:
            branches = [*self.bench.branches(State.parse(text), (), dead=False), *more]
            solved = Solved(len(self.network.points), branches)
            self._solved[text, more] = _Running(solved.volts, branches)
        return self._solved[text, more]

    def told(self, pin: int, text: str) -> float:
        volts = self.at(text).volts
        return float(volts[pin] - volts[self.earth])

    def current(self, edge: int, text: str, *, closed: int | None = None) -> float:
        """Through an edge [A], on request with an output closed to the control unit's earth."""
        more = () if closed is None else ((closed, self.earth, _CLOSED_OHM, 0.0),)
        return self.at(text, *more).through(self.network.edges[edge])

    def loaded(self, pin: int, earth: int) -> float:
        volts = self.at(_HOT, (pin, earth, _DRAWN_OHM, 0.0)).volts
        return float(volts[pin] - volts[earth])

    def battery_a(self) -> float:
        battery = next(edge for edge in self.network.edges if edge.kind == "battery")
        return abs(self.at(_HOT).through(battery))

    @cached_property
    def inputs(self) -> list[int]:
        """Input pins; all are measured against `earth`."""
        node_of, elements = self.network.node_of, self.network.job.elements
        return [
            node_of[Point(each.device, each.from_pin)] for each in elements if each.kind == "input"
        ]

    @cached_property
    def earth(self) -> int:
        first = next(each for each in self.network.job.elements if each.kind == "input")
        return self.network.node_of[Point(first.device, first.to_pin)]

    def sensors(self, key: str) -> list[int]:
        """Inputs that two kelvin move."""
        one, other = (self.at(f"key=on; throttle=shut; {key}={celsius}") for celsius in (78, 80))
        return [pin for pin in self.inputs if abs(one.volts[pin] - other.volts[pin]) > 2e-3]

    @cached_property
    def driven(self) -> dict[int, int]:
        """Each coil that an input pin at rest drives when it is closed to earth: edge to pin."""
        found: dict[int, int] = {}
        for edge in self.coils:
            best = max(self.inputs, key=lambda pin: abs(self.current(edge, _HOT, closed=pin)))
            if abs(self.current(edge, _HOT, closed=best)) > 2 * abs(self.current(edge, _HOT)):
                found[edge] = best
        return found

    @cached_property
    def coils(self) -> list[int]:
        edges = enumerate(self.network.edges)
        return [n for n, edge in edges if edge.element and edge.element.kind == "winding"]

    @cached_property
    def fed(self) -> list[int]:
        """Coils that carry current with all outputs open."""
        return [
            edge
            for edge in self.coils
            if edge not in self.driven and abs(self.current(edge, _HOT)) > 0.01
        ]

    @cached_property
    def steady(self) -> set[int]:
        """Inputs of something else than a temperature, a contact or a coil."""
        moved = {*self.sensors("engine_c"), *self.sensors("air_c"), *self.driven.values()}
        rest = (pin for pin in self.inputs if pin not in moved and self.told(pin, _HOT) > 0.1)
        return {pin for pin in rest if abs(self.told(pin, _HOT) - self.told(pin, _COLD)) < 0.1}

    @cached_property
    def feed(self) -> int | None:
        """The control unit's pin that holds its voltage best while 5 A are drawn from it."""
        device = next(each.device for each in self.network.job.elements if each.kind == "input")
        points = enumerate(self.network.points)
        pins = [n for n, point in points if point.owner == device and n != self.earth]
        best = max(pins, key=lambda pin: self.loaded(pin, self.earth), default=None)
        return best if best is not None and self.loaded(best, self.earth) > 10.5 else None


@attrs.frozen(eq=False)
class _Running:
    """Voltage of each node [V], and the branches it was solved from."""

    volts: NDArray[np.float64]
    branches: list[Branch]

    def through(self, edge: Edge) -> float:
        """Current of the first branch between the edge's nodes [A], 0 where it is broken."""
        for tail, head, ohm, emf in self.branches:
            if (tail, head) == (edge.tail, edge.head):
                return float((self.volts[tail] - self.volts[head] + emf) / ohm)
        return 0.0
