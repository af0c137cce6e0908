"""Which fuse stands before each wire, and whether it opens before the wire is too hot.

A wire stands behind a fuse when a short circuit on it is fed through that fuse and through
conductors only: wires, contacts, joints, switches and relays, open or not. What is fed through a
coil or a resistor is bounded by it and is not asked here. Parts are taken as sound, the fuse as
slow as its type may be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

import attrs
import numpy as np

from loomwright import standards
from loomwright.circuit import Edge, Network
from loomwright.circuit.configuration import Floats
from loomwright.loom import Element, Job
from loomwright.physics.current_heating import time_to_temperature
from loomwright.repair.wire_heat import Bundles, WireHeat
from loomwright.standards import FuseLimit

UNGUARDED = "no fuse"
HOLDS, TOO_LARGE, UNKNOWN = "holds", "too large", "not known"
SHORT_S = 5.0
"""Up to so long a conductor may reach its short-circuit temperature (IEC 60364-5-54) [s]."""
CAUTION = (
    "A wire without a fuse, or behind too large a fuse, can burn the car down when it chafes "
    "through: take the battery's minus lead off before work on it, and never fit a larger fuse to "
    "stop one from blowing."
)
_CONDUCTORS = {"contact", "link"}


@attrs.frozen(kw_only=True)
class Overload:
    """A wire and its fuse at one multiple of the fuse's rating.

    Attributes
    ----------
    percent : current, of the rating [%]
    current_a : that current [A]
    opens_s : latest opening of the fuse [s]
    limit_c : what the conductor may reach in that time [°C]
    wire_s : when it gets there [s]; infinite where never
    """

    percent: float
    current_a: float
    opens_s: float
    limit_c: float
    wire_s: float

    @property
    def holds(self) -> bool:
        """Whether the fuse opens first."""
        return self.opens_s <= self.wire_s


@attrs.frozen(kw_only=True)
class Guard:
    """One wire behind one fuse, or behind none.

    Attributes
    ----------
    wire : its name
    fuse : element that is the fuse; blank where the battery feeds it straight
    rating_a, fuse_type : of the fuse; None and blank where not told
    verdict : `holds`, `too large`, `no fuse` or `not known`
    checks : each multiple of the rating, smallest first
    largest_a : largest rating of the type that holds [A]; None where none does or it is not known
    unknown : what has to be known to tell
    """

    wire: str
    fuse: str
    rating_a: float | None
    fuse_type: str
    verdict: str
    checks: tuple[Overload, ...]
    largest_a: float | None
    unknown: str


def fuse_guards(job: Job, bundles: Bundles, *, value: Mapping[str, float]) -> tuple[Guard, ...]:
    """Every wire that a short circuit can load straight from the battery, with each of its fuses.

    Parameters
    ----------
    job : the loom
    bundles : how warm its wires run
    value : defaults by name: `current_overload_over_class`, `lay_allowance`
    """
    fed, check = _Fed(job), _Check(bundles, value)
    return tuple(
        guard
        for heat in bundles.heats
        for guard in _guards(heat, fed.fuses.get(heat.wire, ()), check)
    )


def _guards(heat: WireHeat, fuses: tuple[Element | None, ...], check: _Check) -> Iterator[Guard]:
    for fuse in fuses:
        if fuse is None:
            yield Guard(wire=heat.wire, fuse="", rating_a=None, fuse_type="", verdict=UNGUARDED,
                        checks=(), largest_a=check.largest("C", heat), unknown="")  # fmt: skip
        else:
            yield check.guard(heat, fuse)


class _Fed:
    """What each wire is fed through, from the battery's plus post on."""

    def __init__(self, job: Job) -> None:
        self.network = Network.of(job)

    @cached_property
    def fuses(self) -> dict[str, tuple[Element | None, ...]]:
        """Fuses before each wire; only None where the battery reaches it without one."""
        found: dict[str, dict[str, Element | None]] = {}
        supply = self.network.supply
        waiting: list[tuple[Element | None, int]] = [] if supply is None else [(None, supply)]
        seen = {(_name(fuse), node) for fuse, node in waiting}
        while waiting:
            fuse, node = waiting.pop()
            for edge in self._edges_at.get(node, ()):
                if _is_fuse(edge) and _name(edge.element) == _name(fuse):
                    continue  # back through the same fuse leads nowhere new
                if edge.wire is not None:
                    found.setdefault(str(edge.wire.wire), {})[_name(fuse)] = fuse
                step = (edge.element if _is_fuse(edge) else fuse, edge.tail + edge.head - node)
                if (_name(step[0]), step[1]) not in seen:
                    seen.add((_name(step[0]), step[1]))
                    waiting.append(step)
        return {
            wire: (None,) if "" in fuses else tuple(fuses.values()) for wire, fuses in found.items()
        }

    @cached_property
    def _edges_at(self) -> dict[int, list[Edge]]:
        found: dict[int, list[Edge]] = {}
        for edge in self.network.edges:
            element = edge.element.kind if edge.element is not None else ""
            if edge.kind in ("wire", "contact") or element in _CONDUCTORS:
                found.setdefault(edge.tail, []).append(edge)
                found.setdefault(edge.head, []).append(edge)
        return found


