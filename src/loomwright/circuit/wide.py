"""An island too large for whole tables: single entries of Z, C and K from its tree and loops.

A loom's metal is nearly a tree. With Q = P R Bᵀ (nodes x loops) the tables split into a part of
the tree and one of the loops,

    Z = P R Pᵀ - Q S Qᵀ      C = P - Q S B      K = Bᵀ S B

P R Pᵀ of two nodes is the resistance from the root to where their paths part, P of a node and an
edge says whether the node lies beyond the edge. So storage grows as nodes x loops.

Source of the meeting point: Bender and Farach-Colton, LATIN 2000, LNCS 1776, 88-94 (range minima
over a walk of the tree, in a table of powers of two).
"""

from __future__ import annotations

from functools import cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.circuit.islands import Ints, Island

_AT_ONCE = 250_000  # numbers of a factor gathered at a time
_FEW = 16  # rows that are not worth a search for repeats


@attrs.frozen(eq=False, slots=False)
class Wide:
    """Entries of Z, C and K of one island for places of nodes and edges in it; arrays broadcast.

    Parameters
    ----------
    island : the island; of its whole tables only P and B are made
    """

    island: Island

    def z(self, u: Ints, v: Ints) -> Floats:
        """Transfer resistance of two nodes against the root [ohm]."""
        ohm = self._root_ohm[self._meeting(u, v)]
        return ohm if self.island.bare else ohm - _dots(self._answer, u, self._drop, v)

    def c(self, node: Ints, edge: Ints) -> Floats:
        """Current through an edge for one ampere from the root to a node."""
        path: Floats = self.island.path[node, edge].astype(np.float64)
        return path if self.island.bare else path - _dots(self._answer, node, self._columns, edge)

    def k(self, edge: Ints, other: Ints) -> Floats:
        """Loop conductance between two edges [S]."""
        return _dots(self._driven, edge, self._columns, other)

    @cached_property
    def loop_current(self) -> Floats:
        """Current through each edge from all sources [A], shape (edges,)."""
        island = self.island
        if island.bare:
            return np.zeros(len(island.edges))
        return self._driven @ (self._columns.T @ island.emf)

    @cached_property
    def potential(self) -> Floats:
        """Minus the open-circuit voltage of each node against the root [V], shape (nodes,)."""
        island = self.island
        live = np.flatnonzero(island.emf)
        volts: Floats = island.path[:, live] @ island.emf[live]
        if island.bare:
            return volts
        return volts - self._answer @ (self._columns[live].T @ island.emf[live])

    @cached_property
    def _columns(self) -> Floats:
        """Bᵀ, shape (edges, loops)."""
        return np.ascontiguousarray(self.island.loops.T, dtype=np.float64)

    @cached_property
    def _drop(self) -> Floats:
        """Q: what one ampere down a node's path drops around each loop [ohm], (nodes, loops)."""
        island = self.island
        return island.path.astype(np.float64) @ (self._columns * island.ohm[:, None])

    @cached_property
    def _answer(self) -> Floats:
        """Q S: the current it drives around each loop, shape (nodes, loops)."""
        return self._drop @ self.island.inner

    @cached_property
    def _driven(self) -> Floats:
        """Bᵀ S: what one volt in an edge drives around each loop [S], shape (edges, loops)."""
        return self._columns @ self.island.inner

    @cached_property
    def _order(self) -> Ints:
        """When a walk into the depths first comes to each node, shape (nodes,)."""
        up = self.island.up.tolist()
        size = [1] * (len(up) + 1)
        for child in range(len(up), 0, -1):
            size[up[child - 1]] += size[child]
        order, next_free = [0] * len(size), [1] * len(size)
        for child, parent in enumerate(up, start=1):
            order[child] = next_free[parent]
            next_free[parent] += size[child]
            next_free[child] = order[child] + 1
        return np.array(order, dtype=np.int64)

    @cached_property
    def _root_ohm(self) -> Floats:
        """Resistance of the tree from the root to each node, in the walk's order [ohm]."""
        ohm = np.zeros(len(self.island.nodes))
        for child, parent in enumerate(self.island.up.tolist(), start=1):
            ohm[child] = ohm[parent] + self.island.ohm[child - 1]
        found = np.empty_like(ohm)
        found[self._order] = ohm
        return found

    @cached_property
    def _earliest(self) -> NDArray[np.int64]:
        """Row j: the least parent of 2^j nodes in the walk's order, shape (powers, nodes)."""
        count = len(self.island.nodes)
        parent = np.zeros(count, np.int64)
        parent[self._order[1:]] = self._order[self.island.up]
        rows, step = [parent], 1
        while 2 * step <= count:
            last = rows[-1]
            rows.append(last.copy())
            rows[-1][:-step] = np.minimum(last[:-step], last[step:])
            step *= 2
        return np.array(rows)

    def _meeting(self, u: Ints, v: Ints) -> Ints:
        """Where in the walk's order the node lies at which two paths from the root part."""
        one, other = self._order[u], self._order[v]
        low, high = np.minimum(one, other), np.maximum(one, other)
        # Of all nodes met after the first up to the second, one is a child of that node.
        power = self._power[high - low]
        flat, count = self._earliest.ravel(), len(self.island.nodes)
        start = power * count
        met = np.minimum(
            flat[start + np.minimum(low + 1, count - 1)], flat[start + high + 1 - (1 << power)]
        )
        found: Ints = np.where(low == high, low, met)
        return found

    @cached_property
    def _power(self) -> Ints:
        """Largest power of two that fits into a length, shape (nodes,)."""
        lengths = np.maximum(np.arange(len(self.island.nodes)), 1)
        found: Ints = np.frexp(lengths)[1].astype(np.int64) - 1
        return found


def is_table(i: np.ndarray, j: np.ndarray) -> bool:
    """Whether a column and a row are broadcast against each other."""
    return i.ndim == j.ndim == 2 and i.shape[1] == 1 and j.shape[0] == 1


def _dots(left: Floats, i: Ints, right: Floats, j: Ints) -> Floats:
    """Products left[i] · right[j] of rows; i and j broadcast."""
    if is_table(i, j):
        return _table(left, i[:, 0], right, j[0])
    one, other = np.broadcast_arrays(i, j)
    found = np.empty(one.shape)
    flat, one, other = found.reshape(-1), one.ravel(), other.ravel()
    step = max(1, _AT_ONCE // max(1, left.shape[1]))
    for start in range(0, len(flat), step):
        part = slice(start, start + step)
        flat[part] = np.einsum("nl,nl->n", left[one[part]], right[other[part]])
    return found


def _table(left: Floats, i: Ints, right: Floats, j: Ints) -> Floats:
    """Every left[i] with every right[j], shape (i, j); a row that repeats is multiplied once."""
    if len(i) <= _FEW:
        return left[i] @ right[j].T
    rows, back = np.unique(i, return_inverse=True)
    table: Floats = (left[rows] @ right[j].T)[back]
    return table
