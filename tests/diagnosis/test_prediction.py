"""Means and shared uncertainties of predictions against 50-digit readings and their differences."""

from __future__ import annotations

import math
from collections.abc import Mapping

import attrs
import numpy as np
import pytest
from mpmath import mpf

from loomwright.circuit import Assumptions
from loomwright.diagnosis import Model, Prediction, Predictor, Probe, Setting
from loomwright.diagnosis.scale import SPOT, to_z, z_slope
from loomwright.loom import Point, State
from reference import exact
from reference.faults import Drift, Fault, Series, Shunt
from reference.looms import make_job
from sample.scenarios import as_reference, hypothesis

SHIPPED = Assumptions.shipped()
QUIET = attrs.evolve(
    SHIPPED,
    tolerance_pct=dict.fromkeys(SHIPPED.tolerance_pct, 0.0),
    wire_spread=0.0, connection_spread_ohm=0.0, engine_spread_k=0.0, air_spread_k=0.0,
    ambient_spread_k=0.0, meter_percent=0.0, leads_ohm=0.0, supply_spread_v=0.0,
    inner_supply_spread=0.0,
)  # fmt: skip
STEP = mpf("1e-12")
FAINT = 2e-5  # squared: causes under a tenth of what a spot adds may be left out
NO_CHANGE: Mapping[int, mpf] = {}
ON = "key=on; engine_c=60; air_c=30; ambient_c=25"
OFF = "engine_c=60; air_c=30; ambient_c=25"
PROBES = {
    "volt": [("CU.1", "BMINUS", ON, ""), ("CU.3", "E1", ON, ""), ("CU.6", "BMINUS", ON, "CU")],
    "ohm": [("CU.1", "E1", OFF, "CU"), ("CU.3", "CU.5", OFF, "CU"), ("CU.6", "BPLUS", OFF, "CU")],
}


def model(**spreads: object) -> Model:
    """A loom of 12 wires in which nothing is uncertain but what is named."""
    job = make_job(12, 1)
    elements = tuple(attrs.evolve(element, tolerance_pct=None) for element in job.elements)
    curves = tuple(attrs.evolve(point, tolerance_pct=None) for point in job.curves)
    sure = attrs.evolve(job, elements=elements, curves=curves, meters=())
    return Model(sure, assume=attrs.evolve(QUIET, **spreads))


def probe_of(quantity: str, text: tuple[str, str, str, str]) -> Probe:
    plus, minus, state, off = text
    setting = Setting.of(State.parse(state), off.split())
    return Probe(quantity, Point.parse(plus), Point.parse(minus), setting)


class Truth:
    """Readings with any edge's ohms and any source's volts moved a little."""

    def __init__(self, model: Model, probe: Probe, faults: list[Fault]) -> None:
        self.model, self.probe, self.faults = model, probe, faults
        self.configuration = model.solved(probe.setting).configuration

    def read(self, ohm: Mapping[int, mpf] = NO_CHANGE, volt: Mapping[int, mpf] = NO_CHANGE) -> mpf:
        network = self.model.network
        extra = {f.edge: f.ohm for f in self.faults if isinstance(f, Series)}
        factor = {f.edge: f.factor for f in self.faults if isinstance(f, Drift)}
        branches = []
        for n, edge in enumerate(network.edges):
            if not self.configuration.present[n] or math.isinf(extra.get(n, 0.0)):
                continue
            size = mpf(float(self.configuration.ohm[n])) * factor.get(n, 1) * (1 + ohm.get(n, 0))
            emf = mpf(float(self.configuration.emf[n])) + volt.get(n, 0)
            branches.append((edge.tail, edge.head, size + extra.get(n, 0), emf))
        branches += [(f.a, f.b, mpf(f.ohm), 0) for f in self.faults if isinstance(f, Shunt)]
        nodes, pair = len(network.points), self.model.nodes(self.probe)
        assert pair is not None
        if self.probe.quantity == "ohm":
            dead = [(tail, head, size, 0.0) for tail, head, size, _ in branches]
            return exact.ohm(nodes, dead, *pair)
        return exact.volt(nodes, branches, *pair, meter_ohm=self.model.assume.voltmeter_ohm)

    def by_ohm(self, edge: int) -> float:
        """d reading / d ln(ohm) of one edge."""
        return float((self.read({edge: STEP}) - self.read({edge: -STEP})) / (2 * STEP))

    def by_volt(self, edge: int) -> float:
        """d reading / d volt of one source; readings are linear in it."""
        return float(self.read(volt={edge: mpf(1)}) - self.read())


