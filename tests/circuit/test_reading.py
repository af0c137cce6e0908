"""The closed forms against exact rational arithmetic, degenerate small networks included."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.circuit import NO_FAULT, Bench, Configuration, Ports, Scenarios, solve_arrays
from loomwright.loom import State

OHMS = (1, 2, 5, 1000, Fraction(1, 100), 50000)
Edges = list[tuple[int, int, Fraction, Fraction]]


def exact_resistance(edges: Edges, a: int, b: int) -> Fraction | None:
    """Node equations in fractions over the part that holds a; None when b is not in it."""
    solved = exact_potentials(edges, a, b, Fraction(1), sources=False)
    return None if solved is None else solved[a] - solved[b]


def exact_voltage(edges: Edges, a: int, b: int) -> Fraction:
    """Open-circuit voltage of a against b, 0 where nothing connects them."""
    solved = exact_potentials(edges, a, b, Fraction(0), sources=True)
    return Fraction(0) if solved is None else solved[a] - solved[b]


def exact_potentials(
    edges: Edges, a: int, b: int, amps: Fraction, *, sources: bool
) -> dict[int, Fraction] | None:
    part, growing = {a}, True
    while growing:
        growing = False
        for u, v, _, _ in edges:
            if (u in part) != (v in part):
                part |= {u, v}
                growing = True
    if b not in part:
        return None
    unknowns = sorted(part - {b})
    place = {node: i for i, node in enumerate(unknowns)}
    size = len(unknowns)
    rows = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for u, v, ohm, emf in edges:
        if u not in part:
            continue
        g = 1 / ohm
        drive = g * emf if sources else Fraction(0)  # current tail -> head is g (Vu - Vv + emf)
        for one, other, sign in ((u, v, 1), (v, u, -1)):
            if one in place:
                row = rows[place[one]]
                row[place[one]] += g
                if other in place:
                    row[place[other]] -= g
                row[size] -= sign * drive
    if a in place:
        rows[place[a]][size] += amps
    for i in range(size):
        pivot = next(r for r in range(i, size) if rows[r][i])
        rows[i], rows[pivot] = rows[pivot], rows[i]
        for r in range(size):
            if r != i and rows[r][i]:
                ratio = rows[r][i] / rows[i][i]
                rows[r] = [x - ratio * y for x, y in zip(rows[r], rows[i], strict=True)]
    found = {node: rows[i][size] / rows[i][i] for node, i in place.items()}
    return {**found, b: Fraction(0)}


@st.composite
def cases(draw: st.DrawFn) -> dict[str, object]:
    nodes = draw(st.integers(2, 7))
    node = st.integers(0, nodes - 1)
    pairs = st.tuples(node, node).filter(lambda pair: pair[0] != pair[1])
    ends = draw(st.lists(pairs, min_size=1, max_size=10))
    ohms = draw(st.lists(st.sampled_from(OHMS), min_size=len(ends), max_size=len(ends)))
    emfs = draw(st.lists(st.sampled_from((0, 0, 0, 12)), min_size=len(ends), max_size=len(ends)))
    fault = st.one_of(
        st.tuples(
            st.just("series"),
            st.integers(0, len(ends) - 1),
            st.sampled_from((0, Fraction(1, 3), Fraction(1, 20000))),
        ),
        st.tuples(st.just("shunt"), pairs, st.sampled_from((Fraction(1, 10), 30, 100000))),
    )
    faults = draw(st.lists(fault, min_size=0, max_size=2))
    series_edges = [f[1] for f in faults if f[0] == "series"]
    if len(series_edges) != len(set(series_edges)):
        faults = faults[:1]
    return {
        "nodes": nodes,
        "ends": ends,
        "ohms": ohms,
        "emfs": emfs,
        "faults": faults,
        "test": draw(pairs),
    }


def ours(case: dict) -> tuple[float, float]:
    ends = np.array(case["ends"])
    count = len(ends)
    configuration = Configuration(
        state=State(),
        unplugged=frozenset(),
        ohm=np.array([float(ohm) for ohm in case["ohms"]]),
        emf=np.array([float(emf) for emf in case["emfs"]]),
        present=np.ones(count, bool),
        spread=np.zeros(count),
        per_kelvin=np.zeros(count),
        temperature=("",) * count,
        temperatures={},
    )
    solved = solve_arrays(case["nodes"], ends[:, 0], ends[:, 1], configuration)
    faults = sorted(case["faults"], key=lambda fault: fault[0] != "series")
    edge = [f[1] if f[0] == "series" else -1 for f in faults]
    a = [0 if f[0] == "series" else f[1][0] for f in faults]
    b = [0 if f[0] == "series" else f[1][1] for f in faults]
    ports = Ports(*(np.array(column, dtype=np.int64) for column in (edge, a, b)))
    size = [float(f[2]) for f in faults] + [0.0, 0.0]
    number = [0 if faults else NO_FAULT, 1 if len(faults) == 2 else NO_FAULT]
    scenario = Scenarios(
        np.array([number[0]]), np.array([size[0]]), np.array([number[1]]), np.array([size[1]])
    )
    test = Ports.shunt(np.array([case["test"][0]]), np.array([case["test"][1]]))
    out = Bench.of(solved, test, ports).read(np.array([0]), scenario)
    return float(out.ohm[0]), float(out.volt[0])


def edited(case: dict) -> Edges:
    edges = [
        (u, v, Fraction(ohm), Fraction(emf))
        for (u, v), ohm, emf in zip(case["ends"], case["ohms"], case["emfs"], strict=True)
    ]
    gone = set()
    for kind, where, size in case["faults"]:
        if kind == "shunt":
            edges.append((*where, Fraction(size), Fraction(0)))
        elif size == 0:
            gone.add(where)
        else:
            u, v, ohm, emf = edges[where]
            edges[where] = (u, v, ohm + 1 / Fraction(size), emf)
    return [edge for number, edge in enumerate(edges) if number not in gone]


@settings(max_examples=600, deadline=None)
@given(cases())
def test_any_two_faults_read_as_in_exact_arithmetic(case: dict) -> None:
    ohm, volt = ours(case)
    edges = edited(case)
    truth = exact_resistance(edges, *case["test"])
    if truth is None:
        assert np.isinf(ohm)
        assert volt == 0.0
    else:
        assert ohm == pytest.approx(float(truth), rel=1e-10, abs=1e-6)
        expected = float(exact_voltage(edges, *case["test"]))
        assert volt == pytest.approx(expected, rel=1e-9, abs=1e-6)
