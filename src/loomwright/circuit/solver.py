"""Loop (cycle-space) solution of one configuration, exact for opens.

For each island (connected part) with edges e, resistances R = diag(r), a minimum-resistance
spanning tree, P[n] the tree path from the island's root to node n as ±1 on its edges, and B the
fundamental loops:

    S = (B R Bᵀ)⁻¹      K = Bᵀ S B      C = P - P R K      Z = P R Cᵀ

C[n] are the edge currents when one ampere goes from the root to n. A unit current from a to b
has edge currents c = C[b] - C[a]; the resistance between them is a sum of four entries of Z. An
edge that is in no loop has K = 0 and integer C *exactly*, so nothing artificial is needed to
represent an open wire: Strang, *Introduction to Applied Mathematics*, 1986, sect. 2.4, gives the
node and loop forms; the exactness for bridges is checked by the tests.
"""

from __future__ import annotations

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Configuration, Floats
from loomwright.circuit.network import Network

Ints = NDArray[np.int64]
NOWHERE = -1


@attrs.frozen(eq=False)
class Solved:
    """One configuration solved; blocks of all islands laid end to end in flat arrays.

    Attributes
    ----------
    tails, heads : nodes of each edge, shape (edges,)
    island : island of each node, shape (nodes,)
    edge_island : island of each edge, -1 when it carries nothing, shape (edges,)
    series_class : edges with the same number open each other's loops, -1 for bridges and absent
        edges, shape (edges,)
    loop_current : current through each edge from all sources [A], shape (edges,)
    potential : minus the open-circuit voltage of each node against its root [V], shape (nodes,)
    """

    configuration: Configuration
    tails: Ints
    heads: Ints
    island: Ints
    edge_island: Ints
    series_class: Ints
    loop_current: Floats
    potential: Floats
    _z: Floats
    _c: Floats
    _k: Floats
    _node_place: Ints
    _edge_place: Ints
    _loop_place: Ints
    _z_start: Ints
    _c_start: Ints
    _k_start: Ints
    _nodes_in: Ints
    _edges_in: Ints
    _loops_in: Ints

    @property
    def size(self) -> int:
        """How many numbers the solution holds."""
        return len(self._z) + len(self._c) + len(self._k)

    def with_series(self, edge: int, conductance: float) -> Solved:
        """Solved anew with more resistance in one edge: 1/conductance ohm, 0 takes it out."""
        ohm, present = self.configuration.ohm.copy(), self.configuration.present.copy()
        if conductance == 0.0:
            present[edge] = False
        else:
            ohm[edge] += 1.0 / conductance
        changed = attrs.evolve(self.configuration, ohm=ohm, present=present)
        return solve_arrays(len(self.island), self.tails, self.heads, changed)

    def z(self, u: Ints, v: Ints) -> Floats:
        """Transfer resistance Z of two nodes against their root [ohm]; 0 across islands."""
        island = self.island[u]
        place = self._node_place
        index = self._z_start[island] + place[u] * self._nodes_in[island] + place[v]
        same = island == self.island[v]
        found: Floats = np.where(same, self._z[np.where(same, index, 0)], 0.0)
        return found

    def c(self, node: Ints, edge: Ints) -> Floats:
        """Current through an edge for one ampere from the root to a node; 0 across islands."""
        island = self.island[node]
        same = island == self.edge_island[edge]
        index = self._c_start[island] + self._node_place[node] * self._edges_in[island]
        found: Floats = np.where(
            same, self._c[np.where(same, index + self._edge_place[edge], 0)], 0.0
        )
        return found

    def k(self, edge: Ints, other: Ints) -> Floats:
        """Loop conductance K between two edges [S]; 0 across islands and for bridges."""
        island = self.edge_island[edge]
        looped = (self._loop_place[edge] != NOWHERE) & (self._loop_place[other] != NOWHERE)
        same = (island == self.edge_island[other]) & looped
        index = self._k_start[island] + self._loop_place[edge] * self._loops_in[island]
        index = np.where(same, index + self._loop_place[other], 0)
        found: Floats = np.where(same, self._k[index], 0.0)
        return found


