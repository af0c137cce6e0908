"""Posterior by brute force: every single fault on a fine grid, every pair on a coarse one.

Independent of the package's solver, cells and bounds. It takes from it only the list of faults,
their prior weights and ranges. All shared uncertainties must be zero, so that the likelihood is a
product over readings, each a mixture of the truth and of slips.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import attrs
import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm

from loomwright.circuit import Assumptions
from loomwright.diagnosis import Diagnosis, Model, Place, Setting
from loomwright.diagnosis.likelihood import Slips
from loomwright.diagnosis.scale import R0_OHM, SPOT, Z_RANGE
from loomwright.loom import Reading
from reference.dense import parts

Floats = NDArray[np.float64]
COARSE = 48
SHIPPED = Assumptions.shipped()
SURE = attrs.evolve(
    SHIPPED,
    tolerance_pct=dict.fromkeys(SHIPPED.tolerance_pct, 0.0),
    wire_spread=0.0, connection_spread_ohm=0.0, engine_spread_k=0.0, air_spread_k=0.0,
    ambient_spread_k=0.0, meter_percent=0.0, leads_ohm=0.0, supply_spread_v=0.0,
    inner_supply_spread=0.0,
    # A coarse meter: grids of a few points per decade then miss nothing.
    meter_counts=600.0, probe_spread_ohm=1.0,
)  # fmt: skip
"""Nothing shared is uncertain; the meter is off by three twentieths of its range either way."""


def batch(model: Model, probe: Probed, sizes: dict[int, Floats]) -> Floats:
    """What a meter reads for many magnitudes of one set of faults, by node voltages.

    Parameters
    ----------
    sizes : by fault number its magnitudes, all of one length
    """
    network, configuration = model.network, model.solved(probe.setting).configuration
    count = len(next(iter(sizes.values()))) if sizes else 1
    ohm = np.tile(configuration.ohm, (count, 1))
    there = configuration.present.copy()
    shunts: list[tuple[int, int, Floats]] = []
    for number, size in sizes.items():
        fault = model.faults[number]
        if fault.edge < 0:
            shunts.append((*fault.nodes, size))
        elif fault.size == "none":
            there[fault.edge] = False
        elif fault.size == "factor":
            ohm[:, fault.edge] *= size
        else:
            ohm[:, fault.edge] += size
    branches = [
        (edge.tail, edge.head, ohm[:, n], float(configuration.emf[n]))
        for n, edge in enumerate(network.edges)
        if there[n]
    ]
    branches += [(tail, head, size, 0.0) for tail, head, size in shunts]
    part = parts(len(network.points), [(tail, head, 1.0, 0.0) for tail, head, *_ in branches])
    a, b, volts = probe.plus, probe.minus, probe.quantity == "volt"
    if part[a] != part[b]:
        return np.full(count, 0.0 if volts else math.inf)
    if volts:
        branches.append((a, b, np.full(count, model.assume.voltmeter_ohm), 0.0))
    inner = {
        n: i for i, n in enumerate(n for n in range(len(part)) if part[n] == part[a] and n != b)
    }
    matrix = np.zeros((count, len(inner), len(inner)))
    injected = np.zeros((count, len(inner), 1))
    for tail, head, size, emf in branches:
        if tail == head:
            continue
        for node, other, sign in ((tail, head, -1.0), (head, tail, 1.0)):
            if node in inner:
                matrix[:, inner[node], inner[node]] += 1 / size
                injected[:, inner[node], 0] += sign * emf / size if volts else 0.0
                if other in inner:
                    matrix[:, inner[node], inner[other]] -= 1 / size
    if not volts:
        injected[:, inner[a]] = 1.0
    return np.asarray(np.linalg.solve(matrix, injected)[:, inner[a], 0])


def log_uniform(low: float, high: float, count: int) -> Floats:
    """Midpoints of equal stretches of ln(magnitude)."""
    return np.asarray(low * (high / low) ** ((np.arange(count) + 0.5) / count))


@attrs.frozen
class Probed:
    """Where the leads are: quantity, setting, red node and black node."""

    quantity: str
    setting: Setting
    plus: int
    minus: int

    @classmethod
    def of(cls, model: Model, reading: Reading) -> Probed:
        """The leads of a reading."""
        setting = Setting.of(reading.state, reading.unplugged)
        volts = reading.quantity == "volt"
        nodes = [model.network.node(point, volts=volts) for point in (reading.plus, reading.minus)]
        assert nodes[0] is not None
        assert nodes[1] is not None
        return cls(reading.quantity, setting, nodes[0], nodes[1])


@attrs.frozen
class Believed:
    """The enumerated posterior: sound, something wrong at each place, or with an item of it."""

    sound: float
    place: Floats
    items: Floats


@attrs.define(slots=False, eq=False)
class Enumeration:
    """All hypotheses of a loom with what they read, laid out once for some probes.

    Parameters
    ----------
    model : with `SURE` assumptions
    probes : each reading that may be taken
    pairs : whether two faults at once are laid out too
    fine : points of the grid of a single fault's magnitude
    """

    model: Model
    probes: Sequence[Probed]
    pairs: bool = True
    fine: int = 400
    weight: Floats = attrs.field(init=False)
    members: list[tuple[int, ...]] = attrs.field(init=False)
    value: Floats = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        model, totals = self.model, self.model.weights.totals
        weight, members, value = [], [], []
        w = model.weight
        every = range(len(model.faults))
        sets: list[tuple[int, ...]] = [(), *((n,) for n in every)]
        if self.pairs:
            sets += [pair for pair in itertools.combinations(every, 2) if self.possible(pair)]
        kappa = 2 * totals.two / (1 - (w**2).sum())
        for numbers in sets:
            grids = [
                log_uniform(f.low, f.high, self.fine if len(numbers) == 1 else COARSE)
                if f.size != "none" else np.zeros(1)
                for f in (model.faults[n] for n in numbers)
            ]  # fmt: skip
            mesh = [axis.ravel() for axis in np.meshgrid(*grids)] if numbers else []
            count = len(mesh[0]) if numbers else 1
            prior = totals.sound if not numbers else (
                totals.one * w[numbers[0]] if len(numbers) == 1
                else kappa * w[numbers[0]] * w[numbers[1]]
            )  # fmt: skip
            sizes = dict(zip(numbers, mesh, strict=True))
            rows = [batch(model, probe, sizes) for probe in self.probes]
            value.append(np.stack([np.broadcast_to(row, (count,)) for row in rows]))
            weight.append(np.full(count, prior / count))
            members += [numbers] * count
        self.weight, self.members = np.concatenate(weight), members
        self.value = np.concatenate(value, axis=1)

    def possible(self, pair: tuple[int, int]) -> bool:
        """Two faults of one edge or of one pair of points are one trouble, not two."""
        one, other = (self.model.faults[n] for n in pair)
        if one.edge >= 0 or other.edge >= 0:
            return one.edge != other.edge
        return set(one.nodes) != set(other.nodes)

    def likelihood(self, readings: Sequence[tuple[int, float]], slips: Slips) -> Floats:
        """Product over readings `(probe number, ohm or volt)` of truth or slip."""
        total = np.ones(len(self.weight))
        for number, shown in readings:
            quantity, value = self.probes[number].quantity, self.value[number]
            open_circuit = np.isinf(value)
            finite = np.where(open_circuit, 1.0, value)
            z, sigma = scaled(quantity, finite), spread(quantity, finite, self.model.assume)
            if math.isinf(shown):
                limit = scaled(quantity, np.array(self.model.assume.ohmmeter_limit_ohm))
                beyond = norm.sf(limit, z, sigma) + slips.false_over
                total *= np.where(open_circuit, 1 - slips.stray, beyond)
                continue
            stray = slips.stray / Z_RANGE[quantity]
            true = (1 - slips.stray) * norm.pdf(scaled(quantity, np.array(shown)), z, sigma)
            total *= np.where(open_circuit, stray, (1 - slips.false_over) * (true + stray))
        return total

    def information(self, probe: int, mass: Floats, label: NDArray[np.int64]) -> float:
        """Mutual information [bit] between an ohm reading and a label of the hypotheses.

        The reading's density under each label is laid out on a grid far finer than its spread;
        over-range is one outcome more. I = H(label) + H(reading) - H(both).
        """
        ohm = self.value[probe]
        inside = np.isfinite(ohm)
        z, sigma = scaled("ohm", ohm[inside]), spread("ohm", ohm[inside], self.model.assume)
        grid = np.arange(-6.0, 22.0, 0.02)
        both = np.zeros((int(label.max()) + 1, len(grid) + 1))
        both[:, -1] = np.bincount(label[~inside], mass[~inside], minlength=len(both))
        cells, where = np.unique(np.stack([z, sigma, label[inside]]), axis=1, return_inverse=True)
        share = np.bincount(where.ravel(), mass[inside])
        for (middle, width, number), part in zip(cells.T, share, strict=True):
            density = norm.pdf(grid, middle, width)
            both[int(number), :-1] += part * density / density.sum()
        entropy = [
            -(p[p > 0] * np.log2(p[p > 0])).sum()
            for p in (both.sum(axis=0), both.sum(axis=1), both.ravel())
        ]
        return float(entropy[0] + entropy[1] - entropy[2])

    def believed(self, readings: Sequence[tuple[int, float]], diagnosis: Diagnosis) -> Believed:
        """Bayes' rule, then sums."""
        mass = self.weight * self.likelihood(readings, diagnosis.slips)
        mass /= mass.sum()
        place, items = np.zeros(len(diagnosis.places)), np.zeros(len(diagnosis.places))
        by_set: dict[tuple[int, ...], float] = {}
        for numbers, share in zip(self.members, mass.tolist(), strict=True):
            by_set[numbers] = by_set.get(numbers, 0.0) + share
        for numbers, share in by_set.items():
            for where in {int(diagnosis.place_of[n]) for n in numbers}:
                place[where] += share
            items += share * np.array([self.blames(numbers, p) for p in diagnosis.places])
        return Believed(by_set[()], place, items)

    def blames(self, numbers: tuple[int, ...], place: Place) -> bool:
        """Whether some of the faults is at the place, or in series at one of its terminals."""
        at = {item for n in place.faults for item in self.terminals(n)}
        return any(n in place.faults or self.terminals(n) & at for n in numbers)

    def terminals(self, number: int) -> set[str]:
        """The terminals that a series fault names."""
        fault = self.model.faults[number]
        return {item for item in fault.items if "." in item and fault.edge >= 0}


def scaled(quantity: str, value: Floats) -> Floats:
    """The scale of comparison: ln(1 + R/R0) for ohms, volts as they are."""
    return np.asarray(value if quantity == "volt" else np.log1p(value / R0_OHM), dtype=float)


def spread(quantity: str, value: Floats, assume: Assumptions) -> Floats:
    """Standard uncertainty on the scale of one reading by a meter of decade ranges."""
    top, decades = (400.0, 3) if quantity == "volt" else (assume.ohmmeter_limit_ohm, 6)
    ranges = top / 10.0 ** np.arange(decades - 1, -1, -1)
    place = np.minimum(np.searchsorted(ranges, np.abs(value)), decades - 1)
    step = assume.meter_counts * ranges[place] / assume.meter_full_scale_counts / math.sqrt(3)
    if quantity == "volt":
        return np.asarray(np.hypot(np.hypot(step, assume.probe_spread_v), SPOT["volt"]))
    own = np.hypot(step, assume.probe_spread_ohm) / (R0_OHM + value)
    return np.asarray(np.hypot(own, SPOT["ohm"]))
