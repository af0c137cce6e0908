"""Hot and cold: part series resistance, leak and sensor shift of each thermistor circuit."""

from __future__ import annotations

import math
from typing import Any

import attrs
import numpy as np

from loomwright.circuit import curves_of
from loomwright.diagnosis import Diagnosis, Predictor, Taken
from loomwright.diagnosis.scale import from_z
from loomwright.loom import Reading
from loomwright.physics.separation import CircuitReadings, Explanation, separate
from loomwright.services.numbers import plain

_MAIN = 0.9  # the sensor carries nearly the whole current
_APART_K = 10.0
_PASS_BAND = 0.25  # a published band at 80 °C is 250 to 390 ohm about 324; see docs/diagnosis.md


@attrs.frozen
class Separated:
    """What the readings of one thermistor circuit say together.

    Attributes
    ----------
    element, device : the thermistor
    readings : names of the readings used
    explanations : best first; see `physics.separation`
    hidden_by_band : readings that a pass band of the part's own tolerance would have let through
    """

    element: str
    device: str
    readings: tuple[str, ...]
    explanations: tuple[Explanation, ...]
    hidden_by_band: tuple[str, ...]

    def json(self) -> dict[str, Any]:
        """The separation as the documented JSON."""
        return {
            "element": self.element,
            "device": self.device,
            "readings": list(self.readings),
            "hidden_by_band": list(self.hidden_by_band),
            "explanations": [
                {
                    "causes": list(each.causes),
                    "series_ohm": plain(each.series_ohm),
                    "series_sd": plain(each.series_sd),
                    "leak_ohm": plain(each.leak_ohm),
                    "shift_k": plain(each.shift_k),
                    "shift_sd": plain(each.shift_sd),
                    "chi_square": plain(each.chi_square),
                }
                for each in self.explanations
            ],
        }


def separations(diagnosis: Diagnosis, used: tuple[Reading, ...]) -> tuple[Separated, ...]:
    """Every thermistor circuit read at two temperatures or more, taken apart.

    Only readings whose current goes almost wholly through the one thermistor count, and only
    while its plug was on: a sensor read by itself has no circuit around it.
    """
    model = diagnosis.model
    curves = curves_of(model.job.curves)
    found = []
    for number, edge in enumerate(model.network.edges):
        element = edge.element
        if element is None or element.kind != "thermistor" or element.curve not in curves:
            continue
        through = [
            (reading, taken)
            for reading, taken in zip(used, diagnosis.taken, strict=True)
            if _main_path(taken.predictor, number) and math.isfinite(reading.value)
        ]
        temperatures = [_celsius(taken, number) for _, taken in through]
        if len(through) < 2 or max(temperatures) - min(temperatures) < _APART_K:
            continue
        tolerance = curves[element.curve].spread_at(temperatures[0]) or 0.05
        found.append(
            Separated(
                element.element,
                element.device,
                tuple(reading.reading for reading, _ in through),
                separate(
                    _circuit_readings(through, number),
                    ohm_at=curves[element.curve].table.ohm,
                ),
                tuple(_hidden(through, tolerance)),
            )
        )
    return tuple(found)


def _main_path(predictor: Predictor, edge: int) -> bool:
    if predictor.probe.quantity != "ohm":
        return False
    solved, tests = predictor.solved, predictor.bench.tests
    if solved.edge_island[edge] < 0 or predictor.bench.base().ohm[0] == np.inf:
        return False
    at = np.array([edge])
    share = abs(float((solved.c(tests.b, at) - solved.c(tests.a, at))[0]))
    plugged = predictor.model.network.topology
    element = predictor.model.network.edges[edge].element
    own = {str(plug.plug) for plug in plugged.mated_by[element.device]} if element else set()
    return share > _MAIN and not own & predictor.probe.setting.unplugged


def _celsius(taken: Taken, edge: int) -> float:
    configuration = taken.predictor.solved.configuration
    return configuration.temperatures[configuration.temperature[edge]].celsius


def _circuit_readings(through: list[tuple[Reading, Taken]], edge: int) -> CircuitReadings:
    """Values less the leads and the rest of the circuit, with their uncertainties."""
    ohms, spreads, celsius, kelvins = [], [], [], []
    for reading, taken in through:
        predictor = taken.predictor
        configuration = predictor.solved.configuration
        sensor = configuration.ohm[edge]
        rest = float(predictor.bench.base().ohm[0]) - sensor + predictor.meter.offset
        value = np.array(reading.value)
        own = predictor.meter.own_spread(value, predictor.model.assume.probe_spread_ohm)
        ohms.append(max(reading.value - rest, 0.01))
        spreads.append(float(np.hypot(own, predictor.meter.gain_spread(value))))
        temperature = configuration.temperatures[configuration.temperature[edge]]
        celsius.append(temperature.celsius)
        kelvins.append(temperature.spread_k)
    return CircuitReadings.of(
        np.array(ohms),
        np.array(celsius),
        ohm_uncertainty=np.array(spreads),
        temperature_uncertainty_k=np.array(kelvins),
    )


def _hidden(through: list[tuple[Reading, Taken]], tolerance: float) -> list[str]:
    """Readings inside the usual pass band, a quarter either side of nominal."""
    hidden = []
    for reading, taken in through:
        nominal = float(from_z("ohm", taken.predicted.z[0]))
        if abs(reading.value - nominal) <= max(_PASS_BAND, 2 * tolerance) * nominal:
            hidden.append(str(reading.reading))
    return hidden
