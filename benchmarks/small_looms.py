"""Looms small enough for the best possible order of readings to be computed.

Hypotheses are a sound loom and one fault each at some places; a reading sorts them into classes
that noise could not confuse. With what is still possible as the state, Bellman's equation gives
the least expected number of readings until one hypothesis is left,

    V(S) = 1 + min over readings of the sum over classes C of p(C)/p(S) V(S and C),   V(one) = 0.

Source: Bellman, *Dynamic Programming*, 1957, ch. 3; here exact, by recursion over bit sets.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.diagnosis.admissible import Admissible
from loomwright.diagnosis.gain import Outcomes, Sample, outcomes, worth
from loomwright.diagnosis.model import NONE, Hypotheses, Model, Probe
from loomwright.diagnosis.places import places_of
from policies import beginning
from reference.looms import make_job

WIRES = 12
APART = 5.0  # standard uncertainties; closer values count as the same class
_FAR = 100.0  # standard uncertainties between classes when they are scored: no overlap


@attrs.frozen
class Orders:
    """Expected numbers of readings on one small loom.

    Attributes
    ----------
    seed : of the loom and the choice of faults
    classes, readings : hypotheses that readings can tell apart, readings that sort them differently
    optimum, greedy, random : expected readings in the best order, by the package's score, and
        drawn evenly from those that sort what is left
    bound : entropy over the most a reading can tell, which no order can beat
    """

    seed: int
    classes: int
    readings: int
    optimum: float
    greedy: float
    random: float
    bound: float


def orders(seed: int, hypotheses: int) -> Orders:
    """Solve one small loom."""
    table = Table.of(seed, hypotheses)
    whole = (1 << len(table.probability)) - 1
    most = max(len(parts) for parts in table.sorting)
    entropy = -float(np.sum(table.probability * np.log2(table.probability)))
    return Orders(
        seed=seed,
        classes=len(table.probability),
        readings=len(table.sorting),
        optimum=_optimum(table)(whole),
        greedy=table.greedy(whole),
        random=_random(table)(whole),
        bound=entropy / np.log2(most),
    )


@attrs.define(slots=False, eq=False)
class Table:
    """Which classes each reading sorts the hypotheses into.

    Attributes
    ----------
    hypotheses, probability : those that readings can tell apart; equal ones joined
    codes : class of each reading under each hypothesis, shape (readings, hypotheses)
    """

    hypotheses: Hypotheses
    probability: Floats
    codes: NDArray[np.int64]

    @classmethod
    def of(cls, seed: int, hypotheses: int) -> Table:
        """All admissible readings of a loom of 12 wires under some of its faults."""
        model = Model(make_job(WIRES, seed))
        sample = _sample(model, np.random.default_rng([seed, 23]), hypotheses)
        found = [outcomes(model, probes, sample) for probes in _settings(model)]
        codes = np.vstack([_classes(each, len(sample.probability)) for each in found])
        codes, first, joined = np.unique(codes, axis=1, return_index=True, return_inverse=True)
        probability = np.bincount(joined.ravel(), sample.probability).astype(float)
        return cls(sample.hypotheses[first], probability, _different(codes))

    @cached_property
    def sorting(self) -> list[tuple[int, ...]]:
        """Per reading its classes as bit sets."""
        return [
            tuple(sum(1 << int(n) for n in np.flatnonzero(row == c)) for c in np.unique(row))
            for row in self.codes
        ]

    @cached_property
    def mass(self) -> Callable[[int], float]:
        """Probability of a bit set."""

        @cache
        def of(members: int) -> float:
            return float(sum(p for n, p in enumerate(self.probability) if members >> n & 1))

        return of

    def sorted_by(self, reading: int, members: int) -> list[int]:
        """The classes that a reading sorts what is left into."""
        return [part & members for part in self.sorting[reading] if part & members]

    def greedy(self, members: int) -> float:
        """Expected readings when the package's own score chooses each."""
        if members & (members - 1) == 0:
            return 0.0
        best = int(np.argmax(self.bits(members)))
        parts = self.sorted_by(best, members)
        rest = sum(self.mass(part) * self.greedy(part) for part in parts)
        return 1.0 + rest / self.mass(members)

    def bits(self, members: int) -> Floats:
        """The package's expected information of every reading, given what is left."""
        left = np.array([n for n in range(len(self.probability)) if members >> n & 1])
        probability = self.probability[left] / self.probability[left].sum()
        labels = np.arange(len(left))
        sample = Sample(self.hypotheses[left], probability, labels, len(left), None)
        classes = self.codes[:, left]
        test, member = np.indices(classes.shape)
        tests = len(classes)
        as_read = Outcomes(
            z0=np.zeros(tests),
            over0=np.zeros(tests, bool),
            sigma=np.full(tests, 1.0),
            test=test.ravel(),
            member=member.ravel(),
            z=_FAR * classes.ravel().astype(float),
            over=np.zeros(classes.size, bool),
        )
        return worth(as_read, sample).bits


