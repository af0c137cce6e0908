"""How likely each fault is before any reading: common-practice rates, the survey, heat.

Weights are relative, and weak: the rates are a reading of trade practice, not counts, so their
square roots are taken. A contact is still likelier than a winding, but never so much that a
reading between the two is not worth taking. The survey multiplies the weights of the faults its
aspect makes likelier; the heat zone of a place does the same; both tables are in `standards` and
can be replaced.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from math import prod, sqrt

import attrs

from loomwright import standards
from loomwright.loom import Element, Job, Point, Topology, Wire
from loomwright.standards import FaultRate, HeatFactor, SurveyFactor


@attrs.frozen
class Rate:
    """Kind of fault, its weight and the range of its magnitude (0 and 0 when it has none)."""

    kind: str
    weight: float
    low: float
    high: float


def own_figures(job: Job) -> dict[str, float]:
    """The job's own figures by name, defaults and weights."""
    return {row.name: row.value for row in job.settings}


def own_values(job: Job) -> dict[str, float]:
    """The number of every default, with the job's own figures in their place."""
    return standards.values(own_figures(job))


@attrs.frozen(kw_only=True)
class Totals:
    """How the whole prior is shared out before any reading."""

    sound: float
    one: float
    two: float
    unmodelled: float

    @classmethod
    def of(cls, value: Mapping[str, float]) -> Totals:
        """The shares from the numbers of the defaults."""
        return cls(
            sound=value["prior_no_fault"],
            one=value["prior_one_fault"],
            two=value["prior_two_faults"],
            unmodelled=value["prior_unmodelled"],
        )


@attrs.define(slots=False, eq=False)
class Weights:
    """Weights of every kind of fault at every place of one job.

    Parameters
    ----------
    job : the job, for its survey and zones
    rates : how often which fault is met where
    """

    job: Job
    rates: tuple[FaultRate, ...] = attrs.field(factory=standards.all_fault_rates)
    totals: Totals = attrs.field(
        default=attrs.Factory(lambda self: Totals.of(own_values(self.job)), takes_self=True)
    )

    @cached_property
    def loom(self) -> Topology:
        return Topology(self.job)

    def of_wire(self, wire: Wire) -> list[Rate]:
        """Faults of the wire itself."""
        return self._at("wire", (wire.wire,), self._wire_heat(wire))

    def of_wire_end(self, end: Point, wires_there: int) -> list[Rate]:
        """Faults of a wire's crimp in a cavity, or its share of a splice's."""
        if end.terminal:
            return self._at("crimp", (end.owner,), self._plug_heat(end.owner))
        joint = self.loom.joints.get(end.owner)
        if joint is None or joint.kind not in ("splice", "stud"):
            return self._at("crimp", (end.owner,), None)
        found = self._at("joint", (end.owner,), None)
        return [attrs.evolve(rate, weight=rate.weight / max(wires_there, 1)) for rate in found]

    def of_contact(self, cavity: Point) -> list[Rate]:
        """Faults between a terminal and what it mates with; those between cavities left out."""
        found = self._at("contact", (cavity.owner,), self._plug_heat(cavity.owner))
        return [rate for rate in found if rate.kind in ("open", "high_resistance")]

    def of_neighbours(self, plug: str) -> list[Rate]:
        """Faults between two cavities side by side."""
        found = self._at("contact", (plug,), self._plug_heat(plug))
        return [rate for rate in found if rate.kind not in ("open", "high_resistance")]

    def of_joint(self, joint: str) -> list[Rate]:
        """Faults of a splice or stud."""
        return self._at("joint", (joint,), None)

    def of_earth(self, joint: str) -> list[Rate]:
        """Faults of an earth point or of a device's bolted body."""
        return self._at("earth", (joint,), None)

    def of_element(self, element: Element) -> list[Rate]:
        """Faults inside a device, shared among its elements of the same kind only by number."""
        rates = [rate for rate in self.rates if rate.element == element.kind]
        return [self._rate(rate, 1.0) for rate in rates if rate.place == "element"]

    def _at(self, place: str, items: tuple[str, ...], soak_c: float | None) -> list[Rate]:
        found = []
        for rate in self.rates:
            if rate.place == place:
                factor = prod(self._survey_factors(items, rate)) * self._heat_factor(soak_c, rate)
                found.append(self._rate(rate, factor))
        return found

    def _rate(self, rate: FaultRate, factor: float) -> Rate:
        """A row of the table as a weight; nobody has counted, so it speaks at half strength."""
        weight = self._own.get(rate.name, rate.weight)
        return Rate(rate.kind, sqrt(weight) * factor, rate.low or 0.0, rate.high or 0.0)

    @cached_property
    def _own(self) -> dict[str, float]:
        return own_figures(self.job)

    def _survey_factors(self, items: tuple[str, ...], rate: FaultRate) -> Iterable[float]:
        for item in items:
            for factor in self._survey.get(item, ()):
                if _acts(factor, rate):
                    yield self._own.get(factor.name, factor.factor)

    @cached_property
    def _survey(self) -> dict[str, list[SurveyFactor]]:
        strands = {wire.wire: wire.strands for wire in self.job.wires}
        found: dict[str, list[SurveyFactor]] = {}
        for row in self.job.survey:
            grade = row.grade
            if row.strands_left is not None:
                whole = strands.get(row.item)  # type: ignore[call-overload]
                worst = _grade_of_strands(row.strands_left, whole)
                grade = worst if grade is None else max(grade, worst)
            if grade is not None:
                found.setdefault(row.item, []).append(standards.survey_factor(row.aspect, grade))
        return found

    def _heat_factor(self, soak_c: float | None, rate: FaultRate) -> float:
        if soak_c is None:
            return 1.0
        band = standards.heat_factor(soak_c)
        return self._own.get(band.name, band.factor) if _acts(band, rate) else 1.0

    @cached_property
    def _soak(self) -> dict[str, float]:
        return {zone.zone: zone.soak_c for zone in self.job.zones if zone.soak_c is not None}

    def _wire_heat(self, wire: Wire) -> float | None:
        zones = {branch.branch: branch.zone for branch in self.job.branches}
        soaks = [self._soak.get(zones.get(name) or "") for name in wire.branches]
        return max((soak for soak in soaks if soak is not None), default=None)

    def _plug_heat(self, plug: str) -> float | None:
        row = self.loom.plugs.get(plug)
        device = self.loom.devices.get(row.mates_with or "") if row else None
        return self._soak.get(device.zone or "") if device else None


def _acts(factor: SurveyFactor | HeatFactor, rate: FaultRate) -> bool:
    return rate.kind in factor.kinds and rate.place in factor.places


def _grade_of_strands(left: int, whole: int | None) -> int:
    """Grade from unbroken strands: all 0, above nine tenths 1, three quarters 2, half 3, below 4.

    Common practice, no published source.
    """
    if not whole:
        return 4 if left == 0 else 0
    share = left / whole
    bounds: tuple[tuple[float, int], ...] = ((1.0, 0), (0.9, 1), (0.75, 2), (0.5, 3))
    return next((grade for bound, grade in bounds if share >= bound), 4)
