"""How warm each wire's conductor runs: its surroundings and the rise by current in its bundle.

The rise is that of a single wire in air at a current raised by what a bundle leaves of it
(`standards.bundle_factor`). Reckoned on every stretch of the way; the warmest counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from math import inf, pi

import attrs
import numpy as np

from loomwright import standards
from loomwright.loom import Job, Wire
from loomwright.physics.current_heating import current_capacity, current_rise
from loomwright.repair.heat_zones import HeatZones, Stretch
from loomwright.repair.wire_current import WireCurrent, wire_currents
from loomwright.standards import RatedPoint, Told

_LOADS_PCT = (20.0, 40.0, 60.0, 80.0, 100.0)


@attrs.frozen(kw_only=True)
class StretchHeat:
    """One wire on one stretch of its way.

    Attributes
    ----------
    stretch : where, its zone and its neighbours
    loading_pct : share of the bundle's capacity in use [%]; 20 is the least there is a curve for
    factor : what the bundle leaves of a single wire's current [1]
    rise_k : by current [K]; infinite where it would heat without end
    conductor_c : temperature of the conductor while running [°C]
    """

    stretch: Stretch
    loading_pct: float
    factor: float
    rise_k: float
    conductor_c: float


@attrs.frozen(kw_only=True)
class WireHeat:
    """One wire's conductor on its warmest stretch.

    Attributes
    ----------
    wire : its name
    insulation : what its insulation says
    current : what it carries
    section_mm2 : area of copper reckoned with [mm²]
    stretches : every stretch whose zone is known, in the order of the way
    starting_c : conductor on its warmest stretch if the starter turned without end [°C]; None where
        that is no warmer, or not known
    capacity_a : current that brings it to its class on the warmest stretch [A]; 0 where the
        surroundings do already, None where class or zone is not known
    unknown : what is not known and matters
    """

    wire: str
    insulation: Told
    current: WireCurrent
    section_mm2: float
    stretches: tuple[StretchHeat, ...]
    starting_c: float | None
    capacity_a: float | None
    unknown: tuple[str, ...]

    @property
    def worst(self) -> StretchHeat | None:
        """The stretch with the warmest conductor."""
        return max(self.stretches, key=lambda each: each.conductor_c, default=None)

    @property
    def headroom_k(self) -> float | None:
        """From the warmest conductor to the class temperature [K]; below 0 it is too warm."""
        if self.worst is None or self.insulation.class_c is None or self.current.current_a is None:
            return None
        return self.insulation.class_c - self.worst.conductor_c


@attrs.define(slots=False, eq=False)
class Bundles:
    """The loom's bundles under the current of its wires.

    Attributes
    ----------
    job : the loom
    currents : what its wires carry
    value : defaults by name: `wire_section` and those of `wire_currents`
    """

    job: Job
    currents: Mapping[str, WireCurrent]
    value: Mapping[str, float]

    @classmethod
    def of(cls, job: Job, value: Mapping[str, float]) -> Bundles:
        """The bundles of a loom under the current that its own circuit gives its wires."""
        return cls(job, {each.wire: each for each in wire_currents(job, value=value)}, value)

    @cached_property
    def heats(self) -> tuple[WireHeat, ...]:
        """Every wire, in the order of the sheet."""
        return tuple(self.heat(wire) for wire in self.job.wires)

    @cached_property
    def zones(self) -> HeatZones:
        """Where what lies."""
        return HeatZones(self.job)

    @cached_property
    def alpha_per_k(self) -> float:
        """Temperature coefficient of copper [1/K]."""
        return standards.copper("temperature_coefficient").value

    @cached_property
    def section(self) -> dict[str, float]:
        """Area of each wire's copper [mm²], the default where it is not told."""
        return {str(w.wire): copper_mm2(w) or self.value["wire_section"] for w in self.job.wires}

    @cached_property
    def rated(self) -> dict[str, RatedPoint]:
        """Rating of each wire alone in air."""
        return {name: standards.free_air(mm2) for name, mm2 in self.section.items()}

    def factor(self, wire: str, stretch: Stretch, *, allowed_k: float) -> tuple[float, float]:
        """Loading [%] of the bundle on a stretch, and what it leaves of a single wire's current.

        The capacity of a bundle hangs on its loading, so the loading is read where both agree.
        """
        count = max(len(stretch.wires), 1)
        held = [self.currents[name].lasting_a or 0.0 for name in stretch.wires]
        alone = sum(self.rated[name].current_a for name in stretch.wires)
        point = self.rated[wire]
        rise = allowed_k if allowed_k > 0 else point.rise_k
        ambient = stretch.running_c if stretch.running_c is not None else point.ambient_c
        scale = self.capacity(wire, 1.0, rise_k=rise, ambient_c=ambient) / point.current_a
        used = sum(held) / (alone * scale) if alone else 0.0
        shares = [load / 100 * standards.bundle_factor(count, load) for load in _LOADS_PCT]
        loading = float(np.interp(used, shares, _LOADS_PCT))
        return loading, standards.bundle_factor(count, round(loading, 1))

    def capacity(self, wire: str, factor: float, *, rise_k: float, ambient_c: float) -> float:
        """Current [A] that brings a wire to a rise [K] in a bundle."""
        point = self.rated[wire]
        return float(current_capacity(
            rise_k, ambient_c=ambient_c, rated_a=point.current_a * factor,
            rated_rise_k=point.rise_k, rated_ambient_c=point.ambient_c,
            alpha_per_k=self.alpha_per_k,
        ))  # fmt: skip

    def rise(self, wire: str, current_a: float, factor: float, *, ambient_c: float) -> float:
        """Rise [K] of a wire in a bundle by a current [A]."""
        point = self.rated[wire]
        return float(current_rise(
            current_a, ambient_c=ambient_c, rated_a=point.current_a * factor,
            rated_rise_k=point.rise_k, rated_ambient_c=point.ambient_c,
            alpha_per_k=self.alpha_per_k,
        ))  # fmt: skip

    def on(self, wire: str, stretch: Stretch, *, class_c: float | None) -> StretchHeat | None:
        """A wire on one stretch; None where its zone is not known."""
        ambient = stretch.running_c
        if ambient is None:
            return None
        allowed = 0.0 if class_c is None else class_c - ambient
        loading, factor = self.factor(wire, stretch, allowed_k=allowed)
        rise = self.rise(wire, self.currents[wire].lasting_a or 0.0, factor, ambient_c=ambient)
        return StretchHeat(
            stretch=stretch, loading_pct=loading, factor=factor, rise_k=rise,
            conductor_c=ambient + rise,
        )  # fmt: skip

    def heat(self, wire: Wire) -> WireHeat:
        """A wire on its whole way."""
        name = str(wire.wire)
        told = standards.insulation(wire.insulation)
        ways = self.zones.stretches(wire)
        found = [self.on(name, each, class_c=told.class_c) for each in ways]
        known = tuple(each for each in found if each is not None)
        return WireHeat(
            wire=name,
            insulation=told,
            current=self.currents[name],
            section_mm2=self.section[name],
            stretches=known,
            starting_c=self._starting_c(name, known),
            capacity_a=self._least_capacity(name, known, told.class_c),
            unknown=tuple(self._unknown(wire, told, [w for w in ways if w.running_c is None])),
        )

    def _starting_c(self, wire: str, known: tuple[StretchHeat, ...]) -> float | None:
        current = self.currents[wire]
        if not known or (current.starting_a or 0.0) <= (current.lasting_a or 0.0):
            return None
        amps = current.starting_a or 0.0
        return max(
            ambient + self.rise(wire, amps, each.factor, ambient_c=ambient)
            for each in known
            for ambient in (each.stretch.running_c or 0.0,)
        )

    def _least_capacity(
        self, wire: str, known: tuple[StretchHeat, ...], class_c: float | None
    ) -> float | None:
        least = inf
        for each in known if class_c is not None else ():
            ambient = each.stretch.running_c or 0.0
            rise = max((class_c or 0.0) - ambient, 0.0)
            least = min(least, self.capacity(wire, each.factor, rise_k=rise, ambient_c=ambient))
        return None if least == inf else least

    def _unknown(self, wire: Wire, told: Told, cold: list[Stretch]) -> Iterable[str]:
        if told.class_c is None:
            yield f"insulation {told.unknown}"
        if cold:
            names = ", ".join(dict.fromkeys(each.where for each in cold))
            yield f"heat zone of {names} not known: give its zone, and that zone's running_c"
        if copper_mm2(wire) is None:
            yield f"section not told; {self.section[str(wire.wire)]:g} mm² is taken"
        if self.currents[str(wire.wire)].current_a is None:
            yield f"current not known: {self.currents[str(wire.wire)].unknown}"


def copper_mm2(wire: Wire) -> float | None:
    """Area of a wire's copper [mm²]: by its strands, else its section; None where not told."""
    if wire.strands and wire.strand_mm:
        return wire.strands * pi * wire.strand_mm**2 / 4
    return wire.section_mm2 or None
