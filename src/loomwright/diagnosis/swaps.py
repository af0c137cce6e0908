"""What is read with two wires in each other's cavity.

With the plug off it is the same loom with the two cavities' nodes exchanged. With it on, the
islands that the cavities and what they mate with belong to are solved anew. A swap that no probe
can reach moves nothing.
"""

from __future__ import annotations

from hashlib import blake2b
from weakref import WeakKeyDictionary

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit import Network, Ports, Solved, solve_arrays
from loomwright.circuit.configuration import Floats
from loomwright.circuit.reading import sound
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.faults import Fault
from loomwright.diagnosis.kept import Kept

NONE = -1
_MOST_NODES = 250  # islands that are too large to be solved anew for each swap
_MOST_TURNED = 4_000_000  # numbers of 8 bytes kept


@attrs.frozen(eq=False)
class SwapReadings:
    """Readings that swaps can move; arrays of one length.

    Attributes
    ----------
    row, test : which of the swaps and of the probe pairs
    ohm : resistance [ohm], infinite where nothing connects the probes
    volt : open-circuit voltage [V]
    """

    row: Ints
    test: Ints
    ohm: Floats
    volt: Floats


@attrs.frozen(eq=False)
class _Turned:
    """Some islands solved with two wires in each other's cavity.

    Attributes
    ----------
    place : place here of each node of the loom, shape (nodes,); those beyond share one
    ohm : resistance between any two places [ohm], shape (places, places)
    potential : minus the open-circuit voltage [V], shape (places,)
    """

    place: Ints
    ohm: Floats
    potential: Floats

    def read(self, a: Ints, b: Ints) -> tuple[Floats, Floats]:
        """Resistance [ohm] and voltage [V] between nodes."""
        one, other = self.place[a], self.place[b]
        ohm = self.ohm[one, other]
        apart = np.isinf(ohm)
        return ohm, np.where(apart, 0.0, self.potential[one] - self.potential[other])


@attrs.frozen(eq=False, slots=False)
class _Within:
    """The swaps in one solved configuration.

    Attributes
    ----------
    touched : islands the swaps' cavities and their mates belong to, shape (swaps, islands)
    unplugged : swaps whose plug is off, shape (swaps,)
    anew : swaps that can be solved anew with the plug on, shape (swaps,)
    keys : by swap, what its islands' solution depends on
    """

    touched: NDArray[np.bool_]
    unplugged: NDArray[np.bool_]
    anew: NDArray[np.bool_]
    keys: dict[int, bytes] = attrs.field(factory=dict)


