"""Loop (cycle-space) solution of one configuration, exact for opens.

Each island (connected part, see `islands`) has the tables

    C[n]  edge currents when one ampere goes from the island's root to node n
    Z     transfer resistance of two nodes against the root
    K     loop conductance between two edges

A unit current from a to b has edge currents c = C[b] - C[a]; the resistance between them is a sum
of four entries of Z. An edge that is in no loop has K = 0 and integer C *exactly*, so nothing
artificial is needed to represent an open wire: Strang, *Introduction to Applied Mathematics*,
1986, sect. 2.4, gives the node and loop forms; the exactness for bridges is checked by the tests.

Here the tables of all islands are laid end to end when first asked for and looked up together;
those of a large island are never written out (see `wide`).
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property, partial
from typing import TypeVar

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Configuration, Floats
from loomwright.circuit.islands import NOWHERE, Island, forest_of
from loomwright.circuit.islands import Ints as Ints
from loomwright.circuit.network import Network
from loomwright.circuit.wide import Wide, is_table

MOST_NODES = 300
"""Nodes of an island up to which its tables are written out whole."""
_NOWHERE_ELSE = -2

Value = TypeVar("Value", np.bool_, np.int64, np.float64)


@attrs.frozen(eq=False)
class _End:
    """One side of a table: island and place in it of each node or edge asked for."""

    island: Ints
    place: Ints


@attrs.frozen(eq=False)
class _Laid:
    """The same table of every island, end to end; a large island's has no entries.

    Attributes
    ----------
    entries : the tables, and a 0 at the end
    start, width : first entry and row length of each island's, shape (islands,)
    """

    entries: Floats
    start: Ints
    width: Ints

    @classmethod
    def of(cls, tables: list[Floats]) -> _Laid:
        sizes = np.array([table.size for table in tables], dtype=np.int64)
        return cls(
            entries=np.concatenate([*(table.ravel() for table in tables), np.zeros(1)]),
            start=np.cumsum(sizes) - sizes,
            width=np.array([table.shape[1] for table in tables], dtype=np.int64),
        )


@attrs.frozen(eq=False, slots=False)
class Solved:
    """One configuration solved.

    Attributes
    ----------
    configuration : what was solved
    tails, heads : nodes of each edge, shape (edges,)
    islands : the connected parts
    island : island of each node, shape (nodes,)
    edge_island : island of each edge, -1 when it carries nothing, shape (edges,)
    """

    configuration: Configuration
    tails: Ints
    heads: Ints
    islands: list[Island]
    island: Ints
    edge_island: Ints
    _node_place: Ints
    _edge_place: Ints

    @cached_property
    def size(self) -> int:
        """How many numbers the solution holds once all its tables have been asked for."""
        total = 0
        for island in self.islands:
            nodes, edges, loops = len(island.nodes), len(island.edges), len(island.ends)
            if nodes > MOST_NODES:  # P and B are signs of one byte
                total += (2 * nodes + 2 * edges + loops) * loops + (nodes + loops) * edges // 8
            else:
                total += nodes * (nodes + edges) + (edges * edges if loops else 0)
        return total

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
        return self._entries(self._z, (self._node(u), self._node(v)), Wide.z)

    def c(self, node: Ints, edge: Ints) -> Floats:
        """Current through an edge for one ampere from the root to a node; 0 across islands."""
        end = _End(self.edge_island[edge], self._edge_place[edge])
        return self._entries(self._c, (self._node(node), end), Wide.c)

    def k(self, edge: Ints, other: Ints) -> Floats:
        """Loop conductance K between two edges [S]; 0 across islands and for bridges."""
        islands, places = self._loop_ends
        one, two = islands[edge], islands[other]
        ends = (
            _End(one, places[edge]),
            _End(np.where(two == NOWHERE, _NOWHERE_ELSE, two), places[other]),
        )
        return self._entries(self._k, ends, Wide.k)

    @cached_property
    def series_class(self) -> Ints:
        """Edges with the same number open each other's loops, -1 for bridges and absent edges,
        shape (edges,)."""
        return self._by_edge([island.series_class for island in self.islands], NOWHERE)

    @cached_property
    def loop_current(self) -> Floats:
        """Current through each edge from all sources [A], shape (edges,)."""
        return self._by_edge([part.loop_current for part in self._parts], 0.0)

    @cached_property
    def potential(self) -> Floats:
        """Minus the open-circuit voltage of each node against its root [V], shape (nodes,)."""
        found = np.zeros(len(self.island))
        for island, part in zip(self.islands, self._parts, strict=True):
            found[island.nodes] = part.potential
        return found

    @cached_property
    def _wide(self) -> dict[int, Wide]:
        """The large islands by number."""
        return {n: Wide(i) for n, i in enumerate(self.islands) if len(i.nodes) > MOST_NODES}

    @cached_property
    def _is_wide(self) -> NDArray[np.bool_]:
        return np.array([number in self._wide for number in range(len(self.islands))], dtype=bool)

    @property
    def _parts(self) -> list[Island | Wide]:
        return [self._wide.get(number, island) for number, island in enumerate(self.islands)]

    @cached_property
    def _z(self) -> _Laid:
        return self._laid(lambda island: island.z)

    @cached_property
    def _c(self) -> _Laid:
        return self._laid(lambda island: island.c)

    @cached_property
    def _k(self) -> _Laid:
        return self._laid(lambda island: island.k[np.ix_(island.looped, island.looped)])

    def _laid(self, table: Callable[[Island], Floats]) -> _Laid:
        none = np.zeros((0, 0))
        return _Laid.of(
            [none if n in self._wide else table(island) for n, island in enumerate(self.islands)]
        )

    @cached_property
    def _loop_ends(self) -> tuple[Ints, Ints]:
        """Island of each edge in a loop, -1 for others, and its place in the island's K."""
        looped = self._by_edge([island.looped for island in self.islands], False)
        places = self._by_edge([np.cumsum(island.looped) - 1 for island in self.islands], 0)
        large = self._is_wide[self.edge_island]
        places = np.where(large, self._edge_place, places)
        return np.where(looped, self.edge_island, NOWHERE), places

    def _by_edge(self, parts: list[NDArray[Value]], absent: float) -> NDArray[Value]:
        found = np.full(len(self.tails), absent, dtype=parts[0].dtype)
        for island, part in zip(self.islands, parts, strict=True):
            found[island.edges] = part
        return found

    def _node(self, node: Ints) -> _End:
        return _End(self.island[node], self._node_place[node])

    def _entries(
        self, laid: _Laid, ends: tuple[_End, _End], large: Callable[[Wide, Ints, Ints], Floats]
    ) -> Floats:
        """Entries of one table; those of large islands by `large`."""
        one, other = ends
        same = one.island == other.island
        if self._wide:
            same &= ~self._is_wide[one.island]
        index = laid.start[one.island] + one.place * laid.width[one.island] + other.place
        found: Floats = np.where(same, laid.entries[np.where(same, index, 0)], 0.0)
        for number, wide in self._wide.items():
            _fill(found, ends, number, partial(large, wide))
        return found


