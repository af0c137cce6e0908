"""Readings do not depend on the order, shape or company in which they are asked for."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.circuit import (
    Assumptions,
    Bench,
    Network,
    Ports,
    Scenarios,
    configure,
    solve,
    solver,
)
from loomwright.circuit.reading import sound
from loomwright.loom import State
from reference.looms import make_job


@pytest.fixture(scope="module")
def network() -> Network:
    return Network.of(make_job(24, seed=4))


def bench_of(network: Network) -> Bench:
    """Random probe pairs against every edge and random shunts."""
    rng = np.random.default_rng(2)
    solved = solve(
        network, configure(network, State.parse("key=on"), (), assume=Assumptions.shipped())
    )
    nodes = len(network.points)
    edges = np.flatnonzero(solved.edge_island >= 0)
    a, b = rng.integers(nodes, size=(2, 40))
    zero = np.zeros(len(edges), np.int64)
    ports = Ports(
        np.concatenate([edges, np.full(40, -1)]),
        np.concatenate([zero, a]),
        np.concatenate([zero, (b + (a == b)) % nodes]),
    )
    return Bench.of(solved, Ports.shunt(*rng.integers(nodes, size=(2, 9))), ports)


def scenarios_of(bench: Bench) -> Scenarios:
    """No to two faults of every kind, mixed."""
    rng, series = np.random.default_rng(6), bench.ports.is_series
    one, two = rng.integers(len(bench.ports), size=(2, 300))
    two = np.where(one == two, -1, two)
    turn = (two >= 0) & ~series[one] & series[two]
    one, two = np.where(turn, two, one), np.where(turn, one, two)
    one, two = np.where(rng.random(300) < 0.05, -1, one), np.where(rng.random(300) < 0.2, -1, two)
    two = np.where(one < 0, -1, two)
    return Scenarios(one, 10.0 ** rng.uniform(-3, 2, 300), two, 10.0 ** rng.uniform(-3, 2, 300))


def test_a_table_holds_what_is_read_one_by_one(network: Network) -> None:
    bench = bench_of(network)
    scenarios, tests = scenarios_of(bench), np.arange(len(bench.tests))
    table = bench.read(tests[:, None], scenarios)
    for number in range(0, len(scenarios), 17):
        single = scenarios[np.full(len(tests), number)]
        alone = bench.read(tests, single)
        for name in ("ohm", "volt", "x1", "x2", "y1", "y2"):
            got = getattr(table, name)[:, number]
            assert got == pytest.approx(getattr(alone, name), rel=1e-12, abs=1e-12)


def test_values_alone_are_those_of_the_whole_outcome(network: Network) -> None:
    bench = bench_of(network)
    scenarios, tests = scenarios_of(bench), np.arange(len(bench.tests))[:, None]
    out = bench.read(tests, scenarios)
    ohm, volt = bench.values(tests, scenarios)
    assert np.array_equal(ohm, out.ohm)
    assert np.array_equal(volt, out.volt)


def test_large_islands_read_as_small_ones(
    network: Network, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = bench_of(network)
    scenarios, tests = scenarios_of(bench), np.arange(len(bench.tests))[:, None]
    whole = bench.values(tests, scenarios)
    monkeypatch.setattr(solver, "MOST_NODES", 0)
    for got, wanted in zip(bench_of(network).values(tests, scenarios), whole, strict=True):
        assert np.array_equal(np.isinf(got), np.isinf(wanted))
        inside = np.isfinite(wanted)
        assert got[inside] == pytest.approx(wanted[inside], rel=1e-9, abs=1e-9)


def test_the_sound_loom_needs_no_bench(network: Network) -> None:
    bench = bench_of(network)
    ohm, volt = sound(bench.solved, bench.tests)
    base = bench.base()
    assert np.array_equal(ohm, base.ohm)
    assert np.array_equal(volt, base.volt)