def _name(fuse: Element | None) -> str:
    return "" if fuse is None else str(fuse.element)


def _is_fuse(edge: Edge) -> bool:
    return edge.element is not None and edge.element.fuse_a is not None


class _Check:
    """Fuses held against wires."""

    def __init__(self, bundles: Bundles, value: Mapping[str, float]) -> None:
        self.bundles, self.value = bundles, value
        copper = standards.copper
        self.resistivity = copper("resistivity").value * value["lay_allowance"]
        self.heat_capacity = copper("density").value * copper("specific_heat").value

    def guard(self, heat: WireHeat, fuse: Element) -> Guard:
        """A wire behind a fuse."""
        kind, rating = fuse.fuse_type or "", float(fuse.fuse_a or 0.0)
        unknown = self._unknown(heat, kind)
        checks = () if unknown else self.overloads(kind, rating, heat)
        good = all(each.holds for each in checks)
        return Guard(
            wire=heat.wire,
            fuse=str(fuse.element),
            rating_a=rating,
            fuse_type=kind,
            verdict=UNKNOWN if unknown else HOLDS if good else TOO_LARGE,
            checks=checks,
            largest_a=self.largest(kind, heat),
            unknown=unknown,
        )

    def largest(self, kind: str, heat: WireHeat) -> float | None:
        """Largest rating of a type that opens in time, as every smaller one does [A]."""
        if self._unknown(heat, kind):
            return None
        ratings = np.array([r.rating_a for r in standards.fuse_ratings() if r.fuse_type == kind])
        limits = _opening(kind)
        times = self._times(heat, ratings[:, None] * [row.percent / 100 for row in limits], limits)
        good = (times >= [float(row.most_s or 0.0) for row in limits]).all(axis=1)
        return float(ratings[good].max()) if good.any() else None

    def overloads(self, kind: str, rating_a: float, heat: WireHeat) -> tuple[Overload, ...]:
        """Every multiple at which the fuse has to open."""
        limits = _opening(kind)
        amps = np.array([rating_a * row.percent / 100 for row in limits])
        return tuple(
            Overload(percent=row.percent, current_a=float(current), opens_s=float(row.most_s or 0),
                     limit_c=self._limit_c(heat, float(row.most_s or 0)), wire_s=float(seconds))
            for row, current, seconds in zip(
                limits, amps, self._times(heat, amps, limits), strict=True)
        )  # fmt: skip

    def _times(self, heat: WireHeat, amps: Floats, limits: tuple[FuseLimit, ...]) -> Floats:
        """When the conductor gets to its limit on its quickest stretch, warm from running [s].

        `amps` has the limits along its last axis, and so has what comes back.
        """
        point, ways = self.bundles.rated[heat.wire], heat.stretches
        final = np.array([self._limit_c(heat, float(row.most_s or 0.0)) for row in limits])
        found: Floats = np.asarray(time_to_temperature(
            final[:, None], current_a=amps[..., None], area_m2=heat.section_mm2 * 1e-6,
            initial_c=[each.conductor_c for each in ways],
            ambient_c=[each.stretch.running_c or 0.0 for each in ways],
            rated_a=point.current_a * np.array([each.factor for each in ways]),
            rated_rise_k=point.rise_k, rated_ambient_c=point.ambient_c,
            resistivity_ohm_m=self.resistivity, alpha_per_k=self.bundles.alpha_per_k,
            heat_capacity_j_per_m3_k=self.heat_capacity,
        ))  # fmt: skip
        return np.asarray(found.min(axis=-1))

    def _limit_c(self, heat: WireHeat, seconds: float) -> float:
        """What the insulation bears for so long [°C]."""
        told = heat.insulation
        overload = (told.class_c or 0.0) + self.value["current_overload_over_class"]
        short = None if told.material is None else told.material.short_c
        return overload if short is None or seconds > SHORT_S else max(short, overload)

    def _unknown(self, heat: WireHeat, kind: str) -> str:
        if not kind:
            return "fuse_type not told: its opening times are not known"
        if heat.insulation.class_c is None:
            return f"insulation {heat.insulation.unknown}"
        if not heat.stretches:
            return "its heat zone is not known"
        return ""


def _opening(kind: str) -> tuple[FuseLimit, ...]:
    """The currents at which a type of fuse has to open."""
    return tuple(row for row in standards.fuse_limits_of(kind) if row.most_s is not None)
