"""Which faults have which electrical effect: what an owner would notice, from the circuit alone.

Every single fault is put into the loom and what the control unit gets and drives is compared with
the sound loom. Readings are monotone in a fault's magnitude, so where its strongest cell does
nothing a fault is done with; the rest is worked out cell by cell, and an effect's *share* is the
share of cells that have it. Swapped cavities have no port: their share is not known.

What a driven coil carries is the superposition of what flows with its output open and what the
closed output draws (Thévenin): I = I_open - c V / (R + R_contact), c the share of the coil in a
test current between the output's two ends.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Literal

import attrs
import numpy as np

from loomwright.circuit import NO_FAULT, Bench, Ports, Scenarios
from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.control_side import Bools, ControlSide, singly
from loomwright.diagnosis.faults import Fault

if TYPE_CHECKING:
    from loomwright.diagnosis.model import Model

_UNIT_A = 5.0
"""Drawn by a control unit and its injectors; common practice, no published source."""
_LEAST_V, _LEAST_A = 0.1, 1e-3
_REACHES = 1e-3
_NO_S = 1e-9

Off = Callable[[Ints, Scenarios], Floats]


@attrs.frozen(eq=False)
class Gauge:
    """One quantity at several rows (inputs, coils): how far faults put it off the sound loom's.

    Attributes
    ----------
    rows : how many
    off : from row numbers and scenarios (their shapes broadcast) to the difference
    """

    rows: int
    off: Off


@attrs.frozen
class Effect:
    """An effect as a gauge, the sign of its difference, and at how many rows it must show."""

    gauge: Callable[[ControlSide], Gauge]
    sign: float = 1.0
    rows: Literal["any", "one", "several"] = "any"


def believed_k(source: str) -> Callable[[ControlSide], Gauge]:
    """Believed less true temperature of the sensors warmed by `engine` or `air` [K]."""

    def gauge(side: ControlSide) -> Gauge:
        sensors = [n for n, warmed in enumerate(side.sensors.sources) if warmed == source]
        inputs = side.sensors.inputs[sensors]
        sound = side.inputs.base().volt

        def believed(number: int, volt: Floats) -> Floats:
            element, curve = side.elements[inputs[number]], side.sensors.curves[sensors[number]]
            share = np.clip(volt / (element.pull_up_v or 1.0), 1e-9, 1.0 - 1e-9)
            ohm = (element.pull_up_ohm or 0.0) * share / (1.0 - share)
            return np.asarray(curve.table.temperature(np.clip(ohm, *curve.table.range_ohm)))

        def off(rows: Ints, scenarios: Scenarios) -> Floats:
            volt = side.inputs.read(inputs[rows], scenarios).volt
            row, found = np.broadcast_to(rows, volt.shape), np.zeros(volt.shape)
            for number in range(len(sensors)):
                here = row == number
                true = believed(number, sound[inputs[number]])
                found[here] = believed(number, volt[here]) - true
            return found

        return Gauge(len(sensors), off)

    return gauge


def swing_lost(side: ControlSide) -> Gauge:
    """Share of its swing that an input loses when its contact changes state."""
    switches, bench = side.switches, side.inputs

    def volts(rows: Ints, scenarios: Scenarios) -> Floats:
        port, size = switches.ports[rows], switches.sizes[rows]
        # A shunt that stands for closing a contact has what is wrong in the contact added.
        inside = _inside(side, rows, scenarios) & ~bench.ports.is_series[port]
        ohm = np.where(scenarios.size1 > 0.0, 1.0 / np.maximum(scenarios.size1, _NO_S), 1.0 / _NO_S)
        size = np.where(inside, size + ohm, size)
        first = bench.ports.is_series[port]  # where one is a series port it comes first
        alone = scenarios.port1 == NO_FAULT
        ahead = first | alone
        both = Scenarios(
            np.where(ahead, port, scenarios.port1), np.where(ahead, size, scenarios.size1),
            np.where(ahead, scenarios.port1, port), np.where(ahead, scenarios.size1, size),
        )  # fmt: skip
        inputs = switches.inputs[rows]
        return bench.read(inputs, both).volt - bench.read(inputs, scenarios).volt

    every = np.arange(len(switches.inputs))
    none = np.full(len(every), NO_FAULT)
    sound = volts(every, singly(none, np.zeros(len(every))))

    def off(rows: Ints, scenarios: Scenarios) -> Floats:
        shape = np.broadcast_shapes(rows.shape, scenarios.port1.shape)
        row, number = np.broadcast_to(rows, shape), np.arange(len(scenarios))
        told = np.ones(shape, bool)
        if rows.ndim > 1:  # all against all: most are not worth a second fault
            told = _reached(side, scenarios)[rows, number] | _inside(side, rows, scenarios)
        found = np.zeros(shape)
        some = scenarios[np.broadcast_to(number, shape)[told]]
        found[told] = 1.0 - volts(row[told], some) / sound[row[told]]
        return found

    return Gauge(len(every), off)


def _inside(side: ControlSide, rows: Ints, scenarios: Scenarios) -> Bools:
    """Whether a series fault lies in the switch's own contact."""
    edge = side.inputs.ports.edge[np.maximum(scenarios.port1, 0)]
    there = (edge == side.switches.edges[rows]) & (scenarios.port1 != NO_FAULT)
    return np.asarray(there)


