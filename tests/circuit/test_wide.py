"""Entries of large islands against the node form of the same network and against whole tables.

Node form: with the root's row and column left out, Z is the inverse of the conductance matrix
(Strang, Introduction to Applied Mathematics, 1986, sect. 2.4).
"""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.circuit import Solved, solver
from loomwright.circuit.wide import Wide
from sample.nets import Net


def ladder(seed: int, nodes: int = 40, chords: int = 9) -> Net:
    """One island: a random tree, and chords between random nodes; two sources."""
    rng = np.random.default_rng(seed)
    ends = [(int(rng.integers(0, node)), node) for node in range(1, nodes)]
    ends += [tuple(rng.choice(nodes, 2, replace=False).tolist()) for _ in range(chords)]
    emf = {3: 12.0, len(ends) - 1: 5.0}
    return Net(
        nodes,
        tuple(
            (a, b, float(rng.uniform(0.1, 50)), emf.get(n, 0.0)) for n, (a, b) in enumerate(ends)
        ),
    )


def node_form(net: Net, root: int) -> np.ndarray:
    """Z of all node pairs against a root [ohm]."""
    conductance = np.zeros((net.nodes, net.nodes))
    for a, b, ohm, _ in net.branches:
        conductance[[a, b], [a, b]] += 1 / ohm
        conductance[[a, b], [b, a]] -= 1 / ohm
    rest = np.delete(np.arange(net.nodes), root)
    z = np.zeros_like(conductance)
    z[np.ix_(rest, rest)] = np.linalg.inv(conductance[np.ix_(rest, rest)])
    return z


def solved_wide(net: Net, monkeypatch: pytest.MonkeyPatch) -> Solved:
    """The net solved as if every island were large."""
    monkeypatch.setattr(solver, "MOST_NODES", 0)
    return net.solved()


@pytest.mark.parametrize("chords", [0, 9])
@pytest.mark.parametrize("seed", range(3))
def test_z_is_that_of_the_node_form(
    seed: int, chords: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    net = ladder(seed, chords=chords)
    solved, nodes = solved_wide(net, monkeypatch), np.arange(net.nodes)
    wanted = node_form(net, solved.islands[0].nodes[0])
    table = solved.z(nodes[:, None], nodes[None, :])
    assert table == pytest.approx(wanted, rel=1e-9, abs=1e-9)
    turned = np.roll(nodes, 7)
    assert solved.z(nodes, turned) == pytest.approx(wanted[nodes, turned], rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("chords", [0, 9])
@pytest.mark.parametrize("seed", range(3))
def test_every_entry_is_that_of_the_whole_tables(
    seed: int, chords: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    net = ladder(seed, chords=chords)
    whole = net.solved()
    nodes, edges = np.arange(net.nodes), np.arange(len(net.branches))
    c, k = whole.c(nodes[:, None], edges[None, :]), whole.k(edges[:, None], edges[None, :])
    wide = solved_wide(net, monkeypatch)
    assert wide.c(nodes[:, None], edges[None, :]) == pytest.approx(c, abs=1e-12)
    assert wide.k(edges[:, None], edges[None, :]) == pytest.approx(k, abs=1e-12)
    assert wide.k(edges, edges) == pytest.approx(np.diagonal(k), abs=1e-12)
    assert wide.loop_current == pytest.approx(whole.loop_current, abs=1e-12)
    assert wide.potential == pytest.approx(whole.potential, abs=1e-10)


def test_a_bridge_carries_whole_amperes_exactly(monkeypatch: pytest.MonkeyPatch) -> None:
    net = ladder(5, chords=4)
    solved, edges = solved_wide(net, monkeypatch), np.arange(len(net.branches))
    bridges = edges[solved.series_class == -1]
    assert len(bridges)
    c = solved.c(np.arange(net.nodes)[:, None], bridges[None, :])
    assert set(np.unique(c)) <= {-1.0, 0.0, 1.0}
    assert not solved.k(bridges, bridges).any()


def test_a_row_asked_for_many_times_is_the_same_row() -> None:
    island = ladder(1).solved().islands[0]
    nodes, edges = np.arange(40) % 3, np.arange(len(island.edges))
    entries = Wide(island).c(nodes[:, None], edges[None, :])
    assert entries == pytest.approx(island.c[nodes], abs=1e-12)
