"""Ohms between points of a loom: by the node-voltage method, and by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.build.links import Link, ohms_from, reached, shortest
from loomwright.loom import Point
from reference import dense

A, B, C, D = (Point("J", name) for name in "ABCD")


def test_two_in_parallel_then_one_in_series() -> None:
    """2 and 2 ohm in parallel are 1 ohm, and 3 ohm on top are 4."""
    links = [Link(A, B, 2.0, "W1"), Link(B, A, 2.0, "W2"), Link(B, C, 3.0, "W3")]
    assert ohms_from(links, A) == pytest.approx({A: 0.0, B: 1.0, C: 4.0})


def test_what_hangs_elsewhere_is_not_reached() -> None:
    links = [Link(A, B, 1.0, "W1"), Link(C, D, 1.0, "W2")]
    assert set(reached(links, A)) == {A, B}
    assert set(ohms_from(links, D)) == {C, D}
    assert ohms_from((), A) == {A: 0.0}


def test_the_way_with_the_fewest_wires_is_named_from_its_start() -> None:
    links = [Link(A, B, 1.0, "W1"), Link(C, B, 1.0, "W2"), Link(C, D, 1.0, "W3"),
             Link(D, A, 9.0, "W4")]  # fmt: skip
    assert shortest(links, A, C) == ("W1", "W2")
    assert shortest(links, A, D) == ("W4",)
    assert shortest(links, B, B) == ()


@given(
    st.lists(
        st.tuples(st.integers(0, 6), st.integers(0, 6), st.floats(1e-3, 10.0)),
        min_size=1, max_size=14,
    )
)  # fmt: skip
def test_ohms_are_those_of_the_node_voltage_method(rows: list[tuple[int, int, float]]) -> None:
    points = [Point("J", str(n)) for n in range(7)]
    rows = [row for row in rows if row[0] != row[1]] or [(0, 1, 1.0)]
    found = ohms_from([Link(points[a], points[b], ohm, "") for a, b, ohm in rows], points[0])
    branches = [(a, b, ohm, 0.0) for a, b, ohm in rows]
    part = dense.parts(7, branches)
    assert set(found) == {points[n] for n in range(7) if part[n] == part[0]}
    for node in range(1, 7):
        if points[node] in found:
            expected = dense.ohm(7, branches, 0, node)
            assert found[points[node]] == pytest.approx(expected, rel=1e-6)