def solve(network: Network, configuration: Configuration) -> Solved:
    """Solve one configuration: spanning forest, loops, then the tables of every island."""
    tails = np.array([edge.tail for edge in network.edges], dtype=np.int64)
    heads = np.array([edge.head for edge in network.edges], dtype=np.int64)
    return solve_arrays(len(network.points), tails, heads, configuration)


def solve_arrays(nodes: int, tails: Ints, heads: Ints, configuration: Configuration) -> Solved:
    """As `solve`, for a plain edge list; every node is in some island, alone if need be."""
    trees = forest_of(nodes, tails, heads, configuration)
    islands = [Island.of(tree, tails, heads, configuration) for tree in trees]
    island, node_place = np.zeros(nodes, np.int64), np.zeros(nodes, np.int64)
    edge_island = np.full(len(tails), NOWHERE)
    edge_place = np.zeros(len(tails), np.int64)
    for number, each in enumerate(islands):
        island[each.nodes], node_place[each.nodes] = number, np.arange(len(each.nodes))
        edge_island[each.edges] = number
        edge_place[each.edges] = np.arange(len(each.edges))
    return Solved(
        configuration=configuration,
        tails=tails,
        heads=heads,
        islands=islands,
        island=island,
        edge_island=edge_island,
        node_place=node_place,
        edge_place=edge_place,
    )


def _fill(
    found: Floats, ends: tuple[_End, _End], number: int, entries: Callable[[Ints, Ints], Floats]
) -> None:
    """Put in the entries both of whose ends lie in one island; a table is asked for as one."""
    one, other = ends
    here, there = one.island == number, other.island == number
    if is_table(here, there):
        rows, columns = np.flatnonzero(here), np.flatnonzero(there)
        if len(rows) and len(columns):
            part = entries(one.place[rows], other.place[:, columns])
            found[np.ix_(rows, columns)] = part
        return
    both = here & there
    if both.any():
        i, j = (np.broadcast_to(end.place, both.shape)[both] for end in ends)
        found[both] = entries(i, j)
