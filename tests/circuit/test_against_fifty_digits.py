"""The closed forms against node elimination with 50 decimal digits: the harshest yardstick.

A reading must be right to 1e-10 relative or to a micro-ohm, whatever the faults do to each other.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from loomwright.diagnosis import Model, Setting
from loomwright.diagnosis.harm import control_plugs
from loomwright.loom import State
from reference import exact
from reference.dense import Branch
from reference.faults import Fault, Series, Shunt
from reference.looms import make_job
from sample.nets import Net
from sample.scenarios import as_reference, branches, ours

STATES = ("", "throttle=open", "key=on", "key=start; engine_c=10")


def same(mine: float, truth: object) -> bool:
    wanted = float(truth)  # type: ignore[arg-type]
    if math.isinf(wanted):
        return math.isinf(mine)
    return mine == pytest.approx(wanted, rel=1e-10, abs=1e-6)


def magnitude(model: Model, number: int, rng: np.random.Generator) -> float:
    fault = model.faults[number]
    return 0.0 if fault.size == "none" else fault.low * (fault.high / fault.low) ** rng.random()


def near(model: Model, number: int, nodes: set[int]) -> bool:
    fault = model.faults[number]
    edge = model.network.edges[fault.edge]
    ends = {edge.tail, edge.head} if fault.edge >= 0 else set(fault.nodes)
    return bool(ends & nodes)


@pytest.mark.parametrize("count", [1, 2])
@pytest.mark.parametrize(("wires", "seed"), [(12, 1), (12, 2), (24, 3), (45, 4)])
def test_random_looms_with_faults_that_meet(wires: int, seed: int, count: int) -> None:
    model = Model(make_job(wires, seed))
    rng = np.random.default_rng([wires, seed, count])
    control = control_plugs(model.network.topology)
    able = [n for n, fault in enumerate(model.faults) if fault.swap is None]
    over = 0
    for _ in range(60 if wires < 45 else 25):
        state = State.parse(STATES[rng.integers(len(STATES))])
        setting = Setting.of(state, control if rng.random() < 0.7 else ())
        island = model.solved(setting).island
        # Half of the pairs act on one island, where they can answer each other.
        first = int(rng.choice(able))
        edge = model.network.edges[model.faults[first].edge]
        here = island[edge.tail if model.faults[first].edge >= 0 else model.faults[first].nodes[0]]
        close = [n for n in able if near(model, n, set(np.flatnonzero(island == here).tolist()))]
        second = int(rng.choice(close if rng.random() < 0.5 else able))
        numbers = [first, second][:count]
        if count == 2 and (
            first == second or 0 <= model.faults[first].edge == model.faults[second].edge
        ):
            continue
        wrong = [(number, magnitude(model, number, rng)) for number in numbers]
        faults = [as_reference(model, *each) for each in wrong]
        nodes = len(model.network.points)
        pair = tuple(int(n) for n in rng.choice(nodes, 2, replace=False))
        ohm, volt = ours(model, setting, wrong, pair)
        dead, live = (branches(model, setting, faults, dead=dead) for dead in (True, False))
        assert same(ohm, exact.ohm(nodes, dead, *pair)), (wrong, pair)
        loaded = exact.volt(nodes, live, *pair, meter_ohm=model.assume.voltmeter_ohm)
        assert volt == pytest.approx(float(loaded), rel=1e-9, abs=1e-6), (wrong, pair)
        over += math.isinf(ohm)
    assert over > 0


def resistors(*rows: tuple[int, int, float]) -> tuple[Branch, ...]:
    return tuple((a, b, ohm, 0.0) for a, b, ohm in rows)


# 0 --1-- 1     2 --2-- 3 --3-- 4 (floating)     5 (bare)
ISLANDS = Net(6, resistors((0, 1, 0.01), (2, 3, 2500.0), (3, 4, 0.02)))

# a ring 0-1-2-3-0 of a milliohm wire, two kilohm parts and a megohm input, a tail 3-4
RING = Net(5, resistors((0, 1, 0.005), (1, 2, 2500.0), (2, 3, 70.0), (3, 0, 1e6), (3, 4, 0.02)))

# two rings that share an edge: 0-1-2-0 and 0-2-3-0
EIGHT = Net(4, resistors((0, 1, 0.01), (1, 2, 2.0), (2, 0, 1e5), (2, 3, 0.004), (3, 0, 350.0)))

DEGENERATE: dict[str, tuple[Net, list[Fault]]] = {
    "two shunts onto one floating island": (ISLANDS, [Shunt(1, 2, 0.1), Shunt(0, 4, 1e6)]),
    "two shunts from the same point of it": (ISLANDS, [Shunt(1, 2, 5.0), Shunt(0, 2, 7e5)]),
    "two shunts in a row through an island": (ISLANDS, [Shunt(1, 2, 5.0), Shunt(4, 5, 0.2)]),
    "two shunts side by side": (ISLANDS, [Shunt(1, 3, 1e-1), Shunt(1, 3, 1e6)]),
    "a shunt inside an island and one out of it": (ISLANDS, [Shunt(2, 4, 3.0), Shunt(0, 3, 1e4)]),
    "an open beyond a shunt onto an island": (ISLANDS, [Series(1), Shunt(1, 4, 10.0)]),
    "an open that the shunt bridges": (ISLANDS, [Series(1), Shunt(2, 3, 12.0)]),
    "both edges of a cut pair open": (RING, [Series(0), Series(2)]),
    "an open that makes bridges, and one of them": (RING, [Series(3), Series(1)]),
    "an open in a ring and extra ohms in its bridge": (RING, [Series(0), Series(1, 1e5)]),
    "extra ohms in both of a cut pair": (RING, [Series(0, 0.3), Series(3, 1e5)]),
    "an open in a ring, a shunt across another": (RING, [Series(1), Shunt(2, 3, 0.1)]),
    "an open in a ring, a shunt across it": (RING, [Series(3), Shunt(3, 0, 1e6)]),
    "the tail off, joined again elsewhere": (RING, [Series(4), Shunt(4, 1, 1e4)]),
    "opens in both rings": (EIGHT, [Series(0), Series(4)]),
    "the shared edge open, then one more": (EIGHT, [Series(2), Series(3)]),
    "a hard short over a megohm": (RING, [Shunt(0, 3, 1e-3), Series(3, 1e6)]),
    "two hard shorts round a ring": (RING, [Shunt(0, 2, 1e-3), Shunt(1, 3, 1e-3)]),
}


@pytest.mark.parametrize("name", DEGENERATE)
def test_faults_that_make_or_break_paths(name: str) -> None:
    net, faults = DEGENERATE[name]
    for order in (faults, faults[::-1]):
        for a in range(net.nodes):
            for b in range(net.nodes):
                truth = exact.ohm(net.nodes, net.edited(faults), a, b)
                assert same(net.ohm(order, (a, b)), truth), (a, b)
