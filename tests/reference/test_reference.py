"""The references against textbook circuits and against each other."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from loomwright.circuit.assumptions import Assumptions
from loomwright.circuit.configuration import configure
from loomwright.circuit.network import Network
from loomwright.loom import Face, Job, Point, State, Topology
from loomwright.loom.consistency import inconsistencies
from reference import dense, exact, looms, spice
from reference.dense import Branch
from reference.draws import KINDS, Drawer, Mix
from reference.faults import Drift, Fault, Series, Shunt, Swap, edited, swapped_job
from reference.workshop import Bench, Request, Scatter, draw_faults, readings_seen

Circuit = tuple[int, list[Branch], int, int]


def resistors(*rows: tuple[int, int, float]) -> list[Branch]:
    return [(a, b, ohm, 0.0) for a, b, ohm in rows]


def cube() -> list[Branch]:
    pairs = [(a, a | bit) for a in range(8) for bit in (1, 2, 4) if not a & bit]
    return resistors(*((a, b, 1.0) for a, b in pairs))


def bridge(*ohms: float) -> list[Branch]:
    """Corners 0 (top), 3 (bottom), 1 and 2 (the diagonal): 0-1, 0-2, 1-3, 2-3, 1-2."""
    return resistors(*zip((0, 0, 1, 2, 1), (1, 2, 3, 3, 2), ohms, strict=True))


def bridge_by_hand(a: int, b: int, c: int, d: int, m: int) -> float:
    """Triangle a, b, m turned into a star (Kennelly, 1899), then series and parallel."""
    total = Fraction(a + b + m)
    top, left, right = a * b / total, a * m / total, b * m / total
    one, other = left + c, right + d
    return float(top + one * other / (one + other))


TEXTBOOK: dict[str, tuple[Circuit, float]] = {
    "series 2 + 3": ((3, resistors((0, 1, 2.0), (1, 2, 3.0)), 0, 2), 5.0),
    "parallel 2 and 3": ((2, resistors((0, 1, 2.0), (0, 1, 3.0)), 0, 1), 1.2),
    # A balanced bridge carries nothing in its diagonal: (10 + 20) beside (30 + 60).
    "balanced bridge": ((4, bridge(10, 30, 20, 60, 7), 0, 3), 22.5),
    "unbalanced bridge": ((4, bridge(1, 2, 3, 4, 5), 0, 3), bridge_by_hand(1, 2, 3, 4, 5)),
    "star of 1, 2, 3": ((4, resistors((0, 3, 1.0), (1, 3, 2.0), (2, 3, 3.0)), 0, 1), 3.0),
    # Its triangle: R12 = (1*2 + 2*3 + 3*1) / 3 and so on (Kennelly, 1899).
    "triangle of that star": (
        (3, resistors((0, 1, 11 / 3), (1, 2, 11.0), (0, 2, 5.5)), 0, 1),
        3.0,
    ),
    # Cube of unit resistors: edge 7/12, face diagonal 3/4, body diagonal 5/6 (puzzle book classic).
    "cube, edge": ((8, cube(), 0, 1), 7 / 12),
    "cube, face diagonal": ((8, cube(), 0, 3), 3 / 4),
    "cube, body diagonal": ((8, cube(), 0, 7), 5 / 6),
    "no path": ((4, resistors((0, 1, 2.0), (2, 3, 2.0)), 0, 3), math.inf),
    "same node": ((2, resistors((0, 1, 2.0)), 1, 1), 0.0),
}


@pytest.mark.parametrize("name", TEXTBOOK)
def test_resistance_of_textbook_circuits(name: str) -> None:
    (nodes, branches, a, b), expected = TEXTBOOK[name]
    assert dense.ohm(nodes, branches, a, b) == pytest.approx(expected, rel=1e-12)
    assert dense.Solved(nodes, branches).ohm(a, b) == pytest.approx(expected, rel=1e-12)
    assert float(exact.ohm(nodes, branches, a, b)) == pytest.approx(expected, rel=1e-14)


def test_resistance_of_textbook_circuits_by_ngspice() -> None:
    spice.require()
    circuits = [spice.Circuit(*circuit) for circuit, _ in TEXTBOOK.values()]
    expected = [ohm for _, ohm in TEXTBOOK.values()]
    assert spice.together(circuits) == pytest.approx(expected, rel=1e-9)
    assert spice.one_by_one(circuits[:4]) == pytest.approx(expected[:4], rel=1e-9)


VOLTS: dict[str, tuple[Circuit, float]] = {
    # 10 V over 1 Mohm + 1 Mohm, the lower one loaded by 10 Mohm: 10 * (10/11) / (1 + 10/11).
    "loaded divider": (
        (3, [(0, 1, 1e6, 10.0), (1, 2, 1e6, 0.0), (2, 0, 1e-3, 0.0)], 1, 0),
        100 / 21,
    ),
    # Millman: three sources of 1, 2, 3 V behind 1 ohm each meet at their mean.
    "three sources": ((2, [(0, 1, 1.0, v) for v in (1.0, 2.0, 3.0)], 1, 0), 2.0),
    "battery, leads exchanged": ((2, [(0, 1, 0.02, 12.5)], 0, 1), -12.5),
    "floating": ((3, [(0, 1, 1.0, 12.0)], 2, 0), 0.0),
}


@pytest.mark.parametrize("name", VOLTS)
def test_voltage_of_textbook_circuits(name: str) -> None:
    (nodes, branches, a, b), expected = VOLTS[name]
    near = pytest.approx(expected, rel=2e-7)  # the meter takes 1e-7 of what low resistances give
    assert dense.volt(nodes, branches, a, b) == near
    assert dense.Solved(nodes, branches).volt(a, b) == near
    assert float(exact.volt(nodes, branches, a, b)) == near


def test_voltage_of_textbook_circuits_by_ngspice() -> None:
    spice.require()
    circuits = [spice.Circuit(*circuit, quantity="volt") for circuit, _ in VOLTS.values()]
    expected = [volt for _, volt in VOLTS.values()]
    assert spice.together(circuits) == pytest.approx(expected, rel=2e-7)


@pytest.mark.parametrize("ohm", [0.0, -1.0, math.inf, math.nan])
def test_a_branch_needs_a_real_resistance(ohm: float) -> None:
    branches = [(0, 1, 1.0, 0.0), (0, 1, ohm, 0.0)]
    with pytest.raises(ValueError, match="give a resistance above 0"):
        dense.ohm(2, branches, 0, 1)
    with pytest.raises(ValueError, match="give a resistance above 0"):
        exact.ohm(2, branches, 0, 1)


# Whole looms


def random_faults(network: Network, rng: np.random.Generator, count: int) -> list[Fault]:
    """Faults of every kind but swaps, anywhere, sensible or not."""
    edges, nodes = len(network.edges), len(network.points)
    found: list[Fault] = []
    for _ in range(count):
        ohm = float(10 ** rng.uniform(-1, 5))
        a, b = (int(n) for n in rng.choice(nodes, 2, replace=False))
        edge = int(rng.integers(edges))
        choices: list[Fault] = [
            Series(edge), Series(edge, ohm), Shunt(a, b, ohm), Drift(edge, rng.uniform(0.3, 3.0)),
        ]  # fmt: skip
        found.append(choices[rng.integers(len(choices))])
    return found


def faulted_readings(wires: int, seed: int, count: int) -> list[spice.Circuit]:
    """Random readings of a random loom with up to four faults."""
    rng = np.random.default_rng([seed, wires])
    network = Network.of(looms.make_job(wires, seed))
    nodes = len(network.points)
    found: list[spice.Circuit] = []
    for n in range(count):
        volts = n % 2 == 1
        state = State.parse("key=on; engine_c=70" if volts else "throttle=open; engine_c=15")
        off = ["CU"] if rng.random() < 0.3 else []
        configuration = configure(network, state, off, assume=Assumptions.shipped())
        faults = random_faults(network, rng, n % 5)
        branches = edited(network, configuration, faults, dead=not volts)
        a, b = (int(k) for k in rng.choice(nodes, 2, replace=False))
        found.append(spice.Circuit(nodes, branches, a, b, "volt" if volts else "ohm"))
    return found


def exactly(circuit: spice.Circuit) -> float:
    solve = exact.volt if circuit.quantity == "volt" else exact.ohm
    return float(solve(circuit.nodes, circuit.branches, circuit.plus, circuit.minus))


@pytest.mark.parametrize("wires", [12, 60])
def test_dense_agrees_with_fifty_digits(wires: int) -> None:
    for circuit in faulted_readings(wires, seed=3, count=60):
        solve = dense.volt if circuit.quantity == "volt" else dense.ohm
        got = solve(circuit.nodes, circuit.branches, circuit.plus, circuit.minus)
        solved = dense.Solved(circuit.nodes, circuit.branches)
        again = (solved.volt if circuit.quantity == "volt" else solved.ohm)(
            circuit.plus, circuit.minus
        )
        expected = exactly(circuit)
        assert got == pytest.approx(expected, rel=1e-6, abs=1e-6)
        assert again == pytest.approx(expected, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("wires", [12, 60])
def test_ngspice_agrees_with_fifty_digits(wires: int) -> None:
    spice.require()
    circuits = faulted_readings(wires, seed=4, count=60)
    expected = [exactly(circuit) for circuit in circuits]
    assert any(map(math.isinf, expected))
    assert spice.together(circuits) == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_ngspice_altering_one_circuit_agrees_with_fifty_digits() -> None:
    spice.require()
    (first, *_) = faulted_readings(45, seed=5, count=1)
    nodes, branches = first.nodes, list(first.branches)
    part = dense.parts(nodes, branches)
    rng = np.random.default_rng(8)
    steps: list[spice.Step] = []
    expected: list[float] = []
    while len(steps) < 25:
        a, b = (int(n) for n in rng.choice(nodes, 2, replace=False))
        if part[a] != part[b]:
            continue
        changed = {int(n): float(10 ** rng.uniform(-1, 4)) for n in rng.choice(len(branches), 2)}
        steps.append(spice.Step(changed, a, b))
        edit = [(t, h, changed.get(n, ohm), 0.0) for n, (t, h, ohm, _) in enumerate(branches)]
        expected.append(float(exact.ohm(nodes, edit, a, b)))
    assert spice.Altered(nodes, branches).ohms(steps) == pytest.approx(expected, rel=1e-6)


# Faults


@pytest.fixture(scope="module")
def job() -> Job:
    return looms.make_job(45, 0)


@pytest.fixture(scope="module")
def network(job: Job) -> Network:
    return Network.of(job)


def test_an_open_leaves_the_list_and_the_rest_add_up(network: Network) -> None:
    at_rest = configure(network, State(), [], assume=Assumptions.shipped())
    sound = edited(network, at_rest)
    edge = network.edges[0]
    own = float(at_rest.ohm[0])
    assert len(edited(network, at_rest, [Series(0)])) == len(sound) - 1
    changed = edited(network, at_rest, [Series(0, 5.0), Drift(0, 2.0), Series(0, 1.0)])
    assert changed[0] == (edge.tail, edge.head, pytest.approx(2 * own + 6), 0.0)
    assert edited(network, at_rest, [Shunt(3, 4, 7.0)])[-1] == (3, 4, 7.0, 0.0)


def test_ohmmeter_lists_hold_no_source(network: Network) -> None:
    running = configure(network, State.parse("key=on"), [], assume=Assumptions.shipped())
    assert any(emf for *_, emf in edited(network, running))
    assert not any(emf for *_, emf in edited(network, running, dead=True))


def test_swapped_wires_are_the_job_written_down_that_way(job: Job, network: Network) -> None:
    assume = Assumptions.shipped()
    wired = [Point("CU", name) for name in job.plugs[0].face.cavities]
    one, other = [point for point in wired if point in network.topology.wires_at][:2]
    swap = Swap(network.node_of[one], network.node_of[other])
    moved = Network.of(swapped_job(job, one, other))
    got = edited(network, configure(network, State(), [], assume=assume), [swap])
    expected = edited(moved, configure(moved, State(), [], assume=assume))

    def by_point(net: Network, branches: list[Branch]) -> list[tuple[object, ...]]:
        return sorted((str(net.points[a]), str(net.points[b]), ohm) for a, b, ohm, _ in branches)

    assert by_point(network, got) == by_point(moved, expected)


# Looms


@pytest.mark.parametrize("wires", [12, 13, 29, *looms.SIZES[1:]])
def test_looms_have_the_wanted_size_and_no_errors(wires: int) -> None:
    made = looms.make_job(wires, 1)
    loom = Topology(made)
    assert len(made.wires) == wires
    assert [problem.sentence for problem in inconsistencies(made) if not problem.warning] == []
    assert all(loom.is_loom_side(p) for w in made.wires for p in (w.from_point, w.to_point))
    mates = [loom.across(Point(p.plug, c)) for p in made.plugs[1:] for c in p.face.cavities]
    assert None not in mates


def test_looms_repeat_with_their_seed_and_differ_without() -> None:
    assert looms.make_job(60, 5) == looms.make_job(60, 5)
    assert looms.make_job(60, 5) != looms.make_job(60, 6)
    with pytest.raises(ValueError, match="ask for 12 or more"):
        looms.make_job(11)


def test_larger_looms_have_every_kind_of_part() -> None:
    made = looms.make_job(250, 0)
    kinds = {element.kind for element in made.elements}
    assert kinds == {"resistor", "winding", "thermistor", "contact", "link", "input"}
    assert {joint.kind for joint in made.joints} >= {"splice", "earth", "battery_plus"}
    assert any(plug.plug.startswith("J") for plug in made.plugs)
    assert made.plugs[0].face == Face.parse(str(made.plugs[0].face))


# The bench


def test_without_scatter_the_bench_shows_the_dense_solution(job: Job, network: Network) -> None:
    draw = draw_faults(job, np.random.default_rng(1), Mix.only("high", "earth", parts=2))
    bench = Bench(job, draw.faults, 0, scatter=None)
    state = State.parse("throttle=open")
    configuration = configure(network, state, ["CU"], assume=Assumptions.shipped())
    branches = edited(network, configuration, draw.faults, dead=True)
    earth = network.node_of[Point("E1")]
    for cavity in job.plugs[0].face.cavities:
        node = network.node(Point("CU", cavity))
        shown = bench.take("ohm", f"CU.{cavity}", "E1", ["CU"], "throttle=open")
        alone = node is None
        expected = math.inf if alone else dense.ohm(len(network.points), branches, node, earth)
        assert shown == pytest.approx(expected, rel=1e-6)


def test_a_reading_with_scatter_stays_near_and_shows_whole_counts(job: Job) -> None:
    sensor = next(p for p in job.plugs if p.mates_with and p.mates_with.startswith("SENS"))
    points = f"{sensor.plug}.1", f"{sensor.plug}.2"
    calm = Bench(job, (), 0, scatter=None).take("ohm", *points, ["CU"], "engine_c=20; air_c=20")
    shown = [
        Bench(job, (), seed).take("ohm", *points, ["CU"], "engine_c=20; air_c=20")
        for seed in range(60)
    ]
    # Tolerance 5 % and up to about 4 K at 4 %/K, and the meter: wide, but bounded.
    assert all(0.75 * calm < value < 1.3 * calm for value in shown if math.isfinite(value))
    assert len(set(shown)) > 30
    assert all(value == pytest.approx(round(value), abs=1e-9) for value in shown if value > 400)


def test_the_bench_repeats_with_its_seed(job: Job) -> None:
    requests = [("ohm", "CU.1", "E1", ["CU"], ""), ("volt", "BPLUS", "BMINUS", [], "key=on")] * 3
    one, other = Bench(job, (), 4), Bench(job, (), 4)
    first = [one.take(*request) for request in requests]
    assert first == [other.take(*request) for request in requests]
    assert first[1] == pytest.approx(12.5, abs=0.6)


def test_over_range_comes_from_connection_and_bad_luck(job: Job, network: Network) -> None:
    always = Bench(job, (), 1, scatter=Scatter(false_over_range=1.0))
    assert always.take("ohm", "E1", "E2") == math.inf
    loom = Topology(job)
    cavities = [Point("CU", name) for name in job.plugs[0].face.cavities]
    empty = next(cavity for cavity in cavities if cavity not in loom.wires_at)
    assert Bench(job, (), 1).take("ohm", empty, "E1", ["CU"]) == math.inf
    (sensor, *_) = (n for n, e in enumerate(network.edges) if e.items[:1] == ("SENS1",))
    broken = Bench(job, [Series(sensor)], 1)
    assert broken.take("ohm", "SENS1.1", "SENS1.2", ["CU"]) == math.inf
    assert Bench(job, (), 1).take("volt", "BPLUS", "E1") == pytest.approx(12.5, abs=0.6)
    with pytest.raises(ValueError, match="switch the supply off first"):
        always.take("ohm", "E1", "E2", (), "key=on")


def test_draws_keep_the_mix_and_name_what_is_wrong(job: Job, network: Network) -> None:
    drawer, rng = Drawer(job), np.random.default_rng(2)
    draws = [drawer.draw(rng, Mix()) for _ in range(400)]
    share = [sum(len(draw.parts) == n for draw in draws) / 400 for n in (0, 1, 2)]
    # Three standard deviations of a share of 400.
    assert share == pytest.approx([0.03, 0.72, 0.25], abs=0.07)
    assert {part.kind for draw in draws for part in draw.parts} == set(KINDS)
    known = {str(point) for point in network.points} | {
        getattr(row, name)
        for table, name in (("plugs", "plug"), ("wires", "wire"), ("devices", "device"),
                            ("elements", "element"), ("joints", "joint"))
        for row in job.rows(table)
    }  # fmt: skip
    assert all(part.items and part.items <= known for draw in draws for part in draw.parts)
    assert all(part.kind != "swap" for draw in draws if len(draw.parts) == 2 for part in draw.parts)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_shows_across_itself(job: Job, network: Network, kind: str) -> None:
    part = Drawer(job).part(np.random.default_rng(3), {kind: 1.0})
    (fault,) = part.faults
    if isinstance(fault, Swap):
        ends = [Point("CU", c) for c in job.plugs[0].face.cavities]
        fixed = [Point("E1"), Point("BPLUS")]
        pairs = [(a, b) for n, a in enumerate(ends) for b in fixed + ends[:n]]
    elif isinstance(fault, Shunt):
        pairs = [(network.points[fault.a], network.points[fault.b])]
    else:
        edge = network.edges[fault.edge]
        pairs = [(network.points[edge.tail], network.points[edge.head])]
    states = [State.parse(text) for text in ("", "throttle=open", "engine_c=10")]
    requests = [
        Request("ohm", a, b, off, state)
        for a, b in pairs
        for off in (frozenset(), frozenset({"CU"}))
        for state in states
    ] + [Request("volt", a, b, frozenset(), State.parse("key=on")) for a, b in pairs]
    assert any(readings_seen(job, [fault], requests))
