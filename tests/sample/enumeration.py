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
from loomwright.diagnosis import Diagnosis, Model, Setting
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


def batch(
    model: Model, setting: Setting, sizes: dict[int, Floats], pair: tuple[int, int]
) -> Floats:
    """Resistance between two nodes for many magnitudes of one set of faults, node by node.

    Parameters
    ----------
    sizes : by fault number its magnitudes, all of one length
    """
    network, configuration = model.network, model.solved(setting).configuration
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
        (edge.tail, edge.head, ohm[:, n]) for n, edge in enumerate(network.edges) if there[n]
    ]
    branches += shunts
    part = parts(len(network.points), [(a, b, 1.0, 0.0) for a, b, _ in branches])
    a, b = pair
    if part[a] != part[b]:
        return np.full(count, math.inf)
    inner = {n: i for i, n in enumerate(n for n in range(len(part)) if part[n] == part[a] and n != b)}
    matrix = np.zeros((count, len(inner), len(inner)))
    for tail, head, size in branches:
        if tail == head:
            continue
        for node, other in ((tail, head), (head, tail)):
            if node in inner:
                matrix[:, inner[node], inner[node]] += 1 / size
                if other in inner:
                    matrix[:, inner[node], inner[other]] -= 1 / size
    injected = np.zeros((count, len(inner), 1))
    injected[:, inner[a]] = 1.0
    return np.asarray(np.linalg.solve(matrix, injected)[:, inner[a], 0])


def log_uniform(low: float, high: float, count: int) -> Floats:
    """Midpoints of equal stretches of ln(magnitude)."""
    return np.asarray(low * (high / low) ** ((np.arange(count) + 0.5) / count))


@attrs.frozen
class Believed:
    """The enumerated posterior: sound, and something wrong at each place."""

    sound: float
    place: Floats


@attrs.define(slots=False, eq=False)
class Enumeration:
    """All hypotheses of a loom with what they read, laid out once for some probes.

    Parameters
    ----------
    model : with `SURE` assumptions
    probes : (setting, red node, black node) of each reading that may be taken
    pairs : whether two faults at once are laid out too
    fine : points of the grid of a single fault's magnitude
    """

    model: Model
    probes: Sequence[tuple[Setting, int, int]]
    pairs: bool = True
    fine: int = 400
    weight: Floats = attrs.field(init=False)
    members: list[tuple[int, ...]] = attrs.field(init=False)
    ohm: Floats = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        model, totals = self.model, self.model.weights.totals
        weight, members, ohm = [], [], []
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
            rows = [batch(model, setting, sizes, (a, b)) for setting, a, b in self.probes]
            ohm.append(np.stack([np.broadcast_to(row, (count,)) for row in rows]))
            weight.append(np.full(count, prior / count))
            members += [numbers] * count
        self.weight, self.members = np.concatenate(weight), members
        self.ohm = np.concatenate(ohm, axis=1)

    def possible(self, pair: tuple[int, int]) -> bool:
        """Two faults of one edge or of one pair of points are one trouble, not two."""
        one, other = (self.model.faults[n] for n in pair)
        if one.edge >= 0 or other.edge >= 0:
            return one.edge != other.edge
        return set(one.nodes) != set(other.nodes)

    def likelihood(self, readings: Sequence[tuple[int, float]], slips: Slips) -> Floats:
        """Product over readings `(probe number, ohm)` of truth or slip."""
        total = np.ones(len(self.weight))
        for probe, value in readings:
            ohm = self.ohm[probe]
            open_circuit = np.isinf(ohm)
            finite = np.where(open_circuit, 1.0, ohm)
            z, sigma = np.log1p(finite / R0_OHM), spread(finite)
            if math.isinf(value):
                limit = math.log1p(SURE.ohmmeter_limit_ohm / R0_OHM)
                beyond = norm.sf(limit, z, sigma) + slips.false_over
                total *= np.where(open_circuit, 1 - slips.stray, beyond)
                continue
            stray = slips.stray / Z_RANGE["ohm"]
            true = (1 - slips.stray) * norm.pdf(math.log1p(value / R0_OHM), z, sigma)
            total *= np.where(open_circuit, stray, (1 - slips.false_over) * (true + stray))
        return total

    def information(self, probe: int, mass: Floats, label: NDArray[np.int64]) -> float:
        """Mutual information [bit] between a reading and a label of the hypotheses.

        The reading's density under each label is laid out on a grid far finer than its spread;
        over-range is one outcome more. I = H(label) + H(reading) - H(both).
        """
        ohm = self.ohm[probe]
        inside = np.isfinite(ohm)
        z, sigma = np.log1p(ohm[inside] / R0_OHM), spread(ohm[inside])
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

    def believed(
        self, readings: Sequence[tuple[int, float]], diagnosis: Diagnosis
    ) -> Believed:
        """Bayes' rule, then sums."""
        mass = self.weight * self.likelihood(readings, diagnosis.slips)
        mass /= mass.sum()
        place = np.zeros(len(diagnosis.places))
        by_set: dict[tuple[int, ...], float] = {}
        for numbers, share in zip(self.members, mass.tolist(), strict=True):
            by_set[numbers] = by_set.get(numbers, 0.0) + share
        for numbers, share in by_set.items():
            for where in {int(diagnosis.place_of[n]) for n in numbers}:
                place[where] += share
        return Believed(by_set[()], place)


def spread(ohm: Floats) -> Floats:
    """Standard uncertainty on the scale z = ln(1 + R/R0) of one reading by the coarse meter."""
    ranges = SURE.ohmmeter_limit_ohm / 10.0 ** np.arange(5, -1, -1)
    full_scale = ranges[np.minimum(np.searchsorted(ranges, ohm), len(ranges) - 1)]
    step = SURE.meter_counts * full_scale / SURE.meter_full_scale_counts
    own = np.hypot(step / math.sqrt(3), SURE.probe_spread_ohm) / (R0_OHM + ohm)
    return np.asarray(np.hypot(own, SPOT["ohm"]))


def probe_nodes(model: Model, reading: Reading) -> tuple[Setting, int, int]:
    """A reading's setting and nodes."""
    node_of = model.network.node_of
    setting = Setting.of(reading.state, reading.unplugged)
    return setting, node_of[reading.plus], node_of[reading.minus]