class Swaps:
    """All swaps of a loom.

    Parameters
    ----------
    network, faults : the loom and what may be wrong with it
    """

    def __init__(self, network: Network, faults: tuple[Fault, ...]) -> None:
        pairs = [(n, fault.swap) for n, fault in enumerate(faults) if fault.swap is not None]
        self._number = np.full(len(faults), NONE)
        self._number[[n for n, _ in pairs]] = np.arange(len(pairs))
        self._owner = np.array([cavities[0].owner for _, cavities in pairs], dtype=object)
        node_of, across = network.node_of, network.topology.across
        self._cavities = np.zeros((len(pairs), 2), np.int64)
        ends = np.zeros((len(pairs), 4), np.int64)
        for row, (_, cavities) in enumerate(pairs):
            for side, cavity in enumerate(cavities):
                here, mate = node_of[cavity], across(cavity)
                self._cavities[row, side] = here
                ends[row, [side, 2 + side]] = (
                    here,
                    here if mate is None else node_of.get(mate, here),
                )
        self._ends = ends
        self._is_wire = np.array([edge.wire is not None for edge in network.edges], dtype=bool)
        self._within: WeakKeyDictionary[Solved, _Within] = WeakKeyDictionary()
        self._turned: Kept[bytes, _Turned] = Kept(_MOST_TURNED, lambda turned: turned.ohm.size)

    def read(self, faults: Ints, base: Solved, tests: Ports) -> SwapReadings:
        """Readings of probe pairs under each of some swaps, where it can move them.

        Parameters
        ----------
        faults : fault numbers of swaps, shape (rows,)
        base : the loom as it should be in the setting of the readings
        tests : probe pairs, as shunt ports
        """
        number, within = self._number[faults], self._in(base)
        off = within.unplugged[number]
        parts = [self._plug_off(base, number, np.flatnonzero(off), tests)]
        touched = within.touched[number]
        reached = touched[:, base.island[tests.a]] | touched[:, base.island[tests.b]]
        reached &= (within.anew[number] & ~off)[:, None]
        for row in np.flatnonzero(reached.any(axis=1)).tolist():
            test = np.flatnonzero(reached[row])
            turned = self._solution(base, within, int(number[row]))
            ohm, volt = turned.read(tests.a[test], tests.b[test])
            parts.append((np.full(len(test), row), test, ohm, volt))
        return SwapReadings(*(np.concatenate(column) for column in zip(*parts, strict=True)))

    def _plug_off(
        self, base: Solved, number: Ints, rows: Ints, tests: Ports
    ) -> tuple[Ints, Ints, Floats, Floats]:
        one, other = self._cavities[number[rows]].T[:, :, None]
        a, b = (
            np.where(nodes == one, other, np.where(nodes == other, one, nodes))
            for nodes in (tests.a[None, :], tests.b[None, :])
        )
        row, test = np.nonzero((a != tests.a) | (b != tests.b))
        return rows[row], test, *sound(base, Ports.shunt(a[row, test], b[row, test]))

    def _in(self, base: Solved) -> _Within:
        """What the swaps touch in a solution; forgotten with it."""
        found = self._within.get(base)
        if found is None:
            touched = np.zeros((len(self._ends), len(base.islands)), bool)
            np.put_along_axis(touched, base.island[self._ends], values=True, axis=1)
            nodes = touched @ np.bincount(base.island, minlength=len(base.islands))
            unplugged = base.configuration.unplugged
            off = np.array([owner in unplugged for owner in self._owner], dtype=bool)
            found = self._within[base] = _Within(touched, off, nodes <= _MOST_NODES)
        return found

    def _solution(self, base: Solved, within: _Within, number: int) -> _Turned:
        """The touched islands solved anew, once for all settings that agree on them."""
        touched = within.touched[number]
        key = within.keys.get(number)
        if key is None:
            key = within.keys[number] = self._key(base, touched, number)
        return self._turned.get(key, lambda: self._solve(base, touched, number))

    def _key(self, base: Solved, touched: NDArray[np.bool_], number: int) -> bytes:
        nodes, edges = _parts(base, touched)
        whole = base.configuration
        digest = blake2b(number.to_bytes(8, "little"), digest_size=16)
        for part in (nodes, edges, whole.ohm[edges], whole.emf[edges]):
            digest.update(part.tobytes())
        return digest.digest()

    def _solve(self, base: Solved, touched: NDArray[np.bool_], number: int) -> _Turned:
        nodes, edges = _parts(base, touched)
        count = len(nodes)
        # Probes beyond these islands share a node of their own, which nothing reaches.
        place = np.full(len(base.island), count)
        place[nodes] = np.arange(count)
        one, other = place[self._cavities[number]]
        ends = [place[base.tails[edges]], place[base.heads[edges]]]
        wire = self._is_wire[edges]
        tails, heads = (
            np.where(wire & (end == one), other, np.where(wire & (end == other), one, end))
            for end in ends
        )
        whole = base.configuration
        part = attrs.evolve(
            whole, ohm=whole.ohm[edges], emf=whole.emf[edges], present=whole.present[edges]
        )
        solved = solve_arrays(count + 1, tails, heads, part)
        all_places = np.arange(count + 1)
        z = solved.z(all_places[:, None], all_places[None, :])
        own = np.diagonal(z)
        ohm = np.maximum((own[None, :] - z.T) - (z - own[:, None]), 0.0)
        ohm[solved.island[:, None] != solved.island[None, :]] = np.inf
        return _Turned(place, ohm, solved.potential)


def _parts(base: Solved, touched: NDArray[np.bool_]) -> tuple[Ints, Ints]:
    """Nodes and edges of some islands."""
    with_absent = np.append(touched, False)
    return np.flatnonzero(touched[base.island]), np.flatnonzero(with_absent[base.edge_island])
