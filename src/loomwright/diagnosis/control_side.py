"""The sound loom seen from the control unit: its inputs, the coils it drives, its own supply.

All is found from the circuit, key on and all plugs on. A pin *drives* a coil when joining it to
the control unit's earth or supply pin sends more current through the coil than flows without; an
input's *sensor* is the thermistor that takes its current; a contact *moves* an input when its
change of state does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit import (
    NO_FAULT,
    Bench,
    Curve,
    Ports,
    Scenarios,
    Solved,
    configure,
    curves_of,
    solve,
)
from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.loom import Element, Point, State

if TYPE_CHECKING:
    from loomwright.diagnosis.model import Model

Bools = NDArray[np.bool_]

STATES: Mapping[str, dict[str, str | float]] = {
    "cold": {"key": "start", "throttle": "part", "engine_c": 0.0, "air_c": 20.0},
    "hot": {"key": "on", "throttle": "part", "engine_c": 80.0, "air_c": 20.0},
}
"""A cold engine being cranked, and a hot one running; throttle contacts open, so that closing each
is a change."""
_DEAD_SHORT_A = 25.0
_LEAST_SHARE = 0.02
_ALIKE = 1.3
_LEAST_SWING_V = 0.5
_FEED_OHM = 1.0
_NO_PORTS = Ports.shunt(np.zeros(0, np.int64), np.zeros(0, np.int64))


@attrs.frozen(eq=False)
class Sensors:
    """Inputs with a thermistor: number of the input, its sensor's curve, what warms it."""

    inputs: Ints
    curves: tuple[Curve, ...]
    sources: tuple[str, ...]


@attrs.frozen(eq=False)
class Switches:
    """Inputs, the edge of the contact that moves each, port and size of its change of state.

    The ports are those of the bench `inputs`, which holds every contact's change of state after
    the faults.
    """

    inputs: Ints
    edges: Ints
    ports: Ints
    sizes: Floats


@attrs.frozen(eq=False)
class Loads:
    """Driven coils: edge, probe pair of `outputs` that drives it, whether it is one of a set."""

    edges: Ints
    tests: Ints
    alike: Bools