def _reached(side: ControlSide, scenarios: Scenarios) -> Bools:
    """Which scenarios change the resistance at a switched input or at its open contact."""
    bench, switches = side.inputs, side.switches
    ports = bench.ports[switches.ports]
    closed = ports.is_series
    inputs = Ports.shunt(side.pins[switches.inputs], side.references[switches.inputs])
    contacts = Ports.shunt(np.where(closed, inputs.a, ports.a), np.where(closed, inputs.b, ports.b))
    found = np.repeat(closed[:, None], len(scenarios), axis=1)
    for tests in (inputs, contacts):
        seen = Bench.of(side.solved, tests, side.model.ports)
        sound = seen.base().ohm[:, None]
        ohm = seen.read(np.arange(len(tests))[:, None], scenarios).ohm
        with np.errstate(invalid="ignore"):
            found |= ~(np.abs(ohm - sound) <= _REACHES * sound) & ~(np.isinf(ohm) & np.isinf(sound))
    return found


def steady_off(side: ControlSide) -> Gauge:
    """Relative change of the inputs that should stand still."""
    sound = side.inputs.base().volt
    inputs = side.steady[np.abs(sound[side.steady]) > _LEAST_V]

    def off(rows: Ints, scenarios: Scenarios) -> Floats:
        volt = side.inputs.read(inputs[rows], scenarios).volt
        return np.abs(volt / sound[inputs[rows]] - 1.0)

    return Gauge(len(inputs), off)


def _coils(side: ControlSide, rows: Ints, scenarios: Scenarios) -> tuple[Floats, Floats]:
    """Current of driven coils with their output open and closed [A]."""
    edges, tests, bench = side.loads.edges[rows], side.loads.tests[rows], side.outputs
    out = bench.read(tests, scenarios)
    idle = bench.supply_current(scenarios, out, edges)
    share = bench.sensitivity(tests, scenarios, out, edges)
    return idle, idle - side.drawn(out.volt, out.ohm) * share


def driven_lost(*, alike: bool) -> Callable[[ControlSide], Gauge]:
    """Share of its current that a driven coil loses: one of the set of alike ones, or another."""

    def gauge(side: ControlSide) -> Gauge:
        loads = np.flatnonzero(side.loads.alike == alike)
        sound = _sound(side, loads)[1]
        return _of_told(side, loads, lambda row, coil: 1.0 - coil[1] / sound[row])

    return gauge


