"""Where a fault or a probe pair acts on a network, and how such ports see each other.

A *series* port is an edge that gains resistance. A *shunt* port is a pair of nodes that a
resistance joins; a pair of probes is one too. Transfer resistances of shunt ports are exact even
when their nodes lie in separate islands: each carries a finite part and an integer `k` that
multiplies an infinite tie between islands. The ties never take a value; the readings take the
limit (see `reading`).
"""

from __future__ import annotations

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints, Solved


@attrs.frozen(eq=False)
class Ports:
    """A set of ports as arrays.

    Attributes
    ----------
    edge : edge of a series port, -1 for a shunt, shape (ports,)
    a, b : nodes of a shunt port, 0 for a series port, shape (ports,)
    """

    edge: Ints
    a: Ints
    b: Ints

    @classmethod
    def series(cls, edges: Ints) -> Ports:
        """Series ports on the given edges."""
        none = np.zeros(len(edges), np.int64)
        return cls(np.asarray(edges, np.int64), none, none)

    @classmethod
    def shunt(cls, a: Ints, b: Ints) -> Ports:
        """Shunt ports between the given nodes."""
        a = np.asarray(a, np.int64)
        return cls(np.full(len(a), -1), a, np.asarray(b, np.int64))

    def __len__(self) -> int:
        return len(self.edge)

    def __getitem__(self, which: Ints | slice) -> Ports:
        return Ports(self.edge[which], self.a[which], self.b[which])

    @property
    def is_series(self) -> NDArray[np.bool_]:
        """Which ports are series ports."""
        return self.edge >= 0


def share(solved: Solved, a: Ints, b: Ints, edge: Ints) -> Floats:
    """Current through an edge for one ampere in at a and out at b (arrays broadcast)."""
    current: Floats = solved.c(b, edge) - solved.c(a, edge)
    return current


def transfer(solved: Solved, one: tuple[Ints, Ints], two: tuple[Ints, Ints]) -> Floats:
    """Finite part of the transfer resistance between two node pairs [ohm]."""
    (a, b), (c, d) = one, two
    ohm: Floats = (solved.z(b, d) - solved.z(b, c)) - (solved.z(a, d) - solved.z(a, c))
    return ohm


def tie(solved: Solved, one: tuple[Ints, Ints], two: tuple[Ints, Ints]) -> Floats:
    """Integer part: how often the tie between islands is shared by two node pairs."""
    island = solved.island
    (a, b), (c, d) = (tuple(island[n] for n in pair) for pair in (one, two))
    shared: Floats = (
        (a == c).astype(np.float64)
        - (a == d).astype(np.float64)
        - (b == c).astype(np.float64)
        + (b == d).astype(np.float64)
    )
    return shared


@attrs.frozen(eq=False)
class Coupling:
    """How probe pairs and ports see each other in one configuration.

    For a series port `w` is the share of the test current in its edge, for a shunt port the
    transfer resistance [ohm].

    Attributes
    ----------
    w, kw : finite and integer part, shape (tests, ports)
    """

    w: Floats
    kw: Floats


def couple(solved: Solved, tests: Ports, ports: Ports) -> Coupling:
    """Every probe pair against every port, shape (tests, ports)."""
    a, b = tests.a[:, None], tests.b[:, None]
    w = np.zeros((len(tests), len(ports)))
    kw = np.zeros_like(w)
    series = np.flatnonzero(ports.is_series)
    shunt = np.flatnonzero(~ports.is_series)
    w[:, series] = share(solved, a, b, ports.edge[series][None, :])
    pair = (ports.a[shunt][None, :], ports.b[shunt][None, :])
    w[:, shunt] = transfer(solved, (a, b), pair)
    kw[:, shunt] = tie(solved, (a, b), pair)
    return Coupling(w, kw)


def mutual(solved: Solved, one: Ports, two: Ports) -> Coupling:
    """Ports against ports elementwise (arrays of equal length).

    Series with series gives K [S], series with shunt the current share, shunt with shunt the
    transfer resistance [ohm].
    """
    finite = np.zeros(len(one))
    ties = np.zeros(len(one))
    s1, s2 = one.is_series, two.is_series
    both = np.flatnonzero(s1 & s2)
    finite[both] = solved.k(one.edge[both], two.edge[both])
    mixed = np.flatnonzero(s1 & ~s2)
    finite[mixed] = share(solved, two.a[mixed], two.b[mixed], one.edge[mixed])
    mixed = np.flatnonzero(~s1 & s2)
    finite[mixed] = share(solved, one.a[mixed], one.b[mixed], two.edge[mixed])
    none = np.flatnonzero(~s1 & ~s2)
    pair1, pair2 = (one.a[none], one.b[none]), (two.a[none], two.b[none])
    finite[none] = transfer(solved, pair1, pair2)
    ties[none] = tie(solved, pair1, pair2)
    return Coupling(finite, ties)


def source(solved: Solved, ports: Ports) -> Floats:
    """What the supplies do at each port: edge current [A] of a series port, open-circuit voltage
    from a to b [V] of a shunt port, shape (ports,)."""
    volts = solved.potential[ports.a] - solved.potential[ports.b]
    amps = solved.loop_current[np.maximum(ports.edge, 0)]
    return np.where(ports.is_series, amps, volts)


@attrs.frozen(eq=False)
class PortValues:
    """What fault ports have of their own in one configuration, whatever the probes; (ports,).

    Attributes
    ----------
    own, k : loop conductance [S] of a series port; resistance [ohm] of a shunt and its integer part
    drive : what the supplies do at the port (see `source`) [A or V]
    series : whether it is a series port
    """

    own: Floats
    k: Floats
    drive: Floats
    series: NDArray[np.bool_]

    @classmethod
    def of(cls, solved: Solved, ports: Ports) -> PortValues:
        """The values of some ports."""
        own = mutual(solved, ports, ports)
        return cls(own.w, own.kw, source(solved, ports), ports.is_series)

    def __getitem__(self, which: Ints) -> PortValues:
        return PortValues(self.own[which], self.k[which], self.drive[which], self.series[which])
