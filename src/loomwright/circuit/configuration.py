"""One configuration: a state and what is unplugged, as ohms and volts on every edge."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import hypot, sqrt

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.assumptions import Assumptions
from loomwright.circuit.network import Edge, Network
from loomwright.loom import TEMPERATURE_KEYS, CurvePoint, Element, Job, State, Wire
from loomwright.loom.errors import OutOfRange
from loomwright.loom.state import Value
from loomwright.physics.conductor import wire_resistance
from loomwright.physics.strands import strand_area
from loomwright.physics.thermistor_table import TableCurve
from loomwright.physics.winding import winding_resistance

Floats = NDArray[np.float64]
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
        name, stated = key.removesuffix("_c"), settings.get(key)
        known = isinstance(stated, float)
        celsius = stated if isinstance(stated, float) else job.about.ambient_c
        found[name] = Temperature(celsius, assume.temperature_spread_k(name, stated=known), name)
    for device in job.devices:
        if isinstance(device.temperature, float):
            name = f"{device.temperature:g} °C"
            spread = assume.temperature_spread_k(name, stated=True)
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
        """Ohms, volts, presence, relative spread, relative change per kelvin, what warms it."""
        assume = self.assume
        if edge.wire is not None:
            return self.wire(edge, edge.wire)
        if edge.element is not None:
            return self.element(edge, edge.element)
        if edge.kind == "contact":
            return self.connection(assume.contact_ohm, present=not (edge.plugs & off))
        if edge.kind == "battery":
            # With the key off the posts keep their voltage; only the feed is cut.
            return assume.battery_ohm, self.job.about.supply_v, True, 0.5, 0.0, ""
        if edge.kind == "feed":
            return assume.link_ohm, 0.0, self.state.powered, 0.5, 0.0, ""
        return self.connection(assume.earth_ohm, present=True)

    def connection(self, ohm: float, *, present: bool) -> Row:
        return ohm, 0.0, present, self.assume.connection_spread_ohm / ohm, 0.0, ""

    def wire(self, edge: Edge, wire: Wire) -> Row:
        """Copper by strand build or section and length, and a crimp or splice at each end."""
        assume = self.assume
        if wire.strands and wire.strand_mm:
            area_m2 = wire.strands * float(strand_area(1.0, wire.strand_mm * 1e-3))
        else:
            area_m2 = (wire.section_mm2 or assume.wire_section_mm2) * 1e-6
        length_m = assume.wire_length_m if wire.length_mm is None else wire.length_mm * 1e-3
        ambient = self.temperatures["ambient"].celsius
        warm = 1.0 + assume.copper_per_k * (ambient - 20.0)
        copper = warm * float(
            wire_resistance(
                length_m,
                area_m2,
                resistivity_ohm_m=assume.resistivity_ohm_m,
                lay_factor=assume.lay_factor,
            )
        )
        ends = sum(assume.crimp_ohm if end.terminal else assume.splice_ohm for end in edge.at)
        known = wire.length_mm is not None
        spread = hypot(
            (assume.wire_spread if known else 0.5) * copper, assume.connection_spread_ohm
        )
        return copper + ends, 0.0, True, spread / (copper + ends), 0.0, ""

    def element(self, edge: Edge, element: Element) -> Row:
        assume = self.assume
        percent = element.tolerance_pct
        spread = rectangular(assume.tolerance_pct[element.kind] if percent is None else percent)
        if edge.kind == "pull_up":
            volts = element.pull_up_v or 0.0
            return element.pull_up_ohm or 0.0, volts, self.state.powered, spread, 0.0, ""
        if element.kind == "link":
            ohm = assume.link_ohm if element.ohm is None else element.ohm
            return ohm, 0.0, True, spread, 0.0, ""
        if element.kind == "contact":
            closed = element.closed_when is None or element.closed_when.holds(self.settings)
            ohm = assume.closed_contact_ohm if element.ohm is None else element.ohm
            return ohm, 0.0, closed, spread, 0.0, ""
        if element.kind == "diode":
            # Blocking: an ohmmeter's test voltage stays below the knee, and a suppression diode
            # across a coil is reversed by the supply.
            return 1.0, 0.0, False, 0.0, 0.0, ""
        return self.warmed(element, spread)

    def warmed(self, element: Element, spread: float) -> Row:
        """Thermistors and windings at their device's temperature; resistors do not care."""
        source = self.source_of[element.device]
        celsius = self.temperatures[source].celsius
        if element.kind == "thermistor" and element.curve in self.curves:
            curve = self.curves[element.curve]
            own = curve.spread_at(celsius) if element.tolerance_pct is None else None
            ohm, slope = float(curve.table.ohm(celsius)), float(curve.table.alpha(celsius))
            return ohm, 0.0, True, spread if own is None else own, slope, source
        if element.kind == "winding":
            alpha = self.assume.copper_per_k
            ohm = float(winding_resistance(element.ohm or 0.0, celsius, alpha_per_k=alpha))
            return ohm, 0.0, True, spread, alpha / (1.0 + alpha * (celsius - 20.0)), source
        return element.ohm or 0.0, 0.0, True, spread, 0.0, ""


@attrs.frozen(eq=False)
class Curve:
    """A thermistor's curve of a job, with its own tolerances.

    Attributes
    ----------
    table : resistance against temperature, and back
    tolerance_c, tolerance_pct : temperatures [°C] at which a tolerance [%] is given
    """

    table: TableCurve
    tolerance_c: Floats
    tolerance_pct: Floats

    def spread_at(self, celsius: float) -> float | None:
        """Relative standard uncertainty from the rows' own tolerance, None where none is given."""
        if not len(self.tolerance_c):
            return None
        return rectangular(float(np.interp(celsius, self.tolerance_c, self.tolerance_pct)))


def curves_of(rows: Iterable[CurvePoint]) -> dict[str, Curve]:
    """The curves of a job by name; a curve that is not one (one point, not falling) is left out."""
    by_name: dict[str, list[CurvePoint]] = {}
    for row in rows:
        by_name.setdefault(row.curve, []).append(row)
    found: dict[str, Curve] = {}
    for name, points in by_name.items():
        points.sort(key=lambda point: point.temperature_c)
        known = [(p.temperature_c, p.tolerance_pct) for p in points if p.tolerance_pct is not None]
        try:
            table = TableCurve([p.temperature_c for p in points], [p.ohm for p in points])
        except OutOfRange:
            continue
        found[name] = Curve(
            table, np.array([c for c, _ in known]), np.array([pct for _, pct in known])
        )
    return found


def rectangular(percent: float) -> float:
    """Relative standard uncertainty of a part that may be off by so many percent (GUM 4.3.7)."""
    return percent / 100.0 / sqrt(3.0)