def solve(network: Network, configuration: Configuration) -> Solved:
    """Solve one configuration: spanning forest, loops, then the blocks of every island."""
    tails = np.array([edge.tail for edge in network.edges], dtype=np.int64)
    heads = np.array([edge.head for edge in network.edges], dtype=np.int64)
    return solve_arrays(len(network.points), tails, heads, configuration)


def solve_arrays(nodes: int, tails: Ints, heads: Ints, configuration: Configuration) -> Solved:
    """As `solve`, for a plain edge list; every node is in some island, alone if need be."""
    forest = _Forest(nodes, tails, heads, configuration)
    blocks = [
        _block(forest, members, configuration.ohm, configuration.emf) for members in forest.islands
    ]
    island, node_place = np.zeros(nodes, np.int64), np.zeros(nodes, np.int64)
    edge_island = np.full(len(tails), NOWHERE)
    edge_place = np.zeros(len(tails), np.int64)
    series_class = np.full(len(tails), NOWHERE)
    loop_place = np.full(len(tails), NOWHERE)
    loop_current, potential = np.zeros(len(tails)), np.zeros(nodes)
    for number, block in enumerate(blocks):
        island[block.nodes], node_place[block.nodes] = number, np.arange(len(block.nodes))
        edge_island[block.edges] = number
        edge_place[block.edges] = np.arange(len(block.edges))
        series_class[block.edges] = block.series_class
        looped = np.array(block.edges, dtype=np.int64)[block.series_class != NOWHERE]
        loop_place[looped] = np.arange(len(looped))
        loop_current[block.edges] = block.loop_current
        potential[block.nodes] = block.potential
    node_counts = np.array([len(block.nodes) for block in blocks], dtype=np.int64)
    edge_counts = np.array([len(block.edges) for block in blocks], dtype=np.int64)
    loop_counts = np.array([len(block.k) for block in blocks], dtype=np.int64)
    return Solved(
        configuration=configuration,
        tails=tails,
        heads=heads,
        island=island,
        edge_island=edge_island,
        series_class=series_class,
        loop_current=loop_current,
        potential=potential,
        z=_laid(block.z for block in blocks),
        c=_laid(block.c for block in blocks),
        k=_laid(block.k for block in blocks),
        node_place=node_place,
        edge_place=edge_place,
        loop_place=loop_place,
        z_start=_starts(node_counts * node_counts),
        c_start=_starts(node_counts * edge_counts),
        k_start=_starts(loop_counts * loop_counts),
        nodes_in=node_counts,
        edges_in=edge_counts,
        loops_in=loop_counts,
    )


@attrs.frozen(eq=False)
class _Island:
    """Nodes (root first), tree edges and chords of one connected part."""

    nodes: list[int]
    parent: dict[int, tuple[int, int]]  # node -> (parent node, tree edge)
    chords: list[int]


class _Forest:
    """Minimum-resistance spanning forest (Kruskal), walked from each island's first node.

    The tree of least resistance keeps B R Bᵀ well conditioned when milliohm wires and megohm
    inputs share a loop.
    """

    def __init__(self, nodes: int, tails: Ints, heads: Ints, configuration: Configuration) -> None:
        self.tails, self.heads = tails.tolist(), heads.tolist()
        present = np.flatnonzero(configuration.present)
        order = present[np.argsort(configuration.ohm[present], kind="stable")].tolist()
        up = list(range(nodes))
        neighbours: list[list[tuple[int, int]]] = [[] for _ in range(nodes)]
        chords: list[int] = []
        for edge in order:
            a, b = self.tails[edge], self.heads[edge]
            root_a, root_b = _root(up, a), _root(up, b)
            if root_a == root_b:
                chords.append(edge)
                continue
            up[root_a] = root_b
            neighbours[a].append((b, edge))
            neighbours[b].append((a, edge))
        self.islands = self._walk(nodes, neighbours)
        number = {node: i for i, island in enumerate(self.islands) for node in island.nodes}
        for edge in chords:
            self.islands[number[self.tails[edge]]].chords.append(edge)

    @staticmethod
    def _walk(nodes: int, neighbours: list[list[tuple[int, int]]]) -> list[_Island]:
        seen = [False] * nodes
        islands: list[_Island] = []
        # Rooted where most edges meet, few readings are small differences of large paths.
        for start in sorted(range(nodes), key=lambda node: -len(neighbours[node])):
            if seen[start]:
                continue
            seen[start] = True
            island = _Island([start], {}, [])
            for node in island.nodes:
                for other, edge in neighbours[node]:
                    if not seen[other]:
                        seen[other] = True
                        island.parent[other] = (node, edge)
                        island.nodes.append(other)
            islands.append(island)
        return islands


