"""What goes on new at a plug, and how: parts that fit, dies, strip lengths, trials of the same."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

import attrs

from loomwright import standards
from loomwright.loom import Job, Part, Plug, Point, Topology
from loomwright.repair.fit import FITS, MISFIT, conductor_fit
from loomwright.repair.needs import Needs, Span
from loomwright.repair.plug_fit import CRIMPED, IN_PART, Crimping, PartFit, crimping, plug_fit
from loomwright.services.crimps import SetUp
from loomwright.services.judge import JudgeReport

PARTS_FOR: Mapping[str, tuple[str, ...]] = {
    "boot_only": ("boot",),
    "re_terminate": ("boot", "terminal"),
    "new_plug": ("shell", "boot", "terminal"),
    "new_wire": ("terminal",),
    "new_branch": ("boot", "terminal"),
    "extend": ("splice",),
}
"""Kinds of parts that go on new with a kind of cure; common practice, no published source."""
_SAME = 0.02  # sections of one name differ in the third digit


@attrs.frozen(kw_only=True)
class End:
    """One end of a wire that is worked on.

    Attributes
    ----------
    here, far_end : its own point, and the one at its other end
    wire, letters : its name, and its colour as written on the sheet; empty when not known
    section_mm2 : conductor section; None when not known
    """

    here: Point
    far_end: Point
    wire: str
    letters: str
    section_mm2: float | None


@attrs.frozen(kw_only=True)
class PartLine:
    """A part of the catalogue that may go on.

    Attributes
    ----------
    part : the part
    at : plug it goes on; empty for a splice
    outcome : `fits`, `fits in part` or `not known`
    cavities : those a terminal fits
    reasons : what is not known, in clauses
    named : whether the plug names it as the one that is there
    """

    part: Part
    at: str
    outcome: str
    cavities: tuple[str, ...]
    reasons: tuple[str, ...]
    named: bool


@attrs.frozen(kw_only=True)
class CrimpLine:
    """How a terminal or splice goes on one section of wire.

    Attributes
    ----------
    part, crimping : the part, its die and strip length
    section_mm2 : of the wire; None when not known
    set_up : trials of this terminal on this section; None without any
    """

    part: Part
    crimping: Crimping
    section_mm2: float | None
    set_up: SetUp | None


@attrs.define(slots=False, eq=False)
class PartsOfCards:
    """What may go on the plugs of one job.

    Attributes
    ----------
    job : the loom with its catalogue
    judge : what the survey and the catalogue say
    set_ups : trial crimps
    """

    job: Job
    judge: JudgeReport
    set_ups: tuple[SetUp, ...]

    @cached_property
    def loom(self) -> Topology:
        """Look-ups over the loom."""
        return Topology(self.job)

    @cached_property
    def needs(self) -> Needs:
        """What the plugs need of their parts."""
        return Needs(self.job, standards.values({row.name: row.value for row in self.job.settings}))

    def parts(
        self, plugs: Iterable[Plug], ends: tuple[End, ...], wanted: tuple[str, ...]
    ) -> tuple[tuple[PartLine, ...], tuple[str, ...]]:
        """What may go on, and what stands against a part."""
        lines: list[PartLine] = []
        problems: list[str] = []
        for plug in plugs:
            fits = self.fits(plug)
            own = next((fit for fit in self.judge.fits if fit.plug == plug.plug), None)
            problems += [f"plug {plug.plug}: {each}" for each in (own.problems if own else ())]
            for kind in wanted:
                lines += [self.line(fit, plug) for fit in _likeliest(fits, kind)]
        if "splice" in wanted:
            lines += self.splices(ends)
        return tuple(lines), tuple(problems)

    def fits(self, plug: Plug) -> tuple[PartFit, ...]:
        """Every part at a plug; where the one that is there does not fit, all others, too."""
        own = next((fit for fit in self.judge.fits if fit.plug == plug.plug), None)
        condition = next(each for each in self.judge.items if each.item == plug.plug)
        parts = own.parts if own else plug_fit(plug, condition, self.needs).parts
        if any(each.named and each.kind == "terminal" and each.outcome == MISFIT for each in parts):
            free = attrs.evolve(plug, terminal=None)
            others = plug_fit(free, condition, self.needs).parts
            parts = tuple(
                [each for each in parts if each.kind != "terminal"]
                + [each for each in others if each.kind == "terminal"]
            )
        return parts

    def line(self, fit: PartFit, plug: Plug) -> PartLine:
        unknown = [
            placed.check.reason for placed in fit.checks if placed.check.outcome != FITS
        ] if fit.outcome != IN_PART else []  # fmt: skip
        return PartLine(
            part=self.needs.parts[fit.part],
            at=plug.plug,
            outcome=fit.outcome,
            cavities=fit.fits_at,
            reasons=tuple(dict.fromkeys(unknown)),
            named=fit.named,
        )

    def splices(self, ends: tuple[End, ...]) -> Iterator[PartLine]:
        sections = {end.section_mm2 for end in ends if end.section_mm2 is not None}
        for part in self.job.catalogue:
            fits = [conductor_fit(part, Span.of(each)).outcome == FITS for each in sections]
            if part.kind == "splice" and any(fits):
                yield PartLine(
                    part=part, at="", outcome=FITS if all(fits) else IN_PART, cavities=(),
                    reasons=(), named=False,
                )  # fmt: skip

    def crimped(self, parts: tuple[PartLine, ...], ends: tuple[End, ...]) -> Iterator[CrimpLine]:
        """Each terminal and splice with the sections it goes on."""
        seen: set[tuple[str, float | None]] = set()
        for line in parts:
            if line.part.kind not in CRIMPED or line.outcome not in (FITS, IN_PART):
                continue
            here = [
                end.section_mm2
                for end in ends
                if not line.at
                or (end.here.owner == line.at and (not line.cavities or
                                                   end.here.terminal in line.cavities))
            ]  # fmt: skip
            for section in dict.fromkeys(here):
                if (line.part.part, section) not in seen:
                    seen.add((line.part.part, section))
                    yield CrimpLine(
                        part=line.part,
                        crimping=crimping(line.part, self.needs),
                        section_mm2=section,
                        set_up=self.set_up(line, section),
                    )

    def set_up(self, line: PartLine, section: float | None) -> SetUp | None:
        """The set-up whose trials are of this terminal, by its name or its words, and section."""
        plug = self.loom.plugs.get(line.at)
        names = {line.part.part, line.part.label, plug.terminal if plug else None} - {None, ""}
        for each in self.set_ups:
            if section is None or each.section_mm2 is None or each.terminal not in names:
                continue
            if math.isclose(each.section_mm2, section, rel_tol=_SAME):
                return each
        return None


def _likeliest(fits: Iterable[PartFit], kind: str) -> list[PartFit]:
    """Parts of a kind that fit; where none is known to, those of which it is not known."""
    here = [fit for fit in fits if fit.kind == kind and fit.outcome != MISFIT]
    return [fit for fit in here if fit.outcome in (FITS, IN_PART)] or here