def squares(prediction: Prediction, quantity: str) -> float:
    """Variance shared with other readings, but for what stays at the spot."""
    return float((prediction.shared[0] ** 2).sum() - SPOT[quantity] ** 2)


def together(one: Prediction, other: Prediction) -> float:
    """Covariance of two readings: causes of one name move both."""
    first, second = (dict(zip(p.causes, p.shared[0], strict=True)) for p in (one, other))
    return float(sum(first[name] * second[name] for name in first.keys() & second.keys()))


def some_faults(found: Model, count: int) -> list[tuple[int, float]]:
    rng = np.random.default_rng(5)
    able = [n for n, fault in enumerate(found.faults) if fault.swap is None]
    chosen = []
    for number in rng.choice(able, count, replace=False).tolist():
        fault = found.faults[number]
        share = rng.random()
        size = 0.0 if fault.size == "none" else fault.low * (fault.high / fault.low) ** share
        chosen.append((number, size))
    return chosen


@pytest.mark.parametrize("quantity", ["ohm", "volt"])
def test_the_mean_is_the_reading_on_the_scale_of_comparison(quantity: str) -> None:
    found = model()
    for text in PROBES[quantity]:
        probe = probe_of(quantity, text)
        predictor = Predictor(found, probe)
        for wrong in some_faults(found, 12):
            said = predictor.predict(hypothesis(wrong))
            truth = Truth(found, probe, [as_reference(found, *wrong)]).read()
            assert said.over[0] == math.isinf(float(truth))
            if not said.over[0]:
                wanted = to_z(quantity, np.array(float(truth) + predictor.meter.offset))
                assert said.z[0] == pytest.approx(float(wanted), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("quantity", ["ohm", "volt"])
def test_tolerances_of_parts_move_sound_readings_as_differences_say(quantity: str) -> None:
    found = model(tolerance_pct=dict.fromkeys(SHIPPED.tolerance_pct, 60.0))
    rows = []
    for text in PROBES[quantity]:
        probe = probe_of(quantity, text)
        predictor, truth = Predictor(found, probe), Truth(found, probe, [])
        spread = truth.configuration.spread
        parts = np.flatnonzero((spread > 0) & truth.configuration.present)
        value = np.array(float(truth.read()) + predictor.meter.offset)
        slope = float(z_slope(quantity, value))
        moved = np.array([truth.by_ohm(int(n)) * spread[n] * slope for n in parts])
        rows.append(
            (predictor.predict(hypothesis()), dict(zip(parts.tolist(), moved, strict=True)))
        )
    for said, moved in rows:
        wanted = sum(value**2 for value in moved.values())
        assert squares(said, quantity) == pytest.approx(wanted, rel=2e-3, abs=FAINT)
    for one, other in ((0, 1), (0, 2), (1, 2)):
        parts_both = rows[one][1].keys() & rows[other][1].keys()
        wanted = sum(rows[one][1][n] * rows[other][1][n] for n in parts_both)
        assert together(rows[one][0], rows[other][0]) == pytest.approx(wanted, rel=2e-3, abs=FAINT)


@pytest.mark.parametrize("quantity", ["ohm", "volt"])
def test_tolerances_move_readings_of_a_faulty_loom_too(quantity: str) -> None:
    found = model(tolerance_pct=dict.fromkeys(SHIPPED.tolerance_pct, 60.0))
    for text in PROBES[quantity]:
        probe = probe_of(quantity, text)
        predictor = Predictor(found, probe)
        for wrong in some_faults(found, 10):
            said = predictor.predict(hypothesis(wrong))
            if said.over[0]:
                continue
            truth = Truth(found, probe, [as_reference(found, *wrong)])
            spread = truth.configuration.spread
            # The voltmeter's 10 MΩ beside the loom are left out of the slopes: under 1 %.
            slope = float(z_slope(quantity, np.array(float(truth.read()) + predictor.meter.offset)))
            parts = np.flatnonzero((spread > 0) & truth.configuration.present).tolist()
            wanted = sum((truth.by_ohm(n) * spread[n] * slope) ** 2 for n in parts)
            assert squares(said, quantity) == pytest.approx(wanted, rel=2e-2, abs=FAINT), wrong


def test_the_battery_moves_volts_as_differences_say() -> None:
    found = model(supply_spread_v=5.0)
    battery = found.network.battery
    assert battery is not None
    for text in PROBES["volt"]:
        probe = probe_of("volt", text)
        predictor = Predictor(found, probe)
        for faults in ([], *([wrong] for wrong in some_faults(found, 8))):
            said = predictor.predict(hypothesis(*faults))
            truth = Truth(found, probe, [as_reference(found, *wrong) for wrong in faults])
            wanted = (5.0 * truth.by_volt(battery)) ** 2
            assert squares(said, "volt") == pytest.approx(wanted, rel=2e-3, abs=FAINT), faults


def test_inner_supplies_move_volts_as_differences_say() -> None:
    found = model(inner_supply_spread=0.3)
    for text in PROBES["volt"]:
        probe = probe_of("volt", text)
        said, truth = Predictor(found, probe).predict(hypothesis()), Truth(found, probe, [])
        wanted = sum(
            (0.3 * float(truth.configuration.emf[n]) * truth.by_volt(n)) ** 2
            for n in found.network.inner_supplies
        )
        assert squares(said, "volt") == pytest.approx(wanted, rel=2e-3, abs=FAINT)


@pytest.mark.parametrize("quantity", ["ohm", "volt"])
def test_half_a_cell_of_magnitude_moves_the_reading_as_differences_say(quantity: str) -> None:
    """To first order in the width: the cell is narrow here."""
    found = model()
    width = 0.02
    for text in PROBES[quantity]:
        probe = probe_of(quantity, text)
        predictor = Predictor(found, probe)
        for number, size in some_faults(found, 12):
            if size == 0:
                continue
            h = attrs.evolve(hypothesis((number, size)), width1=np.array([width]))
            said = predictor.predict(h)
            if said.over[0]:
                continue
            ends = [
                float(Truth(found, probe, [as_reference(found, number, size * by)]).read())
                for by in (math.exp(width / 4), math.exp(-width / 4))
            ]
            z = to_z(quantity, np.array(ends) + predictor.meter.offset)
            assert abs(said.cell1[0]) == pytest.approx(abs(z[0] - z[1]), rel=0.02, abs=1e-7)


@pytest.mark.parametrize("tolerance", [1e-6, 0.0])
def test_a_temperature_moves_all_parts_it_warms_together(tolerance: float) -> None:
    """The shift over 6 K, scaled up from that of two looms solved 0.02 K apart."""
    found = model(
        engine_spread_k=6.0, air_spread_k=6.0,
        tolerance_pct=dict.fromkeys(SHIPPED.tolerance_pct, tolerance),
    )  # fmt: skip
    for text in PROBES["ohm"]:
        probe = probe_of("ohm", text)
        wanted = 0.0
        for key in ("engine_c", "air_c", "ambient_c"):
            ends = []
            for by in (0.01, -0.01):
                state = probe.setting.as_state
                warmer = state.changed(**{key: float(state.settings[key]) + by})
                setting = Setting.of(warmer, probe.setting.unplugged)
                moved = Predictor(found, attrs.evolve(probe, setting=setting))
                ends.append(moved.predict(hypothesis()).z[0])
            wanted += (6.0 * (ends[0] - ends[1]) / 0.02) ** 2
        said = Predictor(found, probe).predict(hypothesis())
        assert squares(said, "ohm") == pytest.approx(wanted, rel=2e-3, abs=FAINT)
