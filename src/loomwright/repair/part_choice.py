"""Which part of the catalogue goes where: the one that is named there, else one that fits.

What fits is decided in `plug_fit` and `fit`. A named part that does not fit is noted, and for a
terminal another is looked for. Among several that fit, the cheapest on sale is taken,
then the first of the catalogue. What may fit, but for something that is not known, is not taken:
it is noted, as is what nothing fits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property

import attrs

from loomwright.loom import Joint, Part, Plug, Wire
from loomwright.repair.condition import NO_BOOT, ItemCondition
from loomwright.repair.fit import FITS, MISFIT, bore_fit, conductor_fit
from loomwright.repair.needs import Boring, Needs, Span, bundle_mm
from loomwright.repair.plug_fit import PartFit, PlacedCheck, plug_fit

_Outcome = Callable[[Part], str]


@attrs.define(slots=False, eq=False)
class PartChoice:
    """Parts for the places of one job.

    Attributes
    ----------
    needs : what the plugs need, with the catalogue
    price : price of a piece by name of a part, where it is on sale
    notes : what nothing fits, or is not known
    """

    needs: Needs
    price: Mapping[str, float]
    notes: list[str] = attrs.field(factory=list, init=False)
    _fits: dict[tuple[str, str | None], tuple[PartFit, ...]] = attrs.field(factory=dict, init=False)

    def terminals(self, plug: Plug, cavities: Sequence[str]) -> dict[str, str | None]:
        """A terminal for each of these cavities, None where none is sure to fit."""
        fits = self._at(plug, "terminal")
        named = next((fit for fit in fits if fit.named), None)
        if named is not None and not self._misfit(plug.plug, named):
            return dict.fromkeys(cavities, named.part)
        if named is not None:
            fits = self._at(attrs.evolve(plug, terminal=None), "terminal")
        found = {
            cavity: self._best(fit.part for fit in fits if cavity in fit.fits_at)
            for cavity in cavities
        }
        without = [cavity for cavity, part in found.items() if part is None]
        if without:
            word = "cavity" if len(without) == 1 else "cavities"
            where = f"{plug.plug}, {word} {', '.join(without)}"
            self.notes.append(self._none("terminal", where, fits, without))
        return found

    def boot(self, plug: Plug) -> str | None:
        """A boot; None where the plug has none by design, or none is sure to fit."""
        if (plug.boot or "").strip().casefold() == NO_BOOT:
            return None
        return self._whole(plug, "boot")

    def shell(self, plug: Plug) -> str | None:
        """A shell, None where none is sure to fit."""
        return self._whole(plug, "shell")

    def splice(self, section_mm2: float | None, where: str) -> str | None:
        """A splice for that much conductor, None where none is sure to fit."""
        span = None if section_mm2 is None else Span.of(section_mm2)
        return self._simple(
            "splice", where, lambda part: conductor_fit(part, span).outcome,
            of="a section that is not known" if span is None else span.words("mm²"),
        )  # fmt: skip

    def sleeve(self, wires: Sequence[Wire], where: str) -> str | None:
        """A sleeve over a splice of these wires, None where none is sure to fit."""
        spans = [self.needs.outside(wire) for wire in wires]
        known = [span for span in spans if span is not None]
        if not known or len(known) < len(spans):
            self.notes.append(f"no sleeve is chosen for {where}: the wire's outside is not known")
            return None
        # At a splice wires come from two sides: at least the thickest, at most all but it.
        known.sort(key=lambda span: span.high)
        others = [span.high for span in known[:-1]]
        most = bundle_mm(others, factor=self.needs.value["bundle_most"]) if others else 0.0
        across = Span(low=known[-1].low, high=max(known[-1].high, most))
        boring = Boring(across_mm=across, words=f"{len(wires)} wires")
        return self._simple(
            "sleeve", where, lambda part: bore_fit(part, boring, tape_wall_mm=0.0).outcome,
            of=across.words("mm"),
        )  # fmt: skip

    def wire(self, wire: Wire) -> str | None:
        """The kind of wire that a wire is renewed with: the one it names, else its section's."""
        if wire.insulation in self.needs.parts:
            named = self.needs.parts[str(wire.insulation)]
            if named.kind == "wire":
                return str(named.part)
        span = None if wire.section_mm2 is None else Span.of(wire.section_mm2)
        return self._simple(
            "wire", str(wire.wire), lambda part: conductor_fit(part, span).outcome,
            of="a section that is not known" if span is None else span.words("mm²"),
        )  # fmt: skip

    def joint_wires(self, joint: Joint) -> list[Wire]:
        """The wires that end at a joint."""
        return [
            wire
            for wire in self.needs.job.wires
            if joint.joint in (wire.from_point.owner, wire.to_point.owner)
        ]

    # Inside

    def _at(self, plug: Plug, kind: str) -> list[PartFit]:
        key = (plug.plug, plug.terminal)
        if key not in self._fits:
            unseen = ItemCondition(item=plug.plug, kind="plug", looked=(), not_looked_at=())
            self._fits[key] = plug_fit(plug, unseen, self.needs).parts
        return [fit for fit in self._fits[key] if fit.kind == kind]

    def _whole(self, plug: Plug, kind: str) -> str | None:
        fits = self._at(plug, kind)
        named = next((fit for fit in fits if fit.named), None)
        if named is not None:
            return None if self._misfit(plug.plug, named) else named.part
        best = self._best(fit.part for fit in fits if fit.outcome == FITS)
        if best is None:
            self.notes.append(self._none(kind, plug.plug, fits))
        return best

    def _simple(self, kind: str, where: str, outcome: _Outcome, *, of: str) -> str | None:
        best = self._best(part.part for part in self._of_kind(kind) if outcome(part) == FITS)
        if best is None:
            self.notes.append(f"no {kind} of the catalogue is sure to fit {where}, {of}")
        return best

    def _of_kind(self, kind: str) -> list[Part]:
        return [part for part in self.needs.parts.values() if part.kind == kind]

    @cached_property
    def _order(self) -> dict[str, int]:
        return {str(name): number for number, name in enumerate(self.needs.parts)}

    def _best(self, parts: Iterable[str]) -> str | None:
        """The cheapest on sale, then the first of the catalogue."""
        return min(
            map(str, parts), default=None,
            key=lambda name: (self.price.get(name, float("inf")), self._order[name]),
        )  # fmt: skip

    def _none(
        self, kind: str, where: str, fits: Sequence[PartFit], cavities: Sequence[str] = ()
    ) -> str:
        """That no part is sure to fit, with what stands against the nearest."""
        said = f"no {kind} of the catalogue is sure to fit {where}"
        against = [
            (sum(each.check.outcome == MISFIT for each in reasons), fit.part, reasons[0].check)
            for fit in fits
            if (reasons := _against(fit, cavities))
        ]
        if not against:
            return said
        _, part, check = min(against, key=lambda row: row[0])
        return f"{said}; the nearest is {part}: {check.reason}"

    def _misfit(self, where: str, named: PartFit) -> bool:
        """Whether the part that is named there does not fit; that is noted."""
        if named.outcome != MISFIT:
            return False
        why = next(named.reasons(MISFIT)).check.reason
        self.notes.append(f"{named.part}, which is named at {where}, does not fit: {why}")
        return True


def _against(fit: PartFit, cavities: Sequence[str]) -> list[PlacedCheck]:
    wanted = set(cavities)
    found = [
        each
        for each in fit.checks
        if each.check.outcome != FITS and (not wanted or wanted & set(each.cavities))
    ]
    return sorted(found, key=lambda each: each.check.outcome != MISFIT)
