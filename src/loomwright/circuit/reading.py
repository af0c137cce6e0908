"""What a meter reads with none, one or two faults, in closed form and without artificial ties.

With the base currents of `solver`, a fault of series conductance g = 1/ρ (0 for an open) in edge
e, or a shunt of ρ ohm across a node pair, changes every reading by a rank-one step:

    series   R' = R + c²/(g + K)         shunt   R' = R - w²/(ρ + R_f)

c is the share of the test current in the edge, w the transfer resistance to the shunt. Two faults
are two such steps, the second with quantities the first has already changed (a Cholesky sweep,
so no 2 x 2 determinant cancels). Where a step meets an open bridge or joins two islands, Thomson's
principle (currents take the least heat among those the islands allow) gives the limit exactly: the
shunt current is then fixed by integers, and an over-range reading is one those integers forbid.
Every reading is monotone in each magnitude.

Source of the rank-one form: Sherman and Morrison, Ann. Math. Stat. 21 (1950) 124; of Thomson's
principle: Doyle and Snell, *Random Walks and Electric Networks*, 1984, sect. 3.5.
"""

from __future__ import annotations

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.circuit.ports import Ports, couple, mutual, source
from loomwright.circuit.solver import Ints, Solved

NO_FAULT = -1
_FIELDS = ("ohm", "volt", "x1", "x2", "y1", "y2")
_CANCELS = 1e-4
_FORBIDDEN = 0.25  # integers below: 0 is allowed, 1 and up is not


@attrs.frozen(eq=False)
class Outcome:
    """Readings with their faults in place; arrays of one shape.

    Attributes
    ----------
    ohm : resistance between the probes [ohm], infinite where nothing connects them
    volt : open-circuit voltage plus against minus [V], 0 where the probes float
    x1, x2 : how strongly each fault port answers the test current (see `sensitivity`)
    y1, y2 : how strongly it answers the supplies [A or V] (see `supply_current`)
    """

    ohm: Floats
    volt: Floats
    x1: Floats
    x2: Floats
    y1: Floats
    y2: Floats


@attrs.frozen(eq=False)
class Scenarios:
    """Fault sets of at most two as arrays of one shape.

    Attributes
    ----------
    port1, port2 : port numbers, -1 for none; where one is a series port it comes first
    size1, size2 : 1/ohm of a series fault (0 is an open), ohm of a shunt
    """

    port1: Ints
    size1: Floats
    port2: Ints
    size2: Floats

    def __len__(self) -> int:
        return len(self.port1)

    def __getitem__(self, which: Ints | slice | NDArray[np.bool_]) -> Scenarios:
        return Scenarios(self.port1[which], self.size1[which], self.port2[which], self.size2[which])


@attrs.frozen(eq=False)
class _Probe:
    """A probe pair: resistance, its forbidden part, open-circuit voltage."""

    r: Floats
    k: Floats
    v: Floats


@attrs.frozen(eq=False)
class _Seen:
    """A fault port as the probe sees it: coupling, own value, drive by the supplies, size."""

    w: Floats
    kw: Floats
    own: Floats
    k: Floats
    drive: Floats
    size: Floats


