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

from math import prod

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit import steps
from loomwright.circuit.configuration import Floats
from loomwright.circuit.ports import Ports, PortValues, couple, mutual, share, source, tie, transfer
from loomwright.circuit.solver import Ints, Solved
from loomwright.circuit.steps import FORBIDDEN
from loomwright.circuit.steps import Outcome as Outcome
from loomwright.circuit.wide import is_table

NO_FAULT = -1
_BY_TEST = ("ohm", "volt", "x1", "x2")
_FIELDS = (*_BY_TEST, "y1", "y2")
_KINDS = ("none", "series", "shunt", "series + series", "series + shunt", "shunt + shunt")
_AT_ONCE = 16_384  # readings of one step: its tables should stay in the cache
_NO_TIES = np.zeros(1)


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

    def flat(self, shape: tuple[int, ...]) -> Scenarios:
        """Broadcast to a shape and laid out in one row."""
        if len(shape) == 1 and shape == self.port1.shape == self.port2.shape:
            return self

        def row(column: np.ndarray) -> np.ndarray:
            return np.broadcast_to(column, shape).reshape(-1)

        return Scenarios(row(self.port1), row(self.size1), row(self.port2), row(self.size2))


@attrs.frozen(eq=False)
class _Rows:
    """Which probe pairs are read under each scenario: all of some, or one each.

    Attributes
    ----------
    table : whether every test is read under every scenario, shape (tests, scenarios)
    tests : test numbers, shape (tests,), or (scenarios,) where one each
    w, kw : couplings of these tests (all tests where one each) with the ports
    """

    table: bool
    tests: Ints
    w: Floats
    kw: Floats

    def some(self, which: Ints | slice) -> _Rows:
        """For some of the scenarios."""
        return self if self.table else attrs.evolve(self, tests=self.tests[which])

    def own(self, values: Floats) -> Floats:
        """What each test has of its own, to broadcast against scenarios."""
        return values[self.tests][:, None] if self.table else values[self.tests]

    def coupled(self, port: Ints) -> tuple[Floats, Floats]:
        """What the tests see of ports; a single 0 for a `kw` without ties."""
        if self.table:
            w = self.w.take(port, axis=1)
            return w, self.kw.take(port, axis=1) if self.kw.size else _NO_TIES
        return self.w[self.tests, port], (self.kw[self.tests, port] if self.kw.size else _NO_TIES)


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
    _own: PortValues

    @classmethod
    def of(
        cls, solved: Solved, tests: Ports, ports: Ports, *, own: PortValues | None = None
    ) -> Bench:
        """Couple probe pairs and ports once; any number of scenarios can then be read.

        Parameters
        ----------
        own : the ports' own values where they are known already
        """
        base, seen = mutual(solved, tests, tests), couple(solved, tests, ports)
        if own is None:
            own = PortValues.of(solved, ports)
        return cls(
            solved, tests, ports, base.w, base.kw, source(solved, tests), seen.w, seen.kw, own
        )

    def touched(self) -> NDArray[np.bool_]:
        """Which ports can change which tests on their own, shape (tests, ports)."""
        seen: NDArray[np.bool_] = (np.abs(self._w) > 1e-12) | (self._kw != 0)
        return seen

    def affected(self) -> NDArray[np.bool_]:
        """Which ports, each alone, change which readings, shape (tests, ports)."""
        joined = self._k[:, None] > FORBIDDEN
        bridging = self._own.k[None, :] > FORBIDDEN
        closes = self._k[:, None] * self._own.k[None, :] - self._kw**2 < FORBIDDEN
        inside = ~joined & (np.abs(self._w) > 1e-12) & ~(bridging & ~self._own.series[None, :])
        return inside | (joined & bridging & closes)

    def base(self) -> Outcome:
        """The readings with nothing wrong, shape (tests,)."""
        found = steps.none(steps.Pair(self._r, self._k, self._v))
        return Outcome(*(_in_shape(getattr(found, name), self._r.shape) for name in _FIELDS))

    def read(self, tests: Ints, scenarios: Scenarios) -> Outcome:
        """Readings of tests under scenarios; the shapes of both broadcast.

        Parameters
        ----------
        tests : test numbers, such as shape (T, 1)
        scenarios : fault sets, such as shape (S,)
        """
        return Outcome(*self._columns(tests, scenarios, _FIELDS))

    def values(self, tests: Ints, scenarios: Scenarios) -> tuple[Floats, Floats]:
        """Only resistances [ohm] and voltages [V] of `read`, which is quicker."""
        ohm, volt = self._columns(tests, scenarios, _FIELDS[:2])
        return ohm, volt

    def _columns(self, tests: Ints, scenarios: Scenarios, fields: tuple[str, ...]) -> list[Floats]:
        """Some fields of the outcome, in the shape of tests and scenarios together."""
        shape = np.broadcast_shapes(np.shape(tests), np.shape(scenarios.port1))
        if np.ndim(tests) == 2 and np.shape(tests)[1] == 1 and np.ndim(scenarios.port1) == 1:
            rows = self._rows(tests[:, 0], table=True)
        else:
            scenarios = scenarios.flat(shape)
            alone = len(self.tests) == 1
            which = np.zeros(1, np.int64) if alone else np.broadcast_to(tests, shape).reshape(-1)
            rows = self._rows(which, table=alone)
        return [_in_shape(c, shape) for c in self._read_sorted(rows, scenarios, fields)]

    def _rows(self, tests: Ints, *, table: bool) -> _Rows:
        whole = not table or np.array_equal(tests, np.arange(len(self.tests)))
        w, kw = (self._w, self._kw) if whole else (self._w[tests], self._kw[tests])
        return _Rows(table, tests, w, kw if kw.any() else kw[:0])

    def _read_sorted(
        self, rows: _Rows, scenarios: Scenarios, fields: tuple[str, ...]
    ) -> list[Floats]:
        """Readings by kind of scenario, in parts that fit the processor's cache.

        What depends on the scenario alone has shape (scenarios,).
        """
        kind, count = self._kinds(scenarios), len(scenarios)
        in_order = count == 0 or bool((kind[1:] >= kind[:-1]).all())
        order = None if in_order else np.argsort(kind, kind="stable")
        if order is not None:
            scenarios, rows = scenarios[order], rows.some(order)
        height = len(rows.tests) if rows.table else 1
        whole = (height, count) if rows.table else (count,)
        out = [np.empty(whole if name in _BY_TEST else count) for name in fields]
        step = max(1, _AT_ONCE // max(height, 1))
        stop = 0
        for code, members in enumerate(np.bincount(kind, minlength=len(_KINDS)).tolist()):
            first, stop = stop, stop + members
            for start in range(first, stop, step):
                part = slice(start, min(start + step, stop))
                found = self._read(rows.some(part), scenarios[part], code)
                for column, name in zip(out, fields, strict=True):
                    column[..., part] = getattr(found, name)
        if order is None:
            return out
        back = np.empty_like(order)
        back[order] = np.arange(count)
        return [column.take(back, axis=-1) for column in out]

    def sensitivity(
        self, tests: Ints, scenarios: Scenarios, outcome: Outcome, edges: Ints
    ) -> Floats:
        """Share of the test current in given edges with the faults in place.

        The derivative of a resistance reading by an edge's own resistance is the square of it
        (Tellegen). Shapes broadcast.
        """
        if len(self.tests) == 1:
            tests = np.zeros((1,) * np.ndim(tests), np.int64)
        current = share(self.solved, self.tests.a[tests], self.tests.b[tests], edges)
        return self._with_answers(current, scenarios, (outcome.x1, outcome.x2), edges)

    def supply_current(self, scenarios: Scenarios, outcome: Outcome, edges: Ints) -> Floats:
        """Current that the supplies drive through given edges with the faults in place [A].

        The derivative of an open-circuit voltage by an edge's resistance is the product of this
        and its `sensitivity` (Tellegen). Shapes broadcast.
        """
        current = self.solved.loop_current[edges]
        return self._with_answers(current, scenarios, (outcome.y1, outcome.y2), edges)

    def _with_answers(
        self, current: Floats, scenarios: Scenarios, x: tuple[Floats, Floats], edges: Ints
    ) -> Floats:
        """Currents through edges with what the faults add to them."""
        shape = np.broadcast_shapes(current.shape, x[0].shape, edges.shape)
        for port, strength in zip((scenarios.port1, scenarios.port2), x, strict=True):
            if (port != NO_FAULT).any():
                current = current + strength * self._edge_answer(port, edges)
        return np.broadcast_to(current, shape)

    def _edge_answer(self, port: Ints, edges: Ints) -> Floats:
        """Current through edges when a fault port answers with one unit."""
        if is_table(port, edges):  # many cells of few faults
            each, place = np.unique(port, return_inverse=True)
            if 2 * len(each) < len(port):
                return self._answers(each[:, None], edges)[place.ravel()]
        return self._answers(port, edges)

    def _answers(self, port: Ints, edges: Ints) -> Floats:
        there = np.maximum(port, 0)
        solved, ports = self.solved, self.ports
        by_shunt = share(solved, ports.a[there], ports.b[there], edges)
        by_series = -solved.k(np.maximum(ports.edge[there], 0), edges)
        answer = np.where(self._own.series[there], by_series, by_shunt)
        return np.where(port == NO_FAULT, 0.0, answer)

    def _kinds(self, scenarios: Scenarios) -> NDArray[np.uint8]:
        """Numbers in `_KINDS`, shape (scenarios,)."""
        one, two = scenarios.port1, scenarios.port2
        series = self._own.series if len(self._own.series) else np.zeros(1, bool)
        s1, s2 = series[np.maximum(one, 0)], series[np.maximum(two, 0)]
        both = (one != NO_FAULT).astype(np.uint8) * (1 + 2 * (two != NO_FAULT).astype(np.uint8))
        # 1 for one fault, 3 for two; a shunt moves one on.
        kind = both + (both > 0) * ~s1 + (both > 1) * ~s2
        return np.asarray(kind, dtype=np.uint8)

    def _read(self, rows: _Rows, scenarios: Scenarios, code: int) -> Outcome:
        """Readings under scenarios of one kind."""
        pair = steps.Pair(rows.own(self._r), rows.own(self._k), rows.own(self._v))
        kind, solved = _KINDS[code], self.solved
        if kind == "none":
            return steps.none(pair)
        one = self._seen(rows, scenarios.port1, scenarios.size1)
        if kind == "series":
            return steps.one_series(pair, one)
        if kind == "shunt":
            return steps.one_shunt(pair, one)
        faults = one, self._seen(rows, scenarios.port2, scenarios.size2)
        first, second = self.ports[scenarios.port1], self.ports[scenarios.port2]
        if kind == "series + series":
            class1, class2 = (solved.series_class[port.edge] for port in (first, second))
            between, cut = solved.k(first.edge, second.edge), (class1 >= 0) & (class1 == class2)
            outcome, doubtful = steps.two_series(pair, faults, between, cut)
            if doubtful.any():
                self._solve_again(rows, scenarios, outcome, np.flatnonzero(doubtful))
            return outcome
        if kind == "series + shunt":
            between = share(solved, second.a, second.b, first.edge)
            return steps.series_and_shunt(pair, faults, between)
        ends = (first.a, first.b), (second.a, second.b)
        return steps.two_shunts(pair, faults, transfer(solved, *ends), tie(solved, *ends))

    def _solve_again(
        self, rows: _Rows, scenarios: Scenarios, outcome: Outcome, doubtful: Ints
    ) -> None:
        """Put right the readings where the second step would cancel, with the first fault built in.

        Two edges whose only other way round is a megohm leave too few digits; they are rare.
        """
        some = scenarios[doubtful]
        for port, size in set(zip(some.port1.tolist(), some.size1.tolist(), strict=True)):
            here = (some.port1 == port) & (some.size1 == size)
            columns, alone = doubtful[here], np.full(int(here.sum()), NO_FAULT)
            solved = self.solved.with_series(int(self.ports.edge[port]), size)
            bench = Bench.of(solved, self.tests, self.ports)
            second = Scenarios(some.port2[here], some.size2[here], alone, some.size2[here])
            tests = rows.tests[:, None] if rows.table else rows.tests[columns]
            part = bench.read(tests, second)
            outcome.ohm[..., columns], outcome.volt[..., columns] = part.ohm, part.volt

    def _seen(self, rows: _Rows, port: Ints, size: Floats) -> steps.Seen:
        w, kw = rows.coupled(port)
        own = self._own
        return steps.Seen(w, kw, own.own[port], own.k[port], own.drive[port], size)


def sound(solved: Solved, tests: Ports) -> tuple[Floats, Floats]:
    """Resistance [ohm] and open-circuit voltage [V] of probe pairs with nothing wrong.

    As `Bench.base` gives them, without a bench.
    """
    pair = (tests.a, tests.b)
    forbidden = tie(solved, pair, pair) > FORBIDDEN
    ohm = np.where(forbidden, np.inf, np.maximum(transfer(solved, pair, pair), 0.0))
    return ohm, np.where(forbidden, 0.0, source(solved, tests))


def _in_shape(values: Floats, shape: tuple[int, ...]) -> Floats:
    """A view, with values by scenario repeated for every test."""
    if values.shape == shape:
        return values
    return values.reshape(shape) if values.size == prod(shape) else np.broadcast_to(values, shape)
