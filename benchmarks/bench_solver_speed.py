"""How many double-fault readings a second: the closed forms, ngspice, and a dense solve each time.

One table of probe pairs x fault pairs is read in blocks by `circuit.Bench.read`. A sample of the
same readings goes through ngspice in one process (alter, op, print) and through numpy's dense
solver with the faults put into the conductance matrix each time; all three answers are compared.
All plugs are on and the supply is off, so the loom has loops.
"""

from __future__ import annotations

import preparation  # noqa: F401  (before numpy)

# isort: split

import math
import time

import attrs
import numpy as np
from numpy.typing import NDArray

import report
from loomwright.circuit import Assumptions, Bench, Network, Ports, Scenarios, configure, solve
from loomwright.loom import State
from reference import spice
from reference.faults import edited
from reference.looms import make_job

TARGETS = {60: 3000.0, 500: 10000.0}
SPEED_TARGETS = {60: 20e6, 500: 10e6}
DENSE_TARGET = 3000.0
FAR_OHM = 1e15  # a shunt that is not there, for ngspice's fixed list of branches
SPICE_STEPS = 100  # a process; longer scripts and more shunts in the circuit only slow it down
TESTS = 32
BLOCK = 4096


@attrs.frozen
class Size:
    """How much to time: scenarios in the table, ngspice steps, dense solves."""

    scenarios: int
    spice_steps: int
    dense_solves: int
    repeats: int


SIZES = {60: Size(60_000, 6000, 4000, 5), 500: Size(60_000, 800, 60, 5)}
QUICK = Size(8000, 200, 20, 2)