@attrs.frozen(eq=False)
class Bench:
    """Probe pairs and fault ports of one solved configuration, ready to be combined.

    Attributes
    ----------
    solved : the configuration
    tests : probe pairs (shunt ports: red on a, black on b)
    ports : fault ports
    """

    solved: Solved
    tests: Ports
    ports: Ports
    _r: Floats
    _k: Floats
    _v: Floats
    _w: Floats
    _kw: Floats
    _own: Floats
    _own_k: Floats
    _drive: Floats
    _series: NDArray[np.bool_]

    @classmethod
    def of(cls, solved: Solved, tests: Ports, ports: Ports) -> Bench:
        """Couple probe pairs and ports once; any number of scenarios can then be read."""
        base, own, seen = (
            mutual(solved, tests, tests),
            mutual(solved, ports, ports),
            couple(solved, tests, ports),
        )
        return cls(
            solved, tests, ports, base.w, base.kw, source(solved, tests), seen.w, seen.kw,
            own.w, own.kw, source(solved, ports), ports.is_series,
        )  # fmt: skip

    def touched(self) -> NDArray[np.bool_]:
        """Which ports can change which tests on their own, shape (tests, ports)."""
        seen: NDArray[np.bool_] = (np.abs(self._w) > 1e-12) | (self._kw != 0)
        return seen

    def affected(self) -> NDArray[np.bool_]:
        """Which ports, each alone, change which readings, shape (tests, ports)."""
        joined = self._k[:, None] > _FORBIDDEN
        bridging = self._own_k[None, :] > _FORBIDDEN
        closes = self._k[:, None] * self._own_k[None, :] - self._kw**2 < _FORBIDDEN
        inside = ~joined & (np.abs(self._w) > 1e-12) & ~(bridging & ~self._series[None, :])
        return inside | (joined & bridging & closes)

    def base(self) -> Outcome:
        """The readings with nothing wrong, shape (tests,)."""
        quiet = np.zeros(len(self.tests))
        return _finish(_Probe(self._r, self._k, self._v), (quiet, quiet), (quiet, quiet))

    def read(self, tests: Ints, scenarios: Scenarios) -> Outcome:
        """Readings of tests under scenarios; the shapes of both broadcast.

        Parameters
        ----------
        tests : test numbers, such as shape (T, 1)
        scenarios : fault sets, such as shape (S,)
        """
        shape = np.broadcast_shapes(np.shape(tests), np.shape(scenarios.port1))
        out = Outcome(*(np.zeros(shape) for _ in _FIELDS))
        kind = self._kinds(scenarios)
        for code in np.unique(kind):
            chosen = kind == code
            if np.ndim(tests) == 2 and np.ndim(scenarios.port1) == 1:
                part = self._read(tests, scenarios[chosen], int(code))
                for name in _FIELDS:
                    getattr(out, name)[:, chosen] = getattr(part, name)
            else:
                every = np.broadcast_to(chosen, shape)
                flat = Scenarios(
                    *(np.broadcast_to(column, shape)[every] for column in attrs.astuple(scenarios))
                )
                part = self._read(np.broadcast_to(tests, shape)[every], flat, int(code))
                for name in _FIELDS:
                    getattr(out, name)[every] = getattr(part, name)
        return out

    def sensitivity(
        self, tests: Ints, scenarios: Scenarios, outcome: Outcome, edges: Ints
    ) -> Floats:
        """Share of the test current in given edges with the faults in place.

        The derivative of a resistance reading by an edge's own resistance is the square of it
        (Tellegen). Shapes broadcast.
        """
        solved = self.solved
        c = solved.c(self.tests.b[tests], edges) - solved.c(self.tests.a[tests], edges)
        for port, x in ((scenarios.port1, outcome.x1), (scenarios.port2, outcome.x2)):
            c = c + x * self._edge_answer(port, edges)
        return c

    def supply_current(self, scenarios: Scenarios, outcome: Outcome, edges: Ints) -> Floats:
        """Current that the supplies drive through given edges with the faults in place [A].

        The derivative of an open-circuit voltage by an edge's resistance is the product of this
        and its `sensitivity` (Tellegen). Shapes broadcast.
        """
        current = self.solved.loop_current[edges]
        for port, y in ((scenarios.port1, outcome.y1), (scenarios.port2, outcome.y2)):
            current = current + y * self._edge_answer(port, edges)
        return current

    def _edge_answer(self, port: Ints, edges: Ints) -> Floats:
        if not len(self.ports):
            return np.zeros(np.broadcast_shapes(np.shape(port), np.shape(edges)))
        there = np.maximum(port, 0)
        solved, ports = self.solved, self.ports
        by_shunt = solved.c(ports.b[there], edges) - solved.c(ports.a[there], edges)
        by_series = -solved.k(np.maximum(ports.edge[there], 0), edges)
        answer = np.where(self._series[there], by_series, by_shunt)
        return np.where(port == NO_FAULT, 0.0, answer)

    def _kinds(self, scenarios: Scenarios) -> Ints:
        """0 none, 1 series, 2 shunt, 3 series+series, 4 series+shunt, 5 shunt+shunt."""
        one, two = scenarios.port1, scenarios.port2
        s1 = self._series[np.maximum(one, 0)] if len(self._series) else np.zeros(one.shape, bool)
        s2 = self._series[np.maximum(two, 0)] if len(self._series) else s1
        single = np.where(s1, 1, 2)
        double = np.where(s1 & s2, 3, np.where(s1 | s2, 4, 5))
        return np.where(one == NO_FAULT, 0, np.where(two == NO_FAULT, single, double))

    def _read(self, tests: Ints, scenarios: Scenarios, code: int) -> Outcome:
        probe = _Probe(self._r[tests], self._k[tests], self._v[tests])
        if code == 0:
            quiet = np.zeros(np.broadcast_shapes(np.shape(tests), scenarios.port1.shape))
            return _finish(probe, (quiet, quiet), (quiet, quiet))
        one = self._seen(tests, scenarios.port1, scenarios.size1)
        if code == 1:
            gain, probe = _through_series(probe, one)
            x, none = gain * one.w, np.zeros_like(gain * one.w)
            return _finish(probe, (x, none), (gain * one.drive, none))
        if code == 2:
            probe, x, y = _through_shunt(probe, one)
            return _finish(probe, (x, np.zeros_like(x)), (y, np.zeros_like(x)))
        two = self._seen(tests, scenarios.port2, scenarios.size2)
        between = mutual(self.solved, self.ports[scenarios.port1], self.ports[scenarios.port2])
        if code == 5:
            return _two_shunts(probe, one, two, between.w, between.kw)
        if code == 3:
            classes = self.solved.series_class
            class1 = classes[self.ports.edge[scenarios.port1]]
            cut = (class1 >= 0) & (class1 == classes[self.ports.edge[scenarios.port2]])
            outcome, doubtful = _two_series(probe, one, two, between.w, cut)
            if doubtful.any():
                self._solve_again(tests, scenarios, outcome, doubtful)
            return outcome
        return _series_and_shunt(probe, one, two, between.w)

    def _solve_again(
        self, tests: Ints, scenarios: Scenarios, outcome: Outcome, doubtful: NDArray[np.bool_]
    ) -> None:
        """Put right the readings where the second step would cancel, with the first fault built in.

        Two edges whose only other way round is a megohm leave too few digits; they are rare.
        """
        shape = outcome.ohm.shape
        columns = (np.broadcast_to(part, shape)[doubtful] for part in attrs.astuple(scenarios))
        flat = Scenarios(*columns)
        test = np.broadcast_to(tests, shape)[doubtful]
        ohm, volt = np.empty(len(flat)), np.empty(len(flat))
        for port, size in set(zip(flat.port1.tolist(), flat.size1.tolist(), strict=True)):
            rows = np.flatnonzero((flat.port1 == port) & (flat.size1 == size))
            solved = self.solved.with_series(int(self.ports.edge[port]), size)
            bench = Bench.of(solved, self.tests, self.ports)
            none = np.full(len(rows), NO_FAULT)
            second = Scenarios(flat.port2[rows], flat.size2[rows], none, flat.size2[rows])
            part = bench.read(test[rows], second)
            ohm[rows], volt[rows] = part.ohm, part.volt
        outcome.ohm[doubtful], outcome.volt[doubtful] = ohm, volt

    def _seen(self, tests: Ints, port: Ints, size: Floats) -> _Seen:
        return _Seen(
            self._w[tests, port], self._kw[tests, port], self._own[port], self._own_k[port],
            self._drive[port], size,
        )  # fmt: skip