def _optimum(table: Table) -> Callable[[int], float]:
    @cache
    def value(members: int) -> float:
        if members & (members - 1) == 0:
            return 0.0
        best = np.inf
        for parts in {tuple(table.sorted_by(n, members)) for n in range(len(table.sorting))}:
            if len(parts) > 1:
                rest = sum(table.mass(part) * value(part) for part in parts)
                best = min(best, 1.0 + rest / table.mass(members))
        return float(best)

    return value


def _random(table: Table) -> Callable[[int], float]:
    @cache
    def value(members: int) -> float:
        if members & (members - 1) == 0:
            return 0.0
        found = [table.sorted_by(n, members) for n in range(len(table.sorting))]
        costs = [
            1.0 + sum(table.mass(part) * value(part) for part in parts) / table.mass(members)
            for parts in found
            if len(parts) > 1
        ]
        return float(np.mean(costs))

    return value


def _sample(model: Model, rng: np.random.Generator, hypotheses: int) -> Sample:
    """A sound loom, and one fault in the middle of its range at each of some places."""
    singles = model.singles
    _, place_of = places_of(model.network, model.faults)
    usable = np.flatnonzero(~model.is_swap)
    places = rng.permutation(np.unique(place_of[usable]))[: hypotheses - 1]
    rows = [0]
    for place in places:
        fault = rng.choice(usable[place_of[usable] == place])
        cells = np.flatnonzero(singles.fault1 == fault)
        rows.append(int(cells[len(cells) // 2]))
    members: Hypotheses = singles[np.array(rows)]
    weight = np.where(members.fault1 == NONE, 0.0, model.weight[members.fault1])
    weight[0] = model.weights.totals.sound * weight.sum()
    return Sample(members, weight / weight.sum(), np.arange(len(rows)), len(rows), None)


def _different(codes: NDArray[np.int64]) -> NDArray[np.int64]:
    """Readings that sort at all, one of each way of sorting; classes numbered as first met."""
    rows = [np.unique(row, return_inverse=True)[1].ravel() for row in codes]
    ways: dict[bytes, NDArray[np.int64]] = {}
    for row in rows:
        order = list(dict.fromkeys(row.tolist()))
        renamed = np.array([order.index(c) for c in row.tolist()], dtype=np.int64)
        if renamed.any():
            ways.setdefault(renamed.tobytes(), renamed)
    return np.array(list(ways.values()))


def _settings(model: Model) -> list[list[Probe]]:
    """All admissible readings, those of one setting and quantity together."""
    plugs = [plug.plug for plug in model.job.plugs]
    groups: dict[object, list[Probe]] = {}
    for candidate in Admissible(model).candidates(beginning(), plugs):
        probe = candidate.probe
        groups.setdefault((probe.setting, probe.quantity), []).append(probe)
    return list(groups.values())


def _classes(found: Outcomes, members: int) -> NDArray[np.int64]:
    """Class of each reading under each hypothesis, shape (readings, hypotheses).

    Values in order; a gap wider than the noise begins a new class. Over-range is one of its own.
    """
    z = np.repeat(found.z0[:, None], members, axis=1)
    over = np.repeat(found.over0[:, None], members, axis=1)
    z[found.test, found.member], over[found.test, found.member] = found.z, found.over
    codes = np.zeros(z.shape, np.int64)
    for row in range(len(z)):
        usual = max(float(found.sigma[row]), 0.02)
        order = np.argsort(z[row], kind="stable")
        steps = np.diff(z[row][order]) > APART * usual
        codes[row, order] = np.concatenate([[0], np.cumsum(steps)])
        codes[row, over[row]] = -1
    return codes
