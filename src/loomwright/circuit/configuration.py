"""One configuration: a state and what is unplugged, as ohms and volts on every edge."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.assumptions import Assumptions
from loomwright.circuit.network import Edge, Network
from loomwright.loom import TEMPERATURE_KEYS, CurvePoint, Job, State
from loomwright.loom.state import Value
from loomwright.physics import conductor, thermistor, winding

Floats = NDArray[np.float64]
_ZERO_CELSIUS = 273.15
_FLOOR_OHM = 1e-6  # a loop of nothing but zeros has no unique currents


@attrs.frozen
class Temperature:
    """A temperature [°C] with its standard uncertainty [K] and the name of what sets it."""

    celsius: float
    spread_k: float
    source: str


@attrs.frozen(eq=False)
class Configuration:
    """Ohms and volts on every edge in one state with some plugs off.

    Attributes
    ----------
    state, unplugged : what holds
    ohm : resistance of each edge [ohm], shape (edges,)
    emf : voltage rise from tail to head [V], shape (edges,)
    present : whether the edge carries current at all, shape (edges,)
    spread : relative standard uncertainty of each edge's own resistance, shape (edges,)
    per_kelvin : relative change of resistance with temperature [1/K], shape (edges,)
    temperature : per edge the name of what sets its temperature, "" where it does not matter
    temperatures : the temperatures by name
    """

    state: State
    unplugged: frozenset[str]
    ohm: Floats
    emf: Floats
    present: NDArray[np.bool_]
    spread: Floats
    per_kelvin: Floats
    temperature: tuple[str, ...]
    temperatures: Mapping[str, Temperature]

    @property
    def powered(self) -> bool:
        """Whether a supply feeds the loom."""
        return self.state.powered


def configure(
    network: Network, state: State, unplugged: Iterable[str] = (), *, assume: Assumptions
) -> Configuration:
    """Put a network into a state with some plugs off.

    Parameters
    ----------
    network : the loom
    state : key, throttle, temperatures
    unplugged : plugs that are off
    assume : what to take where the job is silent
    """
    off = frozenset(unplugged)
    temperatures = _temperatures(network.job, state, assume)
    valued = _Values(network.job, state, temperatures, assume)
    rows = [valued.edge(edge, off) for edge in network.edges]
    columns = list(zip(*rows, strict=True)) if rows else [()] * 6
    return Configuration(
        state=state,
        unplugged=off,
        ohm=np.maximum(np.array(columns[0], dtype=float), _FLOOR_OHM),
        emf=np.array(columns[1], dtype=float),
        present=np.array(columns[2], dtype=bool),
        spread=np.array(columns[3], dtype=float),
        per_kelvin=np.array(columns[4], dtype=float),
        temperature=tuple(columns[5]),
        temperatures=temperatures,
    )


def _temperatures(job: Job, state: State, assume: Assumptions) -> dict[str, Temperature]:
    settings = state.settings
    found: dict[str, Temperature] = {}
    for key in TEMPERATURE_KEYS:
        name = key.removesuffix("_c")
        stated = settings.get(key)
        if isinstance(stated, float):
            found[name] = Temperature(stated, assume.stated_temperature_spread_k, name)
        else:
            found[name] = Temperature(job.about.ambient_c, assume.unstated_temperature_spread_k, name)
    for device in job.devices:
        if isinstance(device.temperature, float):
            name = f"{device.temperature:g} °C"
            spread = assume.stated_temperature_spread_k
            found[name] = Temperature(device.temperature, spread, name)
    return found


Row = tuple[float, float, bool, float, float, str]


class _Values:
    """Ohms, volts and spreads of each kind of edge."""

    def __init__(
        self,
        job: Job,
        state: State,
        temperatures: Mapping[str, Temperature],
        assume: Assumptions,
    ) -> None:
        self.job, self.state, self.assume = job, state, assume
        self.settings: dict[str, Value] = state.settings
        self.temperatures = temperatures
        self.source_of = {
            device.device: (
                f"{device.temperature:g} °C"
                if isinstance(device.temperature, float)
                else device.temperature
            )
            for device in job.devices
        }
        self.curves = curves_of(job.curves)

    def edge(self, edge: Edge, off: frozenset[str]) -> Row:
        assume = self.assume
        if edge.kind == "wire":
            return self.wire(edge)
        if edge.kind == "contact":
            return self.connection(assume.contact_ohm, present=not (edge.plugs & off))
        if edge.kind in ("earth", "case"):
            return self.connection(assume.earth_ohm)
        if edge.kind == "battery":
            volts = self.job.about.supply_v
            # With the key off the posts keep their voltage; only the feed is cut.
            return assume.battery_ohm, volts, True, 0.0, 0.0, ""
        if edge.kind == "feed":
            return assume.link_ohm, 0.0, self.state.powered, 0.0, 0.0, ""
        return self.element(edge)

    def connection(self, ohm: float, *, present: bool = True) -> Row:
        return ohm, 0.0, present, self.assume.connection_spread_ohm / ohm, 0.0, ""

    def wire(self, edge: Edge) -> Row:
        wire, assume = edge.wire, self.assume
        if wire is None:
            raise TypeError("a wire edge without its wire")
        if wire.strands and wire.strand_mm:
            area_mm2 = float(np.pi) / 4 * wire.strands * wire.strand_mm**2
        else:
            area_mm2 = wire.section_mm2 or assume.wire_section_mm2
        length_m = assume.wire_length_m if wire.length_mm is None else wire.length_mm / 1000
        copper = float(
            conductor.resistance(
                resistivity_ohm_m=assume.resistivity_ohm_m * assume.lay_factor,
                area_m2=area_mm2 * 1e-6,
                length_m=length_m,
                temperature_c=self.temperatures["ambient"].celsius,
                alpha_per_k=assume.copper_per_k,
            )
        )
        crimps = assume.crimp_ohm * 2
        total = copper + crimps
        known = wire.length_mm is not None and wire.section_mm2 is not None
        spread = (assume.wire_spread if known else 0.5) * copper
        return total, 0.0, True, float(np.hypot(spread, assume.connection_spread_ohm)) / total, 0.0, ""

    def element(self, edge: Edge) -> Row:
        element, assume = edge.element, self.assume
        if element is None:
            raise TypeError("an element edge without its element")
        if edge.kind == "pull_up":
            ohm = element.pull_up_ohm or 0.0
            volts = element.pull_up_v or 0.0
            return ohm, volts, self.state.powered, 0.01, 0.0, ""
        tolerance = element.tolerance_pct
        if tolerance is None:
            tolerance = assume.tolerance_pct(element.kind)
        spread = tolerance / 100 / np.sqrt(3.0)  # a rectangular band, GUM type B
        if element.kind == "link":
            return element.ohm or assume.link_ohm, 0.0, True, 0.5, 0.0, ""
        if element.kind == "contact":
            closed = element.closed_when is None or element.closed_when.holds(self.settings)
            return element.ohm or assume.closed_contact_ohm, 0.0, closed, spread, 0.0, ""
        if element.kind == "diode":
            # Blocking: an ohmmeter's test voltage stays below the knee, and a suppression diode
            # across a coil is reversed by the supply.
            return 1.0, 0.0, False, 0.0, 0.0, ""
        return self.warmed(edge, float(spread))

    def warmed(self, edge: Edge, spread: float) -> Row:
        element = edge.element
        if element is None:
            raise TypeError("an element edge without its element")
        source = self.source_of.get(element.device, "ambient")
        celsius = self.temperatures[source].celsius
        if element.kind == "thermistor" and element.curve in self.curves:
            curve = self.curves[element.curve]
            ohm = float(curve.resistance(celsius + _ZERO_CELSIUS))
            slope = float(curve.slope(celsius + _ZERO_CELSIUS))
            return ohm, 0.0, True, max(spread, curve.spread_at(celsius)), slope, source
        if element.kind == "winding":
            alpha = self.assume.copper_per_k
            ohm = float(winding.resistance(element.ohm or 0.0, temperature_c=celsius, alpha_per_k=alpha))
            return ohm, 0.0, True, spread, alpha / (1 + alpha * (celsius - 20.0)), source
        return element.ohm or 0.0, 0.0, True, spread, 0.0, ""


@attrs.frozen(eq=False)
class Curve:
    """A thermistor's table: resistance against absolute temperature, and back.

    Attributes
    ----------
    kelvin, ohm : the table, rising temperature [K] and resistance [ohm]
    tolerance_pct : tolerance at each row [%], NaN where not given
    """

    kelvin: Floats
    ohm: Floats
    tolerance_pct: Floats

    def resistance(self, kelvin: float | Floats) -> Floats:
        """Resistance [ohm] at a temperature [K]; through every row of the table."""
        return np.asarray(thermistor.table_resistance(kelvin, self.kelvin, self.ohm), dtype=float)

    def temperature(self, ohm: float | Floats) -> Floats:
        """Temperature [K] at a resistance [ohm]."""
        return np.asarray(thermistor.table_temperature(ohm, self.kelvin, self.ohm), dtype=float)

    def slope(self, kelvin: float | Floats) -> Floats:
        """Relative slope [1/K] by a central difference over 1 K."""
        at = np.asarray(kelvin, dtype=float)
        return np.log(self.resistance(at + 0.5) / self.resistance(at - 0.5))

    def spread_at(self, celsius: float) -> float:
        """Relative standard uncertainty from the table's own tolerance, 0 where not given."""
        known = np.isfinite(self.tolerance_pct)
        if not known.any():
            return 0.0
        pct = np.interp(celsius + _ZERO_CELSIUS, self.kelvin[known], self.tolerance_pct[known])
        return float(pct / 100 / np.sqrt(3.0))


def curves_of(rows: Iterable[CurvePoint]) -> dict[str, Curve]:
    """The curves of a job by name; a curve of fewer than two points is left out."""
    by_name: dict[str, list[CurvePoint]] = {}
    for row in rows:
        by_name.setdefault(row.curve, []).append(row)
    found: dict[str, Curve] = {}
    for name, points in by_name.items():
        points.sort(key=lambda point: point.temperature_c)
        if len(points) < 2:
            continue
        tolerance = [np.nan if p.tolerance_pct is None else p.tolerance_pct for p in points]
        found[name] = Curve(
            np.array([p.temperature_c + _ZERO_CELSIUS for p in points]),
            np.array([p.ohm for p in points]),
            np.array(tolerance, dtype=float),
        )
    return found
