"""Faults and probes of the package put in the words of the reference."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from loomwright.circuit import Bench, Ports
from loomwright.circuit.configuration import Floats
from loomwright.diagnosis import NONE, Hypotheses, Model, Setting
from loomwright.diagnosis import Fault as OurFault
from reference.dense import Branch
from reference.faults import Drift, Fault, Series, Shunt, Swap, edited


def as_reference(model: Model, number: int, magnitude: float) -> Fault:
    """One fault of a model with its magnitude, as the reference edits it into a list."""
    fault: OurFault = model.faults[number]
    if fault.swap is not None:
        one, other = (model.network.node_of[cavity] for cavity in fault.swap)
        return Swap(one, other)
    if fault.edge < 0:
        return Shunt(*fault.nodes, magnitude)
    if fault.size == "factor":
        return Drift(fault.edge, magnitude)
    return Series(fault.edge) if fault.size == "none" else Series(fault.edge, magnitude)


def branches(
    model: Model, setting: Setting, faults: Iterable[Fault], *, dead: bool
) -> list[Branch]:
    """The edited list of one setting, from which a reference solves."""
    return edited(model.network, model.solved(setting).configuration, faults, dead=dead)


def hypothesis(*faults: tuple[int, float]) -> Hypotheses:
    """No, one or two faults with their magnitudes; a series fault has to come first."""
    numbers = [number for number, _ in faults] + [NONE, NONE]
    sizes = [size for _, size in faults] + [0.0, 0.0]
    zero = np.zeros(1)
    return Hypotheses(
        np.array(numbers[:1]), np.array(sizes[:1]), zero,
        np.array(numbers[1:2]), np.array(sizes[1:2]), zero, zero,
    )  # fmt: skip


def series_first(model: Model, faults: list[tuple[int, float]]) -> list[tuple[int, float]]:
    """The same faults in the order in which the solver takes them."""
    return sorted(faults, key=lambda fault: model.faults[fault[0]].edge < 0)


def ours(
    model: Model, setting: Setting, faults: list[tuple[int, float]], nodes: tuple[int, int]
) -> tuple[float, float]:
    """What the package reads between two nodes [ohm] and [V], the voltmeter's load included."""
    tests = Ports.shunt(np.array(nodes[:1]), np.array(nodes[1:]))
    solved, ports = model.solved(setting), model.ports
    if faults and model.is_swap[faults[0][0]]:
        moved = model.swaps.read(np.array([faults[0][0]]), solved, tests)
        if len(moved.row):
            return float(moved.ohm[0]), float(loaded(model, moved.volt, moved.ohm)[0])
        faults = []
    h = hypothesis(*series_first(model, faults))
    scenarios = model.scenarios(solved, h)
    out = Bench.of(solved, tests, ports).read(np.zeros(1, np.int64), scenarios)
    return float(out.ohm[0]), float(loaded(model, out.volt, out.ohm)[0])


def loaded(model: Model, volt: Floats, ohm: Floats) -> Floats:
    """What a voltmeter of finite resistance shows of an open-circuit voltage (Thevenin)."""
    meter = model.assume.voltmeter_ohm
    return np.where(np.isinf(ohm), 0.0, volt * meter / (meter + np.where(np.isinf(ohm), 0, ohm)))