class Table:
    """Random double faults of one loom, and probe pairs in the part that holds engine metal.

    Parameters
    ----------
    wires, seed : of the loom
    scenarios : number of fault pairs
    """

    def __init__(self, wires: int, seed: int, scenarios: int) -> None:
        self.rng = np.random.default_rng([wires, seed, 5])
        self.network = Network.of(make_job(wires, seed))
        self.configuration = configure(
            self.network, State.parse(""), (), assume=Assumptions.shipped()
        )
        self.solved = solve(self.network, self.configuration)
        self.nodes = len(self.network.points)
        island = self.solved.island
        self.inside = np.flatnonzero(island == island[self.network.earth])
        self.tests = Ports.shunt(self.pick(self.inside, TESTS), self.pick(self.inside, TESTS))
        self.ports = self.made_ports()
        self.scenarios = self.made_scenarios(scenarios)

    def pick(self, pool: NDArray[np.int64], count: int) -> NDArray[np.int64]:
        return self.rng.choice(pool, count)

    def made_ports(self) -> Ports:
        """Every edge of that part in series; as many shunts between two of its nodes."""
        edges = np.flatnonzero(self.solved.edge_island == self.solved.island[self.network.earth])
        a = self.rng.permutation(self.inside)
        b = np.where(self.rng.random(len(a)) < 0.5, self.network.earth, np.roll(a, 1))
        a, b = a[a != b], b[a != b]
        series, shunt = Ports.series(edges), Ports.shunt(a, b)
        return Ports(
            *(
                np.concatenate([getattr(series, name), getattr(shunt, name)])
                for name in ("edge", "a", "b")
            )
        )

    def made_scenarios(self, count: int) -> Scenarios:
        """Pairs of different ports; a third of the series faults are opens."""
        rng = self.rng
        one, two = rng.integers(len(self.ports), size=(2, count))
        two = np.where(one == two, (two + 1) % len(self.ports), two)
        series = self.ports.is_series
        turn = ~series[one] & series[two]
        one, two = np.where(turn, two, one), np.where(turn, one, two)
        sizes = []
        for port in (one, two):
            ohm = 10.0 ** rng.uniform(-1, 4, count)
            open_ = rng.random(count) < 1 / 3
            sizes.append(np.where(series[port], np.where(open_, 0.0, 1.0 / ohm), ohm))
        return Scenarios(one, sizes[0], two, sizes[1])

    def sample(self, count: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Random (test, scenario) numbers."""
        return (
            self.rng.integers(len(self.tests), size=count),
            self.rng.integers(len(self.scenarios), size=count),
        )


def read_all(table: Table, bench: Bench) -> float:
    """Read the whole table in blocks; readings a second."""
    rows = np.arange(len(table.tests))[:, None]
    began = time.perf_counter()
    total = 0
    for start in range(0, len(table.scenarios), BLOCK):
        out = bench.read(rows, table.scenarios[start : start + BLOCK])
        total += out.ohm.size
    return total / (time.perf_counter() - began)


class ByNgspice:
    """The same readings by altering one circuit in one ngspice process."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.branches = edited(table.network, table.configuration, dead=True)
        present = np.flatnonzero(table.configuration.present)
        self.branch_of = {int(edge): place for place, edge in enumerate(present)}

    def read(
        self, tests: NDArray[np.int64], scenarios: NDArray[np.int64]
    ) -> tuple[float, list[float]]:
        """Readings a second, the time to start and load taken off, and the readings."""
        seconds = 0.0
        values: list[float] = []
        for start in range(0, len(tests), SPICE_STEPS):
            part = slice(start, start + SPICE_STEPS)
            more, read = self.read_part(tests[part], scenarios[part])
            seconds, values = seconds + more, values + read
        return len(values) / max(seconds, 1e-9), values

    def read_part(
        self, tests: NDArray[np.int64], scenarios: NDArray[np.int64]
    ) -> tuple[float, list[float]]:
        """One process: seconds beyond those of a single step, and the readings."""
        shunts = self.shunt_places(scenarios)
        branches = [*self.branches, *((a, b, FAR_OHM, 0.0) for a, b in shunts)]
        altered = spice.Altered(self.table.nodes, branches)
        steps = [self.step(int(t), int(s), shunts) for t, s in zip(tests, scenarios, strict=True)]
        began = time.perf_counter()
        altered.ohms(steps[:1])
        alone = time.perf_counter() - began
        began = time.perf_counter()
        values = altered.ohms(steps)
        return time.perf_counter() - began - alone, values

    def shunt_places(self, scenarios: NDArray[np.int64]) -> dict[tuple[int, int], int]:
        """Node pairs that need a branch, with the number it will have."""
        found: dict[tuple[int, int], int] = {}
        table = self.table
        for port in np.concatenate(
            [table.scenarios.port1[scenarios], table.scenarios.port2[scenarios]]
        ):
            if not table.ports.is_series[port]:
                pair = (int(table.ports.a[port]), int(table.ports.b[port]))
                found.setdefault(pair, len(self.branches) + len(found))
        return found

    def step(self, test: int, scenario: int, shunts: dict[tuple[int, int], int]) -> spice.Step:
        table, ohm = self.table, {}
        for port, size in _both(table.scenarios, scenario):
            edge = int(table.ports.edge[port])
            if edge >= 0:
                own = float(table.configuration.ohm[edge])
                ohm[self.branch_of[edge]] = own + (math.inf if size == 0.0 else 1.0 / size)
            else:
                ohm[shunts[(int(table.ports.a[port]), int(table.ports.b[port]))]] = size
        return spice.Step(ohm, int(table.tests.a[test]), int(table.tests.b[test]))


class ByDense:
    """The same readings by numpy's dense solver: the faults go into the matrix, one solve each."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.place = {int(node): n for n, node in enumerate(table.inside)}
        self.matrix = np.zeros((len(table.inside), len(table.inside)))
        for tail, head, ohm, _ in edited(table.network, table.configuration, dead=True):
            if tail in self.place:
                self.add(self.matrix, tail, head, 1.0 / ohm)

    def add(self, matrix: NDArray[np.float64], tail: int, head: int, siemens: float) -> None:
        one, other = self.place[tail], self.place[head]
        matrix[one, one] += siemens
        matrix[other, other] += siemens
        matrix[one, other] -= siemens
        matrix[other, one] -= siemens

    def read(
        self, tests: NDArray[np.int64], scenarios: NDArray[np.int64]
    ) -> tuple[float, list[float]]:
        """Readings a second and the readings; a 1 Gohm open, as in ngspice."""
        values = []
        began = time.perf_counter()
        for test, scenario in zip(tests.tolist(), scenarios.tolist(), strict=True):
            values.append(self.one(test, scenario))
        return len(values) / (time.perf_counter() - began), values

    def one(self, test: int, scenario: int) -> float:
        table = self.table
        matrix = self.matrix.copy()
        for port, size in _both(table.scenarios, scenario):
            edge = int(table.ports.edge[port])
            if edge >= 0:
                own = float(table.configuration.ohm[edge])
                added = spice.Altered.OPEN_OHM if size == 0.0 else 1.0 / size
                ends = table.network.edges[edge]
                self.add(matrix, ends.tail, ends.head, 1.0 / (own + added) - 1.0 / own)
            else:
                self.add(matrix, int(table.ports.a[port]), int(table.ports.b[port]), 1.0 / size)
        plus = self.place[int(table.tests.a[test])]
        minus = self.place[int(table.tests.b[test])]
        if plus == minus:
            return 0.0
        kept = np.arange(len(matrix)) != minus
        driven = np.zeros(len(matrix))
        driven[plus] = 1.0
        return float(
            np.linalg.solve(matrix[np.ix_(kept, kept)], driven[kept])[plus - (plus > minus)]
        )


def _both(scenarios: Scenarios, number: int) -> tuple[tuple[int, float], tuple[int, float]]:
    return (
        (int(scenarios.port1[number]), float(scenarios.size1[number])),
        (int(scenarios.port2[number]), float(scenarios.size2[number])),
    )


def agreement(ours: NDArray[np.float64], theirs: list[float]) -> str:
    """Worst relative difference of readings from 1 mohm to 1 Mohm, an open being 1 Gohm to all.

    Above it the others round: 1 Gohm beside milliohms leaves them four figures.
    """
    other = np.array(theirs)
    middle = (ours > 1e-3) & (ours < 1e6)
    worst = float(np.max(np.abs(other[middle] / ours[middle] - 1.0), initial=0.0))
    return f"{worst:.0e}"


def with_large_opens(table: Table, scenarios: NDArray[np.int64]) -> Scenarios:
    """The scenarios with every open as 1 Gohm, as the other solvers need it."""
    some = table.scenarios[scenarios]
    sizes = [
        np.where(table.ports.is_series[port] & (size == 0.0), 1.0 / spice.Altered.OPEN_OHM, size)
        for port, size in ((some.port1, some.size1), (some.port2, some.size2))
    ]
    return Scenarios(some.port1, sizes[0], some.port2, sizes[1])


def compare(wires: int, size: Size, seed: int, *, judge: bool) -> list[report.Figure]:
    """One loom: speeds and ratios."""
    table = Table(wires, seed, size.scenarios)
    bench = Bench.of(table.solved, table.tests, table.ports)
    ours = float(np.median([read_all(table, bench) for _ in range(size.repeats)]))
    wanted = SPEED_TARGETS[wires]
    found = [
        report.Figure(
            f"{wires} wires: closed forms",
            f"{report.number(ours / 1e6)} million readings/s",
            f"at least {report.number(wanted / 1e6)} million/s",
            ours >= wanted if judge else None,
        ),
    ]
    ways: list[tuple[str, ByNgspice | ByDense, int, float | None]] = [
        ("dense solve each time", ByDense(table), size.dense_solves, DENSE_TARGET)
    ]
    if spice.installed():
        ways.insert(
            0, ("ngspice, one process", ByNgspice(table), size.spice_steps, TARGETS.get(wires))
        )
    for name, way, count, target in ways:
        tests, scenarios = table.sample(count)
        speed, values = way.read(tests, scenarios)
        agree = agreement(bench.read(tests, with_large_opens(table, scenarios)).ohm, values)
        found.append(
            report.Figure(f"  {name}", f"{report.number(speed)} readings/s; apart {agree}")
        )
        ratio = ours / speed
        found.append(
            report.Figure(
                "  ratio to it",
                f"{report.number(ratio)}x",
                f"at least {report.number(target or 0.0)}x",
                ratio >= (target or 0.0) if judge else None,
            )
        )
    return found


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--seed", type=int, default=1, help="of the looms and the faults")
    options = parser.parse_args()
    report.machine()
    found: list[report.Figure] = []
    for wires, size in SIZES.items():
        found += compare(
            wires, QUICK if options.quick else size, options.seed, judge=not options.quick
        )
    report.figures(f"Double-fault readings, {TESTS} probe pairs x fault pairs, one core", found)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()
