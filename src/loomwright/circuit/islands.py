"""Connected parts of a configuration: spanning tree, loops, and the tables read from them.

For an island with edges e, resistances R = diag(r), a minimum-resistance spanning tree, P[n] the
tree path from the island's root to node n as ±1 on its edges, and B the fundamental loops:

    S = (B R Bᵀ)⁻¹      K = Bᵀ S B      C = P - P R K      Z = P R Cᵀ

Source: Strang, *Introduction to Applied Mathematics*, 1986, sect. 2.4. Every table but Z
is kept once it was asked for: who wants only the loops does not pay for C.
"""

from __future__ import annotations

from functools import cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Configuration, Floats

Ints = NDArray[np.int64]
Signs = NDArray[np.int8]
NOWHERE = -1


@attrs.frozen(eq=False)
class Tree:
    """Nodes (root first), tree edges and chords of one connected part."""

    nodes: list[int]
    parent: dict[int, tuple[int, int]]  # node -> (parent node, tree edge)
    chords: list[int]

    @property
    def edges(self) -> list[int]:
        """Tree edges, one for each node but the root in their order, then the chords."""
        return [edge for _, edge in self.parent.values()] + self.chords


def forest_of(nodes: int, tails: Ints, heads: Ints, configuration: Configuration) -> list[Tree]:
    """Minimum-resistance spanning forest (Kruskal), every node in some tree, alone if need be.

    The tree of least resistance keeps B R Bᵀ well conditioned when milliohm wires and megohm
    inputs share a loop.
    """
    tail_of, head_of = tails.tolist(), heads.tolist()
    present = np.flatnonzero(configuration.present)
    order = present[np.argsort(configuration.ohm[present], kind="stable")].tolist()
    up = list(range(nodes))
    neighbours: list[list[tuple[int, int]]] = [[] for _ in range(nodes)]
    chords: list[int] = []
    for edge in order:
        a, b = tail_of[edge], head_of[edge]
        root_a, root_b = _root(up, a), _root(up, b)
        if root_a == root_b:
            chords.append(edge)
            continue
        up[root_a] = root_b
        neighbours[a].append((b, edge))
        neighbours[b].append((a, edge))
    trees = _walk(nodes, neighbours)
    number = {node: i for i, tree in enumerate(trees) for node in tree.nodes}
    for edge in chords:
        trees[number[tail_of[edge]]].chords.append(edge)
    return trees


def _walk(nodes: int, neighbours: list[list[tuple[int, int]]]) -> list[Tree]:
    seen = [False] * nodes
    trees: list[Tree] = []
    # Rooted where most edges meet, few readings are small differences of large paths.
    for start in sorted(range(nodes), key=lambda node: -len(neighbours[node])):
        if seen[start]:
            continue
        seen[start] = True
        tree = Tree([start], {}, [])
        for node in tree.nodes:
            for other, edge in neighbours[node]:
                if not seen[other]:
                    seen[other] = True
                    tree.parent[other] = (node, edge)
                    tree.nodes.append(other)
        trees.append(tree)
    return trees


def _root(up: list[int], node: int) -> int:
    while up[node] != node:
        up[node] = up[up[node]]
        node = up[node]
    return node


