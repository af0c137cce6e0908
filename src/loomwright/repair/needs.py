"""What a plug needs of its parts: conductor and insulation per cavity, tab, ways, form, bore.

Each figure is a span, because an unmeasured wire may have a thin or a thick wall; what no sheet and
no table tells is None.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

import attrs

from loomwright import standards
from loomwright.loom import Job, NotFound, Part, Plug, Point, Topology, Wire

FORMS = ("straight", "angled")
"""Shapes of boot, as words that may stand in the plug's own cell."""
_NUMBERS = {1: "one wire", 2: "two wires", 3: "three wires", 4: "four wires"}


@attrs.frozen(kw_only=True)
class Span:
    """A figure between two ends, with where it comes from.

    Attributes
    ----------
    low, high : the ends, alike where it was measured
    origin : in words where it was not written down for this wire, else empty
    """

    low: float
    high: float
    origin: str = ""

    @classmethod
    def of(cls, value: float) -> Span:
        """A figure that is known."""
        return cls(low=value, high=value)

    def words(self, unit: str) -> str:
        """`1.9 to 2.5 mm (by ISO 6722-1, wall not known)`."""
        low, high = f"{self.low:.3g}", f"{self.high:.3g}"
        said = f"{low} {unit}" if low == high else f"{low} to {high} {unit}"
        return f"{said} ({self.origin})" if self.origin else said


@attrs.frozen(kw_only=True)
class Boring:
    """What must pass through a boot: its diameter and what it is, `two wires`."""

    across_mm: Span
    words: str


@attrs.frozen(kw_only=True)
class CavityNeeds:
    """The wires in a cavity: their conductor together, the insulation of a single one."""

    cavity: str
    wires: tuple[str, ...]
    conductor_mm2: Span | None
    outside_mm: Span | None


@attrs.frozen(kw_only=True)
class PlugNeeds:
    """What a plug's parts must fit.

    Attributes
    ----------
    plug : its name
    ways : its cavities
    form : of its boot, `straight` or `angled`
    lock : how its shell holds terminals
    tab_width_mm, tab_thickness_mm : of the device it goes on
    passes : what goes through its boot
    cavities : those with a wire
    """

    plug: str
    ways: int
    form: str | None
    lock: str | None
    tab_width_mm: float | None
    tab_thickness_mm: float | None
    passes: Boring | None
    cavities: tuple[CavityNeeds, ...]


@attrs.define(slots=False, eq=False)
class Needs:
    """What the plugs of one job need.

    Attributes
    ----------
    job : the loom with its catalogue
    value : defaults by name: `bundle_least`, `bundle_most`
    """

    job: Job
    value: Mapping[str, float]

    @cached_property
    def topology(self) -> Topology:
        """Look-ups over the loom."""
        return Topology(self.job)

    @cached_property
    def parts(self) -> dict[str, Part]:
        """Parts of the catalogue by name, in its order; the first of two rows wins."""
        found: dict[str, Part] = {}
        for part in self.job.catalogue:
            found.setdefault(part.part, part)
        return found

    def of(self, plug: Plug) -> PlugNeeds:
        """What this plug needs."""
        device = self.topology.devices.get(plug.mates_with or "")
        filled = [
            (name, wires)
            for name in plug.face.cavities
            if (wires := self.topology.wires_at.get(Point(plug.plug, name)))
        ]
        return PlugNeeds(
            plug=plug.plug,
            ways=len(plug.face.cavities),
            form=self._form(plug),
            lock=plug.lock,
            tab_width_mm=device.tab_width_mm if device else None,
            tab_thickness_mm=device.tab_thickness_mm if device else None,
            passes=self._passes([wire for _, wires in filled for wire in wires]),
            cavities=tuple(self._cavity(name, wires) for name, wires in filled),
        )

    def outside(self, wire: Wire) -> Span | None:
        """The outside diameter of a wire [mm]: measured, else its kind's, else the standard's."""
        if wire.outside_mm is not None:
            return Span.of(wire.outside_mm)
        kind = self.parts.get(wire.insulation or "")
        if kind is not None and kind.kind == "wire":
            ends = [
                end for end in (kind.insulation_min_mm, kind.insulation_max_mm) if end is not None
            ]
            if ends:
                return Span(low=min(ends), high=max(ends), origin="by the catalogue")
        return by_standard(wire.section_mm2)

    def _form(self, plug: Plug) -> str | None:
        named = self.parts.get(plug.boot or "")
        if named is not None:
            return named.form
        words = (plug.boot or "").casefold().split()
        return next((form for form in FORMS if form in words), None)

    def _cavity(self, name: str, wires: Sequence[Wire]) -> CavityNeeds:
        sections = [wire.section_mm2 for wire in wires if wire.section_mm2 is not None]
        told = len(sections) == len(wires)
        return CavityNeeds(
            cavity=name,
            wires=tuple(str(wire.wire) for wire in wires),
            conductor_mm2=Span.of(sum(sections)) if told else None,
            outside_mm=self.outside(wires[0]) if len(wires) == 1 else None,
        )

    def _passes(self, wires: Sequence[Wire]) -> Boring | None:
        spans = [span for wire in wires if (span := self.outside(wire)) is not None]
        if not wires or len(spans) < len(wires):
            return None
        low = bundle_mm((span.low for span in spans), factor=self.value["bundle_least"])
        high = bundle_mm((span.high for span in spans), factor=self.value["bundle_most"])
        origins = dict.fromkeys(span.origin for span in spans if span.origin)
        across = Span(low=low, high=high, origin=", ".join(origins))
        return Boring(across_mm=across, words=_NUMBERS.get(len(wires), f"{len(wires)} wires"))


def bundle_mm(outside_mm: Iterable[float], *, factor: float) -> float:
    """Diameter of wires together [mm].

    One wire: its own; two: the sum; more: `factor * sqrt(sum of squares)`. Equal circles packed as
    tightly as can be have factors of 1.11 to 1.24 for 3 to 50 of them.

    Source: common practice, no published source. Two wires of 2 mm are 4 mm across.
    """
    each = list(outside_mm)
    if len(each) <= 2:
        return sum(each)
    return max(factor * math.sqrt(sum(one**2 for one in each)), max(each))


def by_standard(section_mm2: float | None) -> Span | None:
    """Outside diameter by ISO 6722-1, from the thin to the thick wall [mm]; None where not told."""
    if section_mm2 is None:
        return None
    try:
        cable = standards.vehicle_cable(section_mm2)
    except NotFound:
        return None
    walls = (cable.thin_outside_max_mm, cable.thick_outside_max_mm)
    known = [wall for wall in walls if wall is not None]
    if len(known) < len(walls):
        return None
    return Span(low=min(known), high=max(known), origin="not measured, ISO 6722-1 thin to thick")
