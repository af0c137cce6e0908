"""What each hypothesis says a reading will be, how far it may stray, and what it strays with.

A prediction is a mean on the z scale with a standard uncertainty of its own and a row of
*shared* uncertainties: a temperature that was read wrong, a part at the edge of its tolerance, a
meter that reads high, the supply, the width of the magnitude's cell. Shared ones move several
readings together, so they are kept apart here and joined in `likelihood`.
"""

from __future__ import annotations

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit import Bench, Outcome, Scenarios, Solved
from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.model import NONE, Hypotheses, Model, Probe
from loomwright.diagnosis.scale import SPOT, Meter, meter_of, to_z, z_slope

_TOUCHED = 1e-9
_ROWS = 3000
_SWAPPED_SPREAD = 0.05
_HALF_CELL = 0.5
"""A cell counts as a bell of half its width: a row of such bells is even to 5 percent."""


@attrs.frozen(eq=False)
class Prediction:
    """What hypotheses say of one reading.

    Attributes
    ----------
    z : mean, shape (hypotheses,); meaningless where over
    over : whether nothing connects the probes, shape (hypotheses,)
    own : variance of this reading alone, shape (hypotheses,)
    shared : standard uncertainties shared with other readings, shape (hypotheses, causes)
    causes : name of each shared cause
    cell1, cell2 : change of z over half a cell of either magnitude, shape (hypotheses,)
    """

    z: Floats
    over: NDArray[np.bool_]
    own: Floats
    shared: NDArray[np.float32]
    causes: tuple[str, ...]
    cell1: Floats
    cell2: Floats

    @property
    def variance(self) -> Floats:
        """Whole variance of the reading, shape (hypotheses,)."""
        total: Floats = self.own + (self.shared**2).sum(axis=1) + self.cell1**2 + self.cell2**2
        return total

    def rows(self, which: Ints | NDArray[np.bool_] | slice) -> Prediction:
        """The same for some of the hypotheses."""
        return attrs.evolve(
            self,
            z=self.z[which], over=self.over[which], own=self.own[which],
            shared=self.shared[which], cell1=self.cell1[which], cell2=self.cell2[which],
        )  # fmt: skip