def held_on(side: ControlSide) -> Gauge:
    """Current of a driven coil with its output open, as a share of the driven one."""
    loads = np.arange(len(side.loads.edges))
    idle, closed = _sound(side, loads)
    return _of_told(
        side, loads, lambda row, coil: np.abs(coil[0] - idle[row]) / np.abs(closed[row])
    )


def _of_told(
    side: ControlSide, loads: Ints, off: Callable[[Ints, tuple[Floats, Floats]], Floats]
) -> Gauge:
    """A gauge of coils, worked out only where a fault changes what their output draws."""
    bench, tests = side.outputs, side.loads.tests[loads]
    base = bench.base()
    sound = side.drawn(base.volt, base.ohm)[tests]

    def told_only(rows: Ints, scenarios: Scenarios) -> Floats:
        out = bench.read(tests[rows], scenarios)
        drawn = side.drawn(out.volt, out.ohm)
        told = np.abs(drawn - sound[rows]) > _REACHES * np.abs(sound[rows])
        row = np.broadcast_to(rows, told.shape)[told]
        some = scenarios[np.broadcast_to(np.arange(len(scenarios)), told.shape)[told]]
        found = np.zeros(told.shape)
        found[told] = off(row, _coils(side, loads[row], some))
        return found

    return Gauge(len(loads), told_only)


def _sound(side: ControlSide, loads: Ints) -> tuple[Floats, Floats]:
    return _coils(side, loads, singly(np.full(len(loads), NO_FAULT), np.zeros(len(loads))))


def fed_lost(side: ControlSide) -> Gauge:
    """Share of its current that a coil loses which is fed without the control unit."""
    own = side.solved.loop_current
    coils = np.setdiff1d(side.coils, side.loads.edges)
    coils = coils[np.abs(own[coils]) > _LEAST_A]

    def off(rows: Ints, scenarios: Scenarios) -> Floats:
        return 1.0 - _through(side, coils[rows], scenarios) / own[coils[rows]]

    return Gauge(len(coils), off)


def battery_a(side: ControlSide) -> Gauge:
    """Current of the battery above the sound loom's [A]."""
    battery = side.network.battery
    edges = np.array([] if battery is None else [battery], np.int64)
    sound = np.abs(side.solved.loop_current[edges])

    def off(rows: Ints, scenarios: Scenarios) -> Floats:
        return np.abs(_through(side, edges[rows], scenarios)) - sound[rows]

    return Gauge(len(edges), off)


def _through(side: ControlSide, edges: Ints, scenarios: Scenarios) -> Floats:
    """Current of edges with all outputs open [A]; which probe pair is read does not matter."""
    out = side.nowhere.read(np.zeros_like(edges), scenarios)
    return side.nowhere.supply_current(scenarios, out, edges)


def supply_drop(side: ControlSide) -> Gauge:
    """Fall of the control unit's own supply while it draws its usual current [V]."""
    bench = side.own_supply

    def volts(rows: Ints, scenarios: Scenarios) -> Floats:
        out = bench.read(rows, scenarios)
        return np.where(np.isinf(out.ohm), 0.0, out.volt - _UNIT_A * out.ohm)

    sound = volts(np.arange(len(bench.tests)), singly(*_NOTHING))

    def off(rows: Ints, scenarios: Scenarios) -> Floats:
        return np.asarray(sound[rows] - volts(rows, scenarios))

    return Gauge(len(bench.tests), off)


_NOTHING = (np.array([NO_FAULT]), np.zeros(1))

_ENGINE, _AIR, _ALIKE_LOST = believed_k("engine"), believed_k("air"), driven_lost(alike=True)