class ControlSide:
    """The sound loom in one of `STATES`.

    Parameters
    ----------
    model : the loom and its faults
    when : `cold` or `hot`
    """

    def __init__(self, model: Model, when: str) -> None:
        self.model, self.network, self.assume = model, model.network, model.assume
        state = dict(STATES[when])
        if not self._cranked():
            state["key"] = "on"  # nothing in this job tells cranking from running
        self.state = State.of(state)
        configuration = configure(self.network, self.state, (), assume=self.assume)
        self.solved: Solved = solve(self.network, configuration)
        self.elements, pins = self._inputs()
        self.pins = np.array([pin for pin, _ in pins], np.int64)
        self.references = np.array([earth for _, earth in pins], np.int64)
        self.units = {each.device for each in self.elements}
        """Devices with electronics inside."""
        counted = Counter(self.references.tolist()).most_common(1)
        self.earth: int | None = counted[0][0] if counted else None
        """The pin that most inputs are measured against."""

    def _cranked(self) -> bool:
        conditions = (each.closed_when for each in self.network.job.elements)
        clauses = (clause for each in conditions if each for clause in each.clauses)
        return any(name == "key" and value == "start" for name, _, value in clauses)

    def _inputs(self) -> tuple[list[Element], list[tuple[int, int]]]:
        node_of = self.network.node_of
        kept, pins = [], []
        for each in self.network.job.elements:
            ends = [node_of.get(Point(each.device, pin)) for pin in (each.from_pin, each.to_pin)]
            if each.kind == "input" and ends[0] is not None and ends[1] is not None:
                kept.append(each)
                pins.append((ends[0], ends[1]))
        return kept, pins

    def bench(self, a: Iterable[int], b: Iterable[int], more: Ports | None = None) -> Bench:
        """Node pairs against the ports of all faults, and some more."""
        tests = Ports.shunt(np.array(list(a), np.int64), np.array(list(b), np.int64))
        ports = self.model.ports
        if more is not None:
            ports = Ports(
                np.concatenate([ports.edge, more.edge]),
                np.concatenate([ports.a, more.a]),
                np.concatenate([ports.b, more.b]),
            )
        return Bench.of(self.solved, tests, ports)

    # What it is fed by, and what it drives

    @cached_property
    def _unit_pins(self) -> list[int]:
        points = enumerate(self.network.points)
        return [node for node, point in points if point.owner in self.units and point.terminal]

    @cached_property
    def supply(self) -> int | None:
        """The control unit's pin with the least resistance to the battery's plus joint."""
        plus, earth = self.network.supply, self.earth
        pins = [node for node in self._unit_pins if node != earth]
        if plus is None or earth is None or not pins:
            return None
        tests = Ports.shunt(np.array(pins), np.full(len(pins), plus))
        ohm = Bench.of(self.solved, tests, _NO_PORTS).base().ohm
        tests = Ports.shunt(np.array(pins), np.full(len(pins), earth))
        volt = Bench.of(self.solved, tests, _NO_PORTS).base().volt
        # Earth pins are as near to the plus joint, through the battery.
        ohm = np.where(volt > 0.5 * self.network.job.about.supply_v, ohm, np.inf)
        least = int(np.argmin(ohm))
        return pins[least] if ohm[least] < _FEED_OHM else None

    @cached_property
    def own_supply(self) -> Bench:
        """Its supply pin against its earth pin; no probe pair where there is no such pin."""
        if self.supply is None or self.earth is None:
            return self.bench([], [])
        return self.bench([self.supply], [self.earth])

    @cached_property
    def nowhere(self) -> Bench:
        """Both probes on metal, for what the supplies alone do."""
        return self.bench([self.network.earth], [self.network.earth])

    @cached_property
    def coils(self) -> Ints:
        """Edges of all windings outside the control unit."""
        found = [
            number
            for number, edge in enumerate(self.network.edges)
            if edge.element is not None
            and edge.element.kind == "winding"
            and edge.element.device not in self.units
        ]
        return np.array(found, np.int64)

    @cached_property
    def _driving(self) -> tuple[Ports, Loads]:
        """Pairs of pin and rail that drive coils, and the coils each with its pair."""
        rails = [node for node in (self.earth, self.supply) if node is not None]
        pulled = {self.network.edges[number].head for number in self.network.inner_supplies}
        pins = [node for node in self._unit_pins if node not in pulled and node not in rails]
        a, b = np.repeat(np.array(pins, np.int64), len(rails)), np.tile(rails, len(pins))
        tests, edges = Ports.shunt(a, np.asarray(b, np.int64)), self.coils
        if not len(edges) or not len(tests):
            return _NO_PORTS, Loads(_NO_PORTS.a, _NO_PORTS.a, np.zeros(0, bool))
        base = Bench.of(self.solved, tests, _NO_PORTS).base()
        drawn = self.drawn(base.volt, base.ohm)
        share = self.solved.c(tests.b[:, None], edges) - self.solved.c(tests.a[:, None], edges)
        own = self.solved.loop_current[edges]
        amps = np.abs(own - drawn[:, None] * share)
        fits = (np.abs(drawn) < _DEAD_SHORT_A)[:, None] & (np.abs(share) > _LEAST_SHARE)
        amps = np.where(fits & (amps > 2.0 * np.abs(own)), amps, 0.0)
        best = amps.argmax(axis=0)
        most = amps[best, np.arange(len(edges))]
        kept = np.flatnonzero(most > 0.0)
        used, number = np.unique(best[kept], return_inverse=True)
        return tests[used], Loads(edges[kept], number.ravel(), alike(most[kept]))

    @property
    def loads(self) -> Loads:
        """Each driven coil with the pair that sends most current through it."""
        return self._driving[1]

    @cached_property
    def outputs(self) -> Bench:
        """The driving pairs: a pin against the control unit's earth or supply pin."""
        tests = self._driving[0]
        return self.bench(tests.a, tests.b)

    def drawn(self, volt: Floats, ohm: Floats) -> Floats:
        """Current that a closed output carries [A]."""
        return np.where(np.isinf(ohm), 0.0, volt / (ohm + self.assume.closed_contact_ohm))

    # What it is told

    @cached_property
    def _changes(self) -> tuple[Ports, Floats, Ints]:
        """Each contact's change of state as a port, its size, and its edge; the key's left out."""
        edge_of, a, b, size, edges = [], [], [], [], []
        configuration = self.solved.configuration
        for number, edge in enumerate(self.network.edges):
            element = edge.element
            if element is None or element.kind != "contact" or element.closed_when is None:
                continue
            if any(name == "key" for name, _, _ in element.closed_when.clauses):
                continue
            closed = bool(configuration.present[number])
            edges.append(number)
            edge_of.append(number if closed else -1)
            a.append(0 if closed else edge.tail)
            b.append(0 if closed else edge.head)
            size.append(0.0 if closed else float(configuration.ohm[number]))
        ports = Ports(np.array(edge_of, np.int64), np.array(a, np.int64), np.array(b, np.int64))
        return ports, np.array(size), np.array(edges, np.int64)

    @cached_property
    def inputs(self) -> Bench:
        """Every input pin against its reference; ports are the faults, then the changes."""
        return self.bench(self.pins, self.references, self._changes[0])

    @cached_property
    def switches(self) -> Switches:
        """Each contact that moves an input by half a volt or more, with the input it moves most."""
        from_ports, sizes, edges = self._changes
        first = len(self.model.ports)
        none = np.zeros(0, np.int64)
        if not len(from_ports) or not len(self.pins):
            return Switches(none, none, none, np.zeros(0))
        tests = Ports.shunt(self.pins, self.references)
        bench = Bench.of(self.solved, tests, from_ports)
        number = np.arange(len(from_ports))
        moved = np.abs(bench.read(np.arange(len(tests))[:, None], singly(number, sizes)).volt
                       - bench.base().volt[:, None])  # fmt: skip
        most = moved.argmax(axis=0)
        kept = np.flatnonzero(moved[most, number] > _LEAST_SWING_V)
        return Switches(most[kept], edges[kept], first + kept, sizes[kept])

    @cached_property
    def sensors(self) -> Sensors:
        """Pulled-up inputs whose current goes through a thermistor of a known curve."""
        curves = curves_of(self.network.job.curves)
        found = [
            number
            for number, edge in enumerate(self.network.edges)
            if edge.element is not None and edge.element.kind == "thermistor"
        ]
        edges, inputs, kept, sources = np.array(found, np.int64), [], [], []
        share = np.abs(
            self.solved.c(self.references[:, None], edges)
            - self.solved.c(self.pins[:, None], edges)
        )
        for number, each in enumerate(self.elements):
            if not (each.pull_up_ohm and each.pull_up_v) or not len(edges):
                continue
            best = int(share[number].argmax())
            sensor = self.network.edges[found[best]].element
            if share[number, best] < _LEAST_SHARE or sensor is None or sensor.curve not in curves:
                continue
            inputs.append(number)
            kept.append(curves[sensor.curve])
            sources.append(str(self.network.topology.devices[sensor.device].temperature))
        return Sensors(np.array(inputs, np.int64), tuple(kept), tuple(sources))

    @cached_property
    def steady(self) -> Ints:
        """Inputs with neither thermistor nor contact that no output drives a coil through."""
        busy = {*self.sensors.inputs.tolist(), *self.switches.inputs.tolist()}
        driven = set(self._driving[0].a.tolist())
        found = [
            number
            for number, pin in enumerate(self.pins.tolist())
            if number not in busy and pin not in driven
        ]
        return np.array(found, np.int64)


def singly(port: Ints, size: Floats) -> Scenarios:
    """One port at a time."""
    return Scenarios(port, size, np.full(len(port), NO_FAULT), np.zeros(len(port)))


def alike(amps: Floats) -> Bools:
    """The set of largest currents that lie close together, as those of injectors do; else all.

    Sorted currents are parted where one is 1.3 times the one before; of the sets of two or more
    the one with the largest sum counts.

    Examples
    --------
    >>> alike(np.array([1.45, 0.3, 1.5, 1.4, 0.2])).tolist()
    [True, False, True, True, False]
    """
    order = np.argsort(amps)
    logs = np.log(amps[order])
    group = np.empty(len(amps), np.int64)
    group[order] = np.cumsum(np.diff(logs, prepend=logs[:1]) > np.log(_ALIKE))
    total = np.bincount(group, weights=amps) * (np.bincount(group) > 1)
    if not total.any():
        return np.ones(len(amps), bool)
    found: Bools = group == int(np.argmax(total))
    return found