@attrs.frozen(eq=False)
class _Block:
    """One island solved: Z by nodes, C by nodes and edges, K by the edges that lie in loops."""

    nodes: list[int]
    edges: list[int]
    z: Floats
    c: Floats
    k: Floats
    series_class: Ints
    loop_current: Floats
    potential: Floats


def _block(forest: _Forest, island: _Island, ohm: Floats, emf: Floats) -> _Block:
    tree = [edge for _, edge in island.parent.values()]
    edges = tree + island.chords
    place = {node: i for i, node in enumerate(island.nodes)}
    path = np.zeros((len(island.nodes), len(edges)))
    for column, (node, (parent, edge)) in enumerate(island.parent.items()):
        row = path[place[node]]
        row[:] = path[place[parent]]
        row[column] = 1.0 if forest.tails[edge] == parent else -1.0
    r = ohm[edges]
    if not island.chords:
        z = (path * r) @ path.T
        quiet = np.zeros(len(edges))
        none = np.full(len(edges), NOWHERE)
        potential = path @ emf[edges]
        return _Block(island.nodes, edges, z, path, np.zeros((0, 0)), none, quiet, potential)
    loops = np.zeros((len(island.chords), len(edges)))
    for row_number, edge in enumerate(island.chords):
        tail, head = place[forest.tails[edge]], place[forest.heads[edge]]
        loops[row_number] = path[tail] - path[head]
        loops[row_number, len(tree) + row_number] = 1.0
    inner = np.linalg.inv((loops * r) @ loops.T)
    inner_loops = ((inner + inner.T) / 2) @ loops
    k = loops.T @ inner_loops
    c = path - ((path * r) @ loops.T) @ inner_loops
    z = (path * r) @ c.T
    classes = _series_classes(loops, edges)
    looped = np.flatnonzero(classes != NOWHERE)
    return _Block(
        nodes=island.nodes,
        edges=edges,
        z=(z + z.T) / 2,
        c=c,
        k=k[np.ix_(looped, looped)],
        series_class=classes,
        loop_current=k @ emf[edges],
        potential=c @ emf[edges],
    )


def _series_classes(loops: Floats, edges: list[int]) -> Ints:
    """Number the edges that lie in exactly the same loops; the number is their first edge.

    Two such edges are a cut pair: opening one makes the other a bridge. They are found from the
    integer loop matrix, never from small numbers.
    """
    signs = loops.astype(np.int8)
    found: dict[bytes, int] = {}
    classes = np.full(len(edges), NOWHERE)
    for place, edge in enumerate(edges):
        column = signs[:, place]
        used = np.flatnonzero(column)
        if len(used):
            classes[place] = found.setdefault((column * column[used[0]]).tobytes(), edge)
    return classes


def _root(up: list[int], node: int) -> int:
    while up[node] != node:
        up[node] = up[up[node]]
        node = up[node]
    return node


def _laid(blocks: object) -> Floats:
    flat = [block.ravel() for block in blocks]  # type: ignore[attr-defined]
    return np.concatenate([*flat, np.zeros(1)])


def _starts(sizes: Ints) -> Ints:
    return np.concatenate([np.zeros(1, np.int64), np.cumsum(sizes)[:-1]])