@attrs.frozen(eq=False, slots=False)
class Island:
    """One island with its loops; Z, C and K as whole tables.

    Attributes
    ----------
    tree : its nodes and edges
    edges : tree edges, then chords, shape (edges,)
    up : place of the parent of each node but the root, shape (nodes - 1,)
    sign : +1 where a tree edge runs away from the root, shape (nodes - 1,)
    ends : places of tail and head of each chord, shape (chords, 2)
    ohm, emf : of its edges [ohm], [V], shape (edges,)
    """

    tree: Tree
    edges: Ints
    up: Ints
    sign: Signs
    ends: Ints
    ohm: Floats
    emf: Floats

    @classmethod
    def of(cls, tree: Tree, tails: Ints, heads: Ints, configuration: Configuration) -> Island:
        """The island of a tree in the network it was found in."""
        edges = np.array(tree.edges, dtype=np.int64)
        place = {node: i for i, node in enumerate(tree.nodes)}
        parents = [parent for parent, _ in tree.parent.values()]
        away = tails[edges[: len(parents)]] == np.array(parents, dtype=np.int64)
        ends = [(place[int(tails[edge])], place[int(heads[edge])]) for edge in tree.chords]
        return cls(
            tree=tree,
            edges=edges,
            up=np.array([place[parent] for parent in parents], dtype=np.int64),
            sign=np.where(away, 1, -1).astype(np.int8),
            ends=np.array(ends, dtype=np.int64).reshape(-1, 2),
            ohm=configuration.ohm[edges],
            emf=configuration.emf[edges],
        )

    @property
    def nodes(self) -> list[int]:
        return self.tree.nodes

    @property
    def bare(self) -> bool:
        """Whether it has no loops."""
        return not self.tree.chords

    @cached_property
    def path(self) -> Signs:
        """P: the tree path from the root to each node, shape (nodes, edges)."""
        path = np.zeros((len(self.nodes), len(self.edges)), np.int8)
        for column, (up, sign) in enumerate(zip(self.up.tolist(), self.sign.tolist(), strict=True)):
            row = path[column + 1]
            row[:] = path[up]
            row[column] = sign
        return path

    @cached_property
    def loops(self) -> Signs:
        """B: the loop that each chord closes, shape (chords, edges)."""
        path, chords = self.path, len(self.ends)
        loops = path[self.ends[:, 0]] - path[self.ends[:, 1]]
        loops[np.arange(chords), len(self.edges) - chords + np.arange(chords)] = 1
        return loops

    @cached_property
    def looped(self) -> NDArray[np.bool_]:
        """Whether each edge lies in a loop, shape (edges,)."""
        return np.asarray(self.loops.any(axis=0), dtype=np.bool_)

    @cached_property
    def series_class(self) -> Ints:
        """Number of each edge's class of edges in exactly the same loops: its first edge.

        Two such edges are a cut pair: opening one makes the other a bridge. They are found from
        the integer loop matrix, never from small numbers. Bridges have -1. Shape (edges,).
        """
        columns = np.ascontiguousarray(self.loops.T)
        found: dict[bytes, int] = {}
        classes = np.full(len(self.edges), NOWHERE)
        for place in np.flatnonzero(self.looped).tolist():
            column = columns[place]
            first = column[np.argmax(column != 0)]
            classes[place] = found.setdefault((column * first).tobytes(), int(self.edges[place]))
        return classes

    @cached_property
    def inner(self) -> Floats:
        """S: what each loop's voltage drives around each loop [S], shape (chords, chords)."""
        loops = self.loops.astype(np.float64)
        inner = np.linalg.inv((loops * self.ohm) @ loops.T)
        even: Floats = (inner + inner.T) / 2
        return even

    @cached_property
    def c(self) -> Floats:
        """C: edge currents for one ampere from the root to a node, shape (nodes, edges)."""
        path = self.path.astype(np.float64)
        if self.bare:
            return path
        loops = self.loops.astype(np.float64)
        return path - ((path * self.ohm) @ loops.T) @ (self.inner @ loops)

    @property
    def z(self) -> Floats:
        """Z: transfer resistance of node pairs against the root [ohm], shape (nodes, nodes).

        Not kept, for `solver` has it in a table of its own.
        """
        path = self.path.astype(np.float64)
        z = (path * self.ohm) @ self.c.T
        return z if self.bare else (z + z.T) / 2

    @cached_property
    def k(self) -> Floats:
        """K: loop conductance between all edges [S], shape (edges, edges)."""
        loops = self.loops.astype(np.float64)
        return loops.T @ (self.inner @ loops)

    @property
    def loop_current(self) -> Floats:
        """Current through each edge from all sources [A], shape (edges,)."""
        if self.bare or not self.emf.any():
            return np.zeros(len(self.edges))
        current: Floats = self.k @ self.emf
        return current

    @property
    def potential(self) -> Floats:
        """Minus the open-circuit voltage of each node against the root [V], shape (nodes,)."""
        if not self.emf.any():
            return np.zeros(len(self.nodes))
        volts: Floats = self.c @ self.emf
        return volts
