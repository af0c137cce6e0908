"""Laws of resistive networks that every reading keeps, on any small net and any two faults.

Rayleigh's monotonicity law (Doyle and Snell, Random Walks and Electric Networks, 1984, ch. 4):
adding a resistor never raises, enlarging one never lowers, the resistance between two points.
"""

from __future__ import annotations

import itertools
import math

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.circuit import Bench, Ports, Scenarios
from reference.faults import Fault, Series, Shunt
from sample.nets import Net, nets, pairs, troubles

SIZES = (0.05, 0.5, 30.0, 2e4, 1e6)


@st.composite
def cases(draw: st.DrawFn, *, sources: bool = False) -> tuple[Net, list[Fault], tuple[int, int]]:
    net = draw(nets(sources=sources))
    return net, draw(troubles(net)), draw(pairs(net.nodes))


def at_least(high: float, low: float) -> bool:
    return high >= low * (1 - 1e-9) - 1e-9


@settings(max_examples=120, deadline=None, derandomize=True)
@given(cases(sources=True))
def test_swapping_the_probes_keeps_ohms_and_turns_volts(
    case: tuple[Net, list[Fault], tuple[int, int]],
) -> None:
    net, faults, (a, b) = case
    one, other = net.read(faults, (a, b))[2], net.read(faults, (b, a))[2]
    assert one.ohm[0] == pytest.approx(other.ohm[0], rel=1e-9, abs=1e-9)
    assert one.volt[0] == pytest.approx(-other.volt[0], rel=1e-9, abs=1e-9)


@settings(max_examples=120, deadline=None, derandomize=True)
@given(cases(sources=True))
def test_nothing_leaks_but_over_range_as_infinite_ohms(
    case: tuple[Net, list[Fault], tuple[int, int]],
) -> None:
    net, faults, pair = case
    out = net.read(faults, pair)[2]
    assert out.ohm[0] >= 0
    assert not np.isnan(out.ohm[0])
    for value in (out.volt[0], out.x1[0], out.x2[0]):
        assert np.isfinite(value)
    if np.isinf(out.ohm[0]):
        assert out.volt[0] == 0


@settings(max_examples=120, deadline=None, derandomize=True)
@given(cases(), st.data())
def test_readings_rise_with_every_magnitude(
    case: tuple[Net, list[Fault], tuple[int, int]], data: st.DataObject
) -> None:
    net, faults, pair = case
    if not faults:
        return
    place = data.draw(st.integers(0, len(faults) - 1))
    read = []
    for size in (*SIZES, math.inf):
        if math.isinf(size) and isinstance(faults[place], Shunt):
            continue
        changed = [*faults]
        changed[place] = attrs.evolve(faults[place], ohm=size)  # type: ignore[misc]
        read.append(net.ohm(changed, pair))
    assert all(at_least(high, low) for low, high in itertools.pairwise(read)), read


@settings(max_examples=150, deadline=None, derandomize=True)
@given(cases())
def test_a_shunt_never_raises_and_a_series_fault_never_lowers_a_reading(
    case: tuple[Net, list[Fault], tuple[int, int]],
) -> None:
    net, faults, pair = case
    for place, fault in enumerate(faults):
        without = net.ohm([f for n, f in enumerate(faults) if n != place], pair)
        with_it = net.ohm(faults, pair)
        if isinstance(fault, Shunt):
            assert at_least(without, with_it)
        else:
            assert at_least(with_it, without)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(nets(), st.data())
def test_resistance_is_a_distance(net: Net, data: st.DataObject) -> None:
    """R(a, c) <= R(a, b) + R(b, c): Klein and Randic, J. Math. Chem. 12 (1993) 81."""
    (a, b), c = data.draw(pairs(net.nodes)), data.draw(st.integers(0, net.nodes - 1))
    assert net.ohm([], (c, c)) == 0
    assert at_least(net.ohm([], (a, b)) + net.ohm([], (b, c)), net.ohm([], (a, c)))


@settings(max_examples=100, deadline=None, derandomize=True)
@given(nets())
def test_shares_of_all_branches_add_up_to_the_number_of_nodes_less_parts(net: Net) -> None:
    """Foster's theorem (1949): the sum of R_effective / r over branches is nodes - parts."""
    total = sum(net.ohm([], (a, b)) / ohm for a, b, ohm, _ in net.branches)
    parts = len(set(net.solved().island.tolist()))
    # A micro-ohm in a branch of 10 milliohms is a ten-thousandth.
    assert total == pytest.approx(net.nodes - parts, abs=1e-4)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(nets(sources=True), st.data())
def test_a_table_of_readings_equals_its_elements_in_any_order(
    net: Net, data: st.DataObject
) -> None:
    """Shape (tests, 1) against (scenarios,) gives what one reading at a time gives."""
    edges = [Series(e, size) for e in range(len(net.branches)) for size in (2.0, math.inf)]
    shunts = [Shunt(*data.draw(pairs(net.nodes)), size) for size in (0.5, 900.0)]
    faults: list[Series | Shunt] = [*edges, *shunts]
    rows = [(f.edge, 0, 0) if isinstance(f, Series) else (-1, f.a, f.b) for f in faults]
    ports = Ports(*(np.array(column) for column in zip(*rows, strict=True)))
    size = np.array([1 / f.ohm if isinstance(f, Series) else f.ohm for f in faults])
    one, two = np.triu_indices(len(faults), 1)
    kept = (ports.edge[one] != ports.edge[two]) | (ports.edge[one] < 0)
    one, two = one[kept], two[kept]
    none = np.full(len(faults), -1)
    every = np.arange(len(faults))
    port1, port2 = np.concatenate([[-1], every, one]), np.concatenate([[-1], none, two])
    sizes = np.append(size, 0.0)
    scenarios = Scenarios(port1, sizes[port1], port2, sizes[port2])
    a, b = np.triu_indices(net.nodes, 1)
    bench = Bench.of(net.solved(), Ports.shunt(a, b), ports)
    tests = np.arange(len(a))
    table = bench.read(tests[:, None], scenarios)
    assert table.ohm.shape == (len(a), len(scenarios))
    order = data.draw(st.permutations(range(min(len(scenarios), 8))))
    shuffled = bench.read(tests[:, None], scenarios[np.array(order)])
    flat = bench.read(
        np.repeat(tests, len(scenarios)),
        Scenarios(*(np.tile(column, len(tests)) for column in attrs.astuple(scenarios))),
    )
    base = bench.base()
    for name in ("ohm", "volt", "x1", "x2"):
        whole = getattr(table, name)
        np.testing.assert_array_equal(getattr(flat, name).reshape(whole.shape), whole)
        np.testing.assert_array_equal(getattr(shuffled, name), whole[:, order])
        np.testing.assert_array_equal(getattr(base, name), whole[:, 0])