EFFECTS: Mapping[str, Effect] = {
    "engine_colder": Effect(_ENGINE, -1.0),
    "engine_hotter": Effect(_ENGINE),
    "air_colder": Effect(_AIR, -1.0),
    "air_hotter": Effect(_AIR),
    "switch_lost": Effect(swing_lost),
    "input_off": Effect(steady_off),
    "one_load_weak": Effect(_ALIKE_LOST, rows="one"),
    "several_loads_weak": Effect(_ALIKE_LOST, rows="several"),
    "other_load_weak": Effect(driven_lost(alike=False)),
    "fed_load_weak": Effect(fed_lost),
    "load_held_on": Effect(held_on),
    "supply_drop": Effect(supply_drop),
    "overload": Effect(battery_a),
}
"""Every effect that can be computed."""


def shares(model: Model, when: str, wanted: Mapping[str, float]) -> dict[str, Floats]:
    """For each effect the share of each fault's cells that have it, NaN for swapped cavities.

    Parameters
    ----------
    model : the loom and its faults
    when : `cold` (cranked) or `hot` (running)
    wanted : effects with the least size that counts [K, V, A or 1]

    Returns
    -------
    per effect an array of shape (faults,)
    """
    side = ControlSide(model, when)
    strong = _Cells.of(model, np.flatnonzero(~model.is_swap), _strongest)
    read: dict[object, tuple[Gauge, Floats]] = {}
    shown = {}
    for name, least in wanted.items():
        effect = EFFECTS[name]
        if effect.gauge not in read:
            gauge = effect.gauge(side)
            rows = np.arange(gauge.rows)[:, None]
            read[effect.gauge] = gauge, gauge.off(rows, strong.scenarios(side))
        gauge, off = read[effect.gauge]
        found = _shares(side, gauge, effect, least, (strong, off))
        shown[name] = np.where(model.is_swap, np.nan, found)
    return shown


@attrs.frozen(eq=False)
class _Cells:
    """Cells of magnitude of some faults: fault, magnitude, and a number that no other cell has."""

    fault: Ints
    magnitude: Floats

    @classmethod
    def of(cls, model: Model, numbers: Ints, cells_of: Callable[[Fault], np.ndarray]) -> _Cells:
        cells = [cells_of(model.faults[number]) for number in numbers]
        lengths = [len(each) for each in cells]
        return cls(np.repeat(numbers, lengths), np.concatenate([np.zeros(0), *cells]))

    def scenarios(self, side: ControlSide) -> Scenarios:
        return singly(self.fault, side.model.sizes(side.solved, self.fault, self.magnitude))


def _strongest(fault: Fault) -> np.ndarray:
    """The cells furthest from a sound loom: both ends of a factor, else one."""
    cells = fault.magnitudes()
    if fault.size == "factor":
        return cells[[0, -1]]
    return cells[-1:] if fault.edge >= 0 else cells[:1]


def _shares(
    side: ControlSide, gauge: Gauge, effect: Effect, least: float, first: tuple[_Cells, Floats]
) -> Floats:
    """Share of each fault's cells with the effect; `first` is what the strongest cells do."""
    model, (strong, off) = side.model, first
    shown = np.zeros(len(model.faults))
    row, column = np.nonzero(effect.sign * off >= least)
    pairs = np.unique(np.stack([row, strong.fault[column]]), axis=1)
    if not pairs.shape[1]:
        return shown
    faults, place = np.unique(pairs[1], return_inverse=True)
    every = _Cells.of(model, faults, lambda each: each.magnitudes())
    length = np.bincount(every.fault, minlength=len(shown))[faults]
    begin = np.cumsum(length) - length
    # Each telling row of a fault in each of its cells.
    count = length[place]
    cell = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    cell = cell + np.repeat(begin[place], count)
    scenarios = every.scenarios(side)[cell]
    has = effect.sign * gauge.off(np.repeat(pairs[0], count), scenarios) >= least
    rows = np.bincount(cell, weights=has, minlength=len(every.fault))
    told = {"any": rows >= 1, "one": rows == 1, "several": rows > 1}[effect.rows]
    shown[faults] = np.bincount(every.fault, weights=told, minlength=len(shown))[faults] / length
    return shown