def _finish(probe: _Probe, x: tuple[Floats, Floats], y: tuple[Floats, Floats]) -> Outcome:
    forbidden = probe.k > _FORBIDDEN
    shape = np.broadcast_shapes(np.shape(probe.r), np.shape(x[0]))
    ohm = np.where(forbidden, np.inf, np.maximum(probe.r, 0.0))
    volt = np.where(forbidden, 0.0, probe.v)
    return Outcome(*(np.broadcast_to(part, shape).copy() for part in (ohm, volt, *x, *y)))


def _gain(fault: _Seen) -> tuple[Floats, Floats]:
    """1/(g + K), and 1 where the fault severs a bridge (gain 0 there)."""
    severed = (fault.own == 0.0) & (fault.size == 0.0)
    gain = np.where(severed, 0.0, 1.0 / np.where(severed, 1.0, fault.own + fault.size))
    return gain, severed.astype(np.float64)


def _through_series(probe: _Probe, fault: _Seen) -> tuple[Floats, _Probe]:
    gain, severed = _gain(fault)
    return gain, _Probe(
        probe.r + fault.w**2 * gain,
        probe.k + fault.w**2 * severed,
        probe.v + fault.drive * fault.w * gain,
    )


def _through_shunt(probe: _Probe, fault: _Seen) -> tuple[_Probe, Floats, Floats]:
    tied = fault.k > _FORBIDDEN
    own = fault.own + fault.size
    x = -np.where(tied, fault.kw, fault.w) / np.where(tied, fault.k, own)
    after = _Probe(
        probe.r + x * (2.0 * fault.w + x * own),
        probe.k + x * fault.kw,
        probe.v + x * fault.drive,
    )
    return after, x, np.where(tied, 0.0, -fault.drive / np.where(tied, 1.0, own))


