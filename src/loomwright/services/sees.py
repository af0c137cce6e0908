"""What the control unit sees meanwhile: believed temperatures, lost injector current."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import attrs
import numpy as np

from loomwright.circuit import Bench, Curve, Edge, Ports, Scenarios, curves_of
from loomwright.circuit.configuration import Floats
from loomwright.diagnosis import Advisor, Model, Setting
from loomwright.diagnosis.gain import Sample
from loomwright.diagnosis.harm import control_plugs
from loomwright.loom import Element, Job, Point, State
from loomwright.loom.errors import OutOfRange
from loomwright.physics.coil import opening_delay
from loomwright.services.diagnose import Diagnosed, diagnose
from loomwright.services.numbers import plain, weighted_quantiles

ENGINE_TEMPERATURES_C = (-10.0, 20.0, 60.0, 80.0, 95.0)
_LEAST_SHARE = 0.15


@attrs.frozen(kw_only=True)
class Believed:
    """What the control unit believes at one true temperature.

    Attributes
    ----------
    true_c : the true temperature [°C]
    now : whether it is that of the last reading
    low_c, believed_c, high_c : 5, 50 and 95 percent of what is believed [°C]
    error_k : believed less true, at the middle [K]
    tolerance_k : what a good part may be off by [K]
    fuel_pct : fuelling error at the middle [%], None without a fuelling table
    """

    true_c: float
    now: bool
    low_c: float
    believed_c: float
    high_c: float
    error_k: float
    tolerance_k: float
    fuel_pct: float | None


@attrs.frozen(kw_only=True)
class SensorSeen:
    """One sensor as the control unit sees it."""

    element: str
    device: str
    input_pin: str
    rows: tuple[Believed, ...]


@attrs.frozen(kw_only=True)
class InjectorSeen:
    """One coil as the control unit drives it.

    Attributes
    ----------
    current_a : current with nothing wrong [A]
    lost_pct : 5, 50 and 95 percent of the share of it that is lost [%]
    delay_ms : the same of the later opening [ms], infinite when it does not open; None without
        inductance
    """

    element: str
    device: str
    current_a: float
    lost_pct: tuple[float, float, float]
    delay_ms: tuple[float, float, float] | None


@attrs.frozen(kw_only=True)
class SeesReport:
    """What the control unit sees, given the readings of a job."""

    job: str
    sensors: tuple[SensorSeen, ...]
    injectors: tuple[InjectorSeen, ...]

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "sensors": [
                {
                    "element": sensor.element,
                    "device": sensor.device,
                    "input": sensor.input_pin,
                    "at": [
                        {
                            "true_c": plain(row.true_c),
                            "now": row.now,
                            "believed_c": [
                                plain(row.low_c), plain(row.believed_c), plain(row.high_c)
                            ],
                            "error_k": plain(row.error_k, 3),
                            "tolerance_k": plain(row.tolerance_k, 3),
                            "fuel_pct": None if row.fuel_pct is None else plain(row.fuel_pct, 3),
                        }
                        for row in sensor.rows
                    ],
                }
                for sensor in self.sensors
            ],
            "injectors": [
                {
                    "element": each.element,
                    "device": each.device,
                    "current_a": plain(each.current_a, 3),
                    "lost_pct": [plain(value, 3) for value in each.lost_pct],
                    "delay_ms": None
                    if each.delay_ms is None
                    else [plain(value, 3) for value in each.delay_ms],
                }
                for each in self.injectors
            ],
        }  # fmt: skip


def sees(job: Job, found: Diagnosed | None = None) -> SeesReport:
    """What the control unit believes and drives, over all that may be wrong.

    Parameters
    ----------
    job : the job
    found : its diagnosis, where that is already made
    """
    view = _View(found or diagnose(job))
    return SeesReport(
        job=job.about.title,
        sensors=tuple(view.sensors()),
        injectors=tuple(view.injectors()),
    )


class _View:
    """The loom from the control unit's side, over a sample of the posterior."""

    def __init__(self, found: Diagnosed) -> None:
        self.model: Model = found.diagnosis.model
        posterior = found.posterior
        self.sample: Sample = Advisor(found.diagnosis).sample(posterior)
        readings = found.used
        self.state = readings[-1].state if readings else State()
        self.loom = self.model.network.topology
        self.plugs = control_plugs(self.loom)

    def sensors(self) -> Iterator[SensorSeen]:
        curves = curves_of(self.model.job.curves)
        for element in self.model.job.elements:
            if element.kind != "input" or not (element.pull_up_ohm and element.pull_up_v):
                continue
            if element.device not in self.loom.devices:
                continue
            edge = self._sensor_of(element)
            sensor = None if edge is None else edge.element
            if sensor is not None and sensor.curve in curves:
                yield SensorSeen(
                    element=sensor.element,
                    device=sensor.device,
                    input_pin=f"{element.device}.{element.from_pin}",
                    rows=tuple(self._rows(element, sensor, curves[sensor.curve])),
                )

    def _sensor_of(self, element: Element) -> Edge | None:
        """The thermistor that takes most of an input's current."""
        solved = self.model.solved(self._live())
        a, b = self._pins(element)
        best: tuple[float, Edge | None] = (_LEAST_SHARE, None)
        for number, edge in enumerate(self.model.network.edges):
            if edge.element is not None and edge.element.kind == "thermistor":
                at = np.array([number])
                share = abs(float((solved.c(np.array([b]), at) - solved.c(np.array([a]), at))[0]))
                best = max(best, (share, edge), key=lambda pair: pair[0])
        return best[1]

    def _rows(self, element: Element, sensor: Element, curve: Curve) -> Iterator[Believed]:
        source = self.loom.devices[sensor.device].temperature
        now = self.state.settings.get(f"{source}_c")
        wanted = dict.fromkeys(ENGINE_TEMPERATURES_C, False)
        if isinstance(now, float):
            wanted = {**wanted, now: True}
        if source not in ("engine", "air"):
            return
        low_c, high_c = curve.table.range_c
        for celsius, is_now in sorted(wanted.items()):
            if not low_c <= celsius <= high_c:
                continue  # the curve says nothing of what the sensor has there
            believed = self._believed(element, curve, {f"{source}_c": celsius})
            low, middle, high = weighted_quantiles(believed, self.sample.probability)
            spread = curve.spread_at(celsius) or 0.03
            yield Believed(
                true_c=celsius,
                now=is_now,
                low_c=low,
                believed_c=middle,
                high_c=high,
                error_k=middle - celsius,
                tolerance_k=2.0 * spread / abs(float(curve.table.alpha(celsius))),
                fuel_pct=self._fuel(sensor, celsius, middle),
            )

    def _believed(self, element: Element, curve: Curve, temperatures: dict[str, float]) -> Floats:
        """Temperature [°C] each member of the sample makes the control unit believe."""
        bench, scenarios = self._bench(self._live(**temperatures), *self._pins(element))
        volts = bench.read(np.zeros(len(scenarios), np.int64), scenarios).volt
        inner_ohm, inner_v = element.pull_up_ohm or 0.0, element.pull_up_v or 0.0
        share = np.clip(volts / inner_v, 1e-9, 1.0 - 1e-9)
        ohm = inner_ohm * share / (1.0 - share)
        low, high = curve.table.range_ohm
        # Beyond the curve the control unit knows no temperature: the end of it is believed.
        return np.asarray(curve.table.temperature(np.clip(ohm, low, high)))

    def _fuel(self, sensor: Element, true_c: float, believed_c: float) -> float | None:
        rows = sorted(
            (row.temperature_c, row.factor)
            for row in self.model.job.fuelling
            if row.curve == sensor.curve
        )
        if len(rows) < 2:
            return None
        celsius, factor = (np.array(column) for column in zip(*rows, strict=True))
        given, right = np.interp([believed_c, true_c], celsius, factor)
        return float(100.0 * (given / right - 1.0)) if right > 0 else None

    def injectors(self) -> Iterator[InjectorSeen]:
        for number, edge in enumerate(self.model.network.edges):
            element = edge.element
            if element is None or element.kind != "winding" or element.pull_in_a is None:
                continue
            way = self._driving_way(number)
            if way is not None:
                yield self._injector(element, number, way)

    def _driving_way(self, edge: int) -> tuple[int, int] | None:
        """Control cavity and rail between which a coil takes the largest share."""
        setting = self._dead()
        solved = self.model.solved(setting)
        rails = [self.model.network.earth, self.model.network.supply]
        best: tuple[float, tuple[int, int] | None] = (_LEAST_SHARE, None)
        for plug in self.plugs:
            for name in self.loom.plugs[plug].face.cavities:
                node = self.model.network.node_of.get(Point(plug, name))
                for rail in rails:
                    if node is None or rail is None or solved.island[node] != solved.island[rail]:
                        continue
                    at = np.array([edge])
                    ends = (np.array([node]), np.array([rail]))
                    share = abs(float((solved.c(ends[1], at) - solved.c(ends[0], at))[0]))
                    best = max(best, (share, (node, rail)), key=lambda pair: pair[0])
        return best[1]

    def _injector(self, element: Element, edge: int, way: tuple[int, int]) -> InjectorSeen:
        supply = self.model.job.about.supply_v
        bench, scenarios = self._bench(self._dead(), *way)
        zero = np.zeros(len(scenarios), np.int64)
        outcome = bench.read(zero, scenarios)
        share = np.abs(bench.sensitivity(zero, scenarios, outcome, np.full(len(zero), edge)))
        with np.errstate(divide="ignore"):
            amps = np.where(np.isinf(outcome.ohm), 0.0, supply / outcome.ohm) * share
        base = bench.base()
        nothing = Scenarios(zero[:1] - 1, np.zeros(1), zero[:1] - 1, np.zeros(1))
        sound_share = np.abs(bench.sensitivity(zero[:1], nothing, base, np.array([edge])))
        sound = float(supply / base.ohm[0] * sound_share[0])
        lost = 100.0 * (1.0 - amps / sound)
        weights = self.sample.probability
        return InjectorSeen(
            element=element.element,
            device=element.device,
            current_a=sound,
            lost_pct=weighted_quantiles(lost, weights),
            delay_ms=self._delays(element, supply, sound, amps),
        )

    def _delays(
        self, element: Element, supply: float, sound: float, amps: Floats
    ) -> tuple[float, float, float] | None:
        if not element.inductance_mh or not element.pull_in_a:
            return None
        ohm = supply / sound
        opens = amps > element.pull_in_a
        delays = np.full(len(amps), math.inf)
        # Where the sound loop itself does not reach the pull-in current, none opens.
        with suppress(OutOfRange):
            delays[opens] = 1e3 * np.asarray(
                opening_delay(
                    np.maximum(supply / amps[opens] - ohm, 0.0),
                    pull_in_a=element.pull_in_a,
                    supply_v=supply,
                    ohm=ohm,
                    inductance_h=element.inductance_mh * 1e-3,
                )
            )
        return weighted_quantiles(delays, self.sample.probability)

    def _bench(self, setting: Setting, a: int, b: int) -> tuple[Bench, Scenarios]:
        solved = self.model.solved(setting)
        tests = Ports.shunt(np.array([a]), np.array([b]))
        bench = Bench.of(solved, tests, self.model.ports)
        return bench, self.model.scenarios(solved, self.sample.hypotheses)

    def _pins(self, element: Element) -> tuple[int, int]:
        node_of = self.model.network.node_of
        return (
            node_of[Point(element.device, element.from_pin)],
            node_of[Point(element.device, element.to_pin)],
        )

    def _live(self, **settings: float) -> Setting:
        return Setting.of(self.state.changed(key="on", **settings), ())

    def _dead(self) -> Setting:
        return Setting.of(self.state.changed(key="off"), self.plugs)
