"""How readings answer a change of one branch, against differences of 50-digit readings."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mpmath import mp, mpf

from loomwright.circuit import Bench, Ports, Scenarios
from reference import exact
from reference.dense import Branch
from reference.faults import Fault
from sample.nets import Net, nets, pairs, troubles

STEP = mpf("1e-15")


@st.composite
def cases(draw: st.DrawFn) -> tuple[Net, list[Fault], tuple[int, int], int]:
    net = draw(nets(sources=True))
    edge = draw(st.integers(0, len(net.branches) - 1))
    return net, draw(troubles(net)), draw(pairs(net.nodes)), edge


def moved(net: Net, edge: int, by: mpf) -> Net:
    branches: list[Branch] = list(net.branches)
    tail, head, ohm, emf = branches[edge]
    branches[edge] = (tail, head, mpf(ohm) * (1 + by), emf)  # type: ignore[assignment]
    return Net(net.nodes, tuple(branches))


@settings(max_examples=150, deadline=None, derandomize=True)
@given(cases())
def test_the_square_of_the_share_is_the_slope_of_an_ohm_reading(
    case: tuple[Net, list[Fault], tuple[int, int], int],
) -> None:
    net, faults, pair, edge = case
    bench, scenario, outcome = net.read(faults, pair)
    if math.isinf(outcome.ohm[0]) or len(net.edited(faults)) < len(net.branches):
        return  # an open branch has no slope of its own
    share = bench.sensitivity(np.zeros(1, np.int64), scenario, outcome, np.array([edge]))
    with mp.workdps(50):
        up, down = (
            exact.ohm(net.nodes, moved(net, edge, by).edited(faults), *pair) for by in (STEP, -STEP)
        )
        slope = float((up - down) / (2 * STEP * mpf(net.branches[edge][2])))
    assert share[0] ** 2 == pytest.approx(slope, rel=1e-7, abs=1e-10)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(cases())
def test_the_share_is_the_slope_of_an_open_circuit_voltage_by_a_source(
    case: tuple[Net, list[Fault], tuple[int, int], int],
) -> None:
    """Reciprocity: current in the branch for 1 A at the probes = volts at the probes for 1 V."""
    net, faults, pair, edge = case
    bench, scenario, outcome = net.read(faults, pair)
    if math.isinf(outcome.ohm[0]) or len(net.edited(faults)) < len(net.branches):
        return
    share = bench.sensitivity(np.zeros(1, np.int64), scenario, outcome, np.array([edge]))
    tail, head, ohm, emf = net.branches[edge]
    lifted = list(net.branches)
    lifted[edge] = (tail, head, ohm, emf + 1.0)
    volts = [
        float(exact.volt(net.nodes, each.edited(faults), *pair, meter_ohm=mpf("1e40")))
        for each in (net, Net(net.nodes, tuple(lifted)))
    ]
    assert -share[0] == pytest.approx(volts[1] - volts[0], rel=1e-7, abs=1e-10)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(cases())
def test_share_times_supply_current_is_the_slope_of_a_voltage_by_ohms(
    case: tuple[Net, list[Fault], tuple[int, int], int],
) -> None:
    """Adjoint network (Tellegen): dV/dr = share of 1 A at the probes x current of the supplies."""
    net, faults, pair, edge = case
    bench, scenario, outcome = net.read(faults, pair)
    if math.isinf(outcome.ohm[0]) or len(net.edited(faults)) < len(net.branches):
        return
    share = bench.sensitivity(np.zeros(1, np.int64), scenario, outcome, np.array([edge]))
    current = bench.supply_current(scenario, outcome, np.array([edge]))
    with mp.workdps(50):
        up, down = (
            exact.volt(net.nodes, moved(net, edge, by).edited(faults), *pair, meter_ohm=mpf("1e40"))
            for by in (STEP, -STEP)
        )
        slope = float((up - down) / (2 * STEP * mpf(net.branches[edge][2])))
    assert (share * current)[0] == pytest.approx(slope, rel=1e-6, abs=1e-9)


def test_a_bench_without_fault_ports_has_shares_too() -> None:
    """0 --2-- 1 beside 0 --6-- 1: one ampere divides three to one (current divider)."""
    net = Net(2, ((0, 1, 2.0, 0.0), (0, 1, 6.0, 0.0)))
    none = np.zeros(0, np.int64)
    test = Ports.shunt(np.array([0]), np.array([1]))
    bench = Bench.of(net.solved(), test, Ports.shunt(none, none))
    nothing = Scenarios(np.array([-1]), np.zeros(1), np.array([-1]), np.zeros(1))
    outcome = bench.read(np.zeros(1, np.int64), nothing)
    share = bench.sensitivity(np.zeros(1, np.int64), nothing, outcome, np.array([0]))
    assert abs(share[0]) == pytest.approx(0.75)