def _two_series(
    probe: _Probe, one: _Seen, two: _Seen, m: Floats, cut: NDArray[np.bool_]
) -> tuple[Outcome, NDArray[np.bool_]]:
    """The readings, and where too many digits cancelled for them to be kept."""
    gain, after = _through_series(probe, one)
    w = two.w - m * one.w * gain
    own = two.own - m**2 * gain
    drive = two.drive - m * one.drive * gain
    # Opening one edge of a cut pair makes a bridge of the other: exactly, not nearly.
    bridge = cut & (one.size == 0.0)
    second = attrs.evolve(
        two,
        w=np.where(bridge, np.round(w), w),
        own=np.where(bridge, 0.0, own),
        drive=np.where(bridge, 0.0, drive),
    )
    gain2, final = _through_series(after, second)
    x2, y2 = gain2 * second.w, gain2 * second.drive
    x1, y1 = gain * (one.w - m * x2), gain * (one.drive - m * y2)
    outcome = _finish(final, (x1, x2), (y1, y2))
    lost = np.abs(second.own + second.size) < _CANCELS * two.own
    doubtful = lost & ~bridge & (two.own > 0.0)
    return outcome, np.broadcast_to(doubtful, outcome.ohm.shape)


def _series_and_shunt(probe: _Probe, one: _Seen, two: _Seen, m: Floats) -> Outcome:
    gain, severed = _gain(one)
    _, after = _through_series(probe, one)
    second = _Seen(
        two.w + one.w * m * gain,
        two.kw + one.w * m * severed,
        two.own + m**2 * gain,
        two.k + m**2 * severed,
        two.drive + one.drive * m * gain,
        two.size,
    )
    final, x2, y2 = _through_shunt(after, second)
    x1, y1 = gain * (one.w + x2 * m), gain * (one.drive + y2 * m)
    return _finish(final, (x1, x2), (y1, y2))


def _two_shunts(probe: _Probe, one: _Seen, two: _Seen, m: Floats, km: Floats) -> Outcome:
    """Least heat over the two shunt currents, under what the islands allow.

    With k the integer tie matrix: rank 0 leaves both free, rank 1 one of them, rank 2 none.
    """
    d1, d2 = one.own + one.size, two.own + two.size
    # Free (rank 0): a Cholesky sweep.
    ratio = m / d1
    f2, s2 = (
        -(b - ratio * a) / (d2 - ratio * m) for a, b in ((one.w, two.w), (one.drive, two.drive))
    )
    f1, s1 = -(one.w + m * f2) / d1, -(one.drive + m * s2) / d1
    # Rank 1: a particular current along v, the rest free along u, at right angles.
    first = one.k > _FORBIDDEN
    v1, v2 = np.where(first, one.k, 0.0), np.where(first, km, 1.0)
    norm = v1**2 + v2**2
    along = -(v1 * one.kw + v2 * two.kw) / (np.maximum(one.k + two.k, 1.0) * norm)
    p1, p2 = along * v1, along * v2
    u1, u2 = -v2, v1
    slope = u1 * (one.w + d1 * p1 + m * p2) + u2 * (two.w + m * p1 + d2 * p2)
    stiff = u1**2 * d1 + 2.0 * u1 * u2 * m + u2**2 * d2
    free, driven = -slope / stiff, -(u1 * one.drive + u2 * two.drive) / stiff
    # Rank 2: the islands fix both.
    det = one.k * two.k - km**2
    safe = np.where(det > _FORBIDDEN, det, 1.0)
    q1 = -(two.k * one.kw - km * two.kw) / safe
    q2 = -(one.k * two.kw - km * one.kw) / safe
    rank = np.where(det > _FORBIDDEN, 2, np.where(one.k + two.k > _FORBIDDEN, 1, 0))
    x1 = np.choose(rank, [f1, p1 + free * u1, q1])
    x2 = np.choose(rank, [f2, p2 + free * u2, q2])
    y1 = np.choose(rank, [s1, driven * u1, 0.0 * s1])
    y2 = np.choose(rank, [s2, driven * u2, 0.0 * s2])
    heat = x1 * (2.0 * one.w + x1 * d1) + x2 * (2.0 * two.w + x2 * d2) + 2.0 * m * x1 * x2
    after = _Probe(
        probe.r + heat,
        probe.k + x1 * one.kw + x2 * two.kw,
        probe.v + x1 * one.drive + x2 * two.drive,
    )
    return _finish(after, (x1, x2), (y1, y2))