@attrs.define(slots=False, eq=False)
class Predictor:
    """Predictions of one probe in its setting, for any hypotheses.

    Parameters
    ----------
    model : the loom and its faults
    probe : the reading
    """

    model: Model
    probe: Probe
    bench: Bench = attrs.field(init=False)
    meter: Meter = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        self.bench = self.model.bench([self.probe])
        self.meter = meter_of(
            self.model.job, self.probe.meter, self.probe.quantity, self.model.assume
        )

    @property
    def solved(self) -> Solved:
        return self.bench.solved

    def predict(self, h: Hypotheses) -> Prediction:
        """Predict the reading under every hypothesis."""
        compact, row = self.compact(h)
        return compact.rows(row)

    def compact(self, h: Hypotheses) -> tuple[Prediction, Ints]:
        """Predictions that differ from the first hypothesis', and the row of each hypothesis.

        Hypotheses that leave the reading as the first one has it (the sound loom's, in a table
        of singles) share its row, row 0.
        """
        z, over = self.light(h)
        swaps = self.model.is_swap[np.maximum(h.fault1, 0)] & (h.fault1 != NONE)
        changed = np.flatnonzero((over != over[0]) | (np.abs(z - z[0]) > _TOUCHED) | swaps)
        rows = np.concatenate([[0], changed[changed > 0]])
        some = h[rows]
        # In slices: a large loom has tens of thousands of rows and hundreds of causes.
        slices = [some[start : start + _ROWS] for start in range(0, len(some), _ROWS)]
        prediction = _joined([self._prediction(part) for part in slices], self.probe.quantity)
        if swaps.any():
            self._put_swaps(prediction, some, np.flatnonzero(swaps[rows]))
        row = np.zeros(len(h), np.int64)
        row[rows] = np.arange(len(rows))
        return prediction, row

    def light(self, h: Hypotheses) -> tuple[Floats, NDArray[np.bool_]]:
        """Mean on the z scale and over-range alone; swapped cavities read as if they were not."""
        scenarios = self.model.scenarios(self.solved, h)
        value, over = self._shown(*self.bench.values(np.zeros(len(h), np.int64), scenarios))
        return to_z(self.probe.quantity, value), over

    def value(self, outcome: Outcome) -> tuple[Floats, NDArray[np.bool_]]:
        """What the meter shows [ohm or V] and whether it is over-range, leads included."""
        return self._shown(outcome.ohm, outcome.volt)

    def _shown(self, ohm: Floats, volt: Floats) -> tuple[Floats, NDArray[np.bool_]]:
        over = np.isinf(ohm)
        if self.probe.quantity == "volt":
            meter = self.model.assume.voltmeter_ohm
            return volt * np.where(over, 0.0, meter / (meter + ohm)), np.zeros(volt.shape, bool)
        return np.where(over, 0.0, ohm) + self.meter.offset, over

    def _prediction(self, h: Hypotheses) -> Prediction:
        quantity = self.probe.quantity
        scenarios = self.model.scenarios(self.solved, h)
        outcome = self.bench.read(np.zeros(len(h), np.int64), scenarios)
        value, over = self.value(outcome)
        slope = z_slope(quantity, value)
        spread = self.model.assume.probe_spread_ohm
        if quantity == "volt":
            spread = self.model.assume.probe_spread_v
        causes = [f"gain {self.meter.name}", "leads" if quantity == "ohm" else "supply"]
        if quantity == "ohm":
            second = np.full(len(h), self.meter.offset_spread)
            cells = self._cells_ohm(h, outcome)
        else:
            second = self._per_supply(h, outcome) * self.model.assume.supply_spread_v
            cells = self._cells_volt(h)
        first = self.meter.gain_spread(value)
        parts, names = self._parts(h, outcome)
        shared = np.empty((len(h), 3 + len(names)), np.float32)
        shared[:, 0], shared[:, 1] = first * slope, second * slope
        np.multiply(parts, slope[:, None], out=shared[:, 2:-1], casting="same_kind")
        shared[:, -1] = SPOT[quantity]
        shared[over] = 0.0
        names.append(f"spot {self.probe.plus} {self.probe.minus} {self.probe.setting.text}")
        return Prediction(
            z=to_z(quantity, value),
            over=over,
            own=(self.meter.own_spread(value, spread) * slope) ** 2,
            shared=shared,
            causes=(*causes, *names),
            cell1=np.where(over, 0.0, cells[0] * slope),
            cell2=np.where(over, 0.0, cells[1] * slope),
        )

    def _parts(self, h: Hypotheses, outcome: Outcome) -> tuple[Floats, list[str]]:
        """How tolerances and temperatures move the reading [ohm or V] for one standard unit,
        shape (hypotheses, causes)."""
        configuration = self.solved.configuration
        edges = self._uncertain_edges
        columns: list[Floats] = []
        names: list[str] = []
        if len(edges):
            change = self._change_per_ohm(h, outcome, edges)
            moved = change * (configuration.ohm[edges] * self._factors(h, edges))
            columns.append(moved * configuration.spread[edges])
            names = [f"part {edge}" for edge in edges]
            sources = np.array(configuration.temperature)[edges]
            for source in sorted(set(sources.tolist()) - {""}):
                temperature = configuration.temperatures[source]
                warmed = np.flatnonzero(sources == source)
                per_kelvin = moved[:, warmed] * configuration.per_kelvin[edges[warmed]]
                columns.append((per_kelvin.sum(axis=1) * temperature.spread_k)[:, None])
                names.append(f"temperature {source} {temperature.celsius:g}")
        inner = np.array(self.model.network.inner_supplies, dtype=np.int64)
        if self.probe.quantity == "volt" and len(inner):
            spread = self.model.assume.inner_supply_spread * configuration.emf[inner]
            columns.append(-self._share(h, outcome, inner) * spread)
            names += [f"inner supply {edge}" for edge in inner]
        return np.hstack(columns) if columns else np.zeros((len(h), 0)), names

    def _change_per_ohm(self, h: Hypotheses, outcome: Outcome, edges: Ints) -> Floats:
        """d(reading)/d(edge resistance), shape (hypotheses, edges)."""
        share = self._share(h, outcome, edges)
        if self.probe.quantity == "ohm":
            return share**2
        scenarios, wide = self._tall(h, outcome)
        return share * self.bench.supply_current(scenarios, wide, edges[None, :])

    def _per_supply(self, h: Hypotheses, outcome: Outcome) -> Floats:
        """d(voltage)/d(battery voltage), shape (hypotheses,)."""
        battery = self.model.network.battery
        if battery is None:
            return np.zeros(len(h))
        return -self._share(h, outcome, np.array([battery]))[:, 0]

    def _share(self, h: Hypotheses, outcome: Outcome, edges: Ints) -> Floats:
        """Share of a test current in edges with the faults in place, (hypotheses, edges)."""
        scenarios, wide = self._tall(h, outcome)
        first = np.zeros((len(h), 1), np.int64)
        return self.bench.sensitivity(first, scenarios, wide, edges[None, :])

    def _tall(self, h: Hypotheses, outcome: Outcome) -> tuple[Scenarios, Outcome]:
        scenarios = self.model.scenarios(self.solved, h)
        columns = (part[:, None] for part in attrs.astuple(scenarios, recurse=False))
        wide = (part[:, None] for part in attrs.astuple(outcome, recurse=False))
        return Scenarios(*columns), Outcome(*wide)

    @property
    def _uncertain_edges(self) -> Ints:
        """Edges that can move the reading, in the islands the probes and faults they see reach.

        Ohms are moved by elements; milliohms of wire and contact are below a meter's leads. Volts
        are moved by those too, once a short drives a large current through them.
        """
        solved = self.solved
        seen = np.flatnonzero(self.bench.touched()[0])
        tests, ports = self.bench.tests, self.model.ports
        nodes = np.concatenate([tests.a, tests.b, ports.a[seen], ports.b[seen]])
        islands = np.unique(solved.island[nodes])
        elements = [
            number
            for number, edge in enumerate(self.model.network.edges)
            if edge.element is not None or self.probe.quantity == "volt"
        ]
        edges = np.array(elements, dtype=np.int64)
        reachable = np.isin(solved.edge_island[edges], islands)
        configuration = solved.configuration
        uncertain = (configuration.spread[edges] > 0) | (configuration.per_kelvin[edges] != 0)
        chosen: Ints = edges[reachable & uncertain]
        return chosen

    def _factors(self, h: Hypotheses, edges: Ints) -> Floats:
        """A drifted part's own uncertainty goes with its drifted resistance."""
        factor = np.ones((len(h), len(edges)))
        for fault, magnitude in ((h.fault1, h.magnitude1), (h.fault2, h.magnitude2)):
            there = np.maximum(fault, 0)
            drifted = (fault != NONE) & self.model.is_factor[there]
            rows = np.flatnonzero(drifted)
            match = self.model.ports.edge[there[rows]][:, None] == edges[None, :]
            factor[rows] = np.where(match, magnitude[rows][:, None], factor[rows])
        return factor

    def _cells_ohm(self, h: Hypotheses, outcome: Outcome) -> tuple[Floats, Floats]:
        """dR/d(ln magnitude) times half a cell: the square of the fault's current, times its ohm.

        A drifting part counts with its whole resistance.
        """
        return (
            self._cell(h.fault1, h.magnitude1, h.width1, outcome.x1),
            self._cell(h.fault2, h.magnitude2, h.width2, outcome.x2),
        )

    def _cell(self, fault: Ints, magnitude: Floats, width: Floats, x: Floats) -> Floats:
        there = np.maximum(fault, 0)
        edge = self.model.ports.edge[there]
        size = self.model.sizes(self.solved, fault, magnitude)
        series = edge >= 0
        own = self.solved.configuration.ohm[np.maximum(edge, 0)]
        ohm = np.where(self.model.is_factor[there], own * magnitude, magnitude)
        current = np.where(series, x * size, x)
        moved = np.where(fault == NONE, 0.0, current**2 * ohm) * width * _HALF_CELL
        return np.where(np.isfinite(moved), moved, 0.0)

    def _cells_volt(self, h: Hypotheses) -> tuple[Floats, Floats]:
        """Change of the voltage over half a cell, by difference."""
        found = []
        for name, width in (("magnitude1", h.width1), ("magnitude2", h.width2)):
            moved = np.zeros(len(h))
            rows = np.flatnonzero(width > 0)
            if len(rows):
                some = h[rows]
                step = np.exp(_HALF_CELL * width[rows] / 2)
                ends = [
                    self._volts(attrs.evolve(some, **{name: getattr(some, name) * factor}))
                    for factor in (step, 1.0 / step)
                ]
                moved[rows] = ends[0] - ends[1]
            found.append(moved)
        return found[0], found[1]

    def _volts(self, h: Hypotheses) -> Floats:
        scenarios = self.model.scenarios(self.solved, h)
        return self._shown(*self.bench.values(np.zeros(len(h), np.int64), scenarios))[0]

    def _put_swaps(self, prediction: Prediction, h: Hypotheses, rows: Ints) -> None:
        """Overwrite the rows of swapped cavities with readings of the swapped loom."""
        quantity = self.probe.quantity
        found = self.model.swaps.read(h.fault1[rows], self.solved, self.bench.tests)
        at = rows[found.row]
        value, over = self._shown(found.ohm, found.volt)
        z = to_z(quantity, value)
        moved = np.abs(z - prediction.z[at]) > _TOUCHED
        prediction.over[at], prediction.z[at] = over, z
        # Another circuit than the sound loom's: its parts' tolerances as one lump.
        slope = z_slope(quantity, value)
        own = self.meter.own_spread(value, self.model.assume.probe_spread_ohm) * slope
        lump = _SWAPPED_SPREAD * value * slope
        prediction.shared[at[moved]] = 0.0
        prediction.own[at[moved]] = (own**2 + lump**2)[moved]


def _joined(parts: list[Prediction], quantity: str) -> Prediction:
    """Slices end to end, causes that move no row by a fraction of its uncertainty left out."""
    telling = np.zeros(len(parts[0].causes), bool)
    for part in parts:
        telling |= np.abs(part.shared).max(axis=0) > 0.2 * SPOT[quantity]
    kept = np.flatnonzero(telling)
    return Prediction(
        z=np.concatenate([part.z for part in parts]),
        over=np.concatenate([part.over for part in parts]),
        own=np.concatenate([part.own for part in parts]),
        # Half the digits are plenty for standard uncertainties, and there are very many.
        shared=np.concatenate([part.shared[:, kept] for part in parts]),
        causes=tuple(parts[0].causes[i] for i in kept),
        cell1=np.concatenate([part.cell1 for part in parts]),
        cell2=np.concatenate([part.cell2 for part in parts]),
    )
