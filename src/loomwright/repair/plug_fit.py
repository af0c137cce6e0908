"""The catalogue's parts at a plug, cavity by cavity; what is amiss; how each part is crimped."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import attrs

from loomwright.loom import Part, Plug
from loomwright.repair.condition import NO_BOOT, ItemCondition
from loomwright.repair.fit import (
    FITS,
    MISFIT,
    OPENING,
    UNKNOWN,
    Check,
    boot_fit,
    conductor_fit,
    die_fit,
    overall,
    shell_fit,
    strip_mm,
    terminal_fit,
)
from loomwright.repair.needs import Needs, PlugNeeds, Span

IN_PART = "fits in part"
"""Outcome of a terminal that fits some of the cavities of a plug."""
RENEWED_FROM = 2
"""Grade from which a part is looked for in the catalogue; common practice."""
PARTS_OF_A_PLUG = ("terminal", "boot", "shell")
CRIMPED = ("terminal", "splice")


@attrs.frozen(kw_only=True)
class PlacedCheck:
    """A check and the cavities it holds for; none where it holds for the whole plug."""

    check: Check
    cavities: tuple[str, ...]

    def json(self) -> dict[str, Any]:
        """The check as the documented JSON."""
        return {
            "what": self.check.what,
            "outcome": self.check.outcome,
            "reason": self.check.reason,
            "cavities": list(self.cavities),
        }


@attrs.frozen(kw_only=True)
class PartFit:
    """One part at one plug.

    Attributes
    ----------
    part, kind : which part
    named : whether `plugs` names it as the one that is there
    outcome : `fits`, `fits in part`, `does not fit` or `not known`
    fits_at : cavities a terminal fits
    checks : what was compared
    """

    part: str
    kind: str
    named: bool
    outcome: str
    fits_at: tuple[str, ...]
    checks: tuple[PlacedCheck, ...]

    def reasons(self, outcome: str) -> Iterator[PlacedCheck]:
        """The checks with that outcome."""
        return (each for each in self.checks if each.check.outcome == outcome)

    def json(self) -> dict[str, Any]:
        """The fit as the documented JSON."""
        return {
            "part": self.part,
            "kind": self.kind,
            "named": self.named,
            "outcome": self.outcome,
            "fits_at": list(self.fits_at),
            "checks": [each.json() for each in self.checks],
        }


@attrs.frozen(kw_only=True)
class PlugFit:
    """All parts at one plug, and what is amiss with them.

    Attributes
    ----------
    plug : its name
    opening : how its terminals come out, empty where its lock is not given
    parts : the part that is named, or else every part of its kind
    problems : clauses; a named part that does not fit, or one to renew of which none fits
    """

    plug: str
    opening: str
    parts: tuple[PartFit, ...]
    problems: tuple[str, ...]

    def json(self) -> dict[str, Any]:
        """The fits as the documented JSON."""
        return {
            "plug": self.plug,
            "opening": self.opening,
            "problems": list(self.problems),
            "parts": [each.json() for each in self.parts],
        }


@attrs.frozen(kw_only=True)
class Crimping:
    """How a terminal or splice of the catalogue is crimped.

    Attributes
    ----------
    part, die : which part, in which die
    outcome : `fits`, `fits in part` (some sections), `does not fit` or `not known`
    reasons : why, where it is not `fits`
    strip_mm : how much insulation comes off, least and most [mm]
    """

    part: str
    die: str | None
    outcome: str
    reasons: tuple[str, ...]
    strip_mm: tuple[float, float] | None

    def json(self) -> dict[str, Any]:
        """The crimping as the documented JSON."""
        return {
            "part": self.part,
            "die": self.die,
            "outcome": self.outcome,
            "reasons": list(self.reasons),
            "strip_mm": None if self.strip_mm is None else list(self.strip_mm),
        }


def plug_fit(plug: Plug, condition: ItemCondition, needs: Needs) -> PlugFit:
    """Every part that may go on a plug, and what is amiss.

    Parameters
    ----------
    plug : the plug
    condition : its grades; a part is missed only where one is to be renewed
    needs : of the job's plugs, with the catalogue
    """
    needed = needs.of(plug)
    parts: list[PartFit] = []
    problems: list[str] = []
    for kind in PARTS_OF_A_PLUG:
        if kind == "boot" and (plug.boot or "").strip().casefold() == NO_BOOT:
            continue
        named, candidates = _candidates(kind, plug, needs)
        found = [_part_fit(part, needed, named=named, value=needs.value) for part in candidates]
        parts += found
        if named:
            problems += _misfits(found)
        elif (condition.grade(kind) or 0) >= RENEWED_FROM:
            problems += _without_part(kind, found, needed)
    return PlugFit(
        plug=plug.plug,
        opening=OPENING.get(plug.lock or "", ""),
        parts=tuple(parts),
        problems=tuple(problems),
    )


def _candidates(kind: str, plug: Plug, needs: Needs) -> tuple[bool, list[Part]]:
    """The part that the plug names, else every part of that kind."""
    cell = {"terminal": plug.terminal, "boot": plug.boot}.get(kind)
    part = needs.parts.get(cell or "")
    if part is not None and part.kind == kind:
        return True, [part]
    return False, [each for each in needs.parts.values() if each.kind == kind]


def _part_fit(part: Part, needed: PlugNeeds, *, named: bool, value: Mapping[str, float]) -> PartFit:
    if part.kind == "terminal":
        return _terminal(part, needed, named=named, value=value)
    whole = boot_fit(part, needed, value=value) if part.kind == "boot" else shell_fit(part, needed)
    return PartFit(
        part=part.part,
        kind=part.kind,
        named=named,
        outcome=overall(whole),
        fits_at=(),
        checks=tuple(PlacedCheck(check=check, cavities=()) for check in whole),
    )


def _terminal(part: Part, needed: PlugNeeds, *, named: bool, value: Mapping[str, float]) -> PartFit:
    """A terminal at every wired cavity; alike reasons are told once."""
    at: dict[Check, list[str]] = defaultdict(list)
    outcomes: dict[str, str] = {}
    for cavity in needed.cavities:
        checks = terminal_fit(part, cavity, needed, value=value)
        outcomes[cavity.cavity] = overall(checks)
        for check in checks:
            at[check].append(cavity.cavity)
    return PartFit(
        part=part.part,
        kind=part.kind,
        named=named,
        outcome=_together(list(outcomes.values())),
        fits_at=tuple(name for name, outcome in outcomes.items() if outcome == FITS),
        checks=tuple(PlacedCheck(check=check, cavities=tuple(at[check])) for check in at),
    )


def _together(outcomes: Sequence[str]) -> str:
    """One outcome for all cavities; `fits in part` where some fit and others do not."""
    for every in (FITS, MISFIT):
        if outcomes and set(outcomes) == {every}:
            return every
    return IN_PART if FITS in outcomes and MISFIT in outcomes else UNKNOWN


def _misfits(found: Sequence[PartFit]) -> Iterator[str]:
    """What keeps the part that is there from fitting."""
    for fit in found:
        for placed in fit.reasons(MISFIT):
            where = f" in {_named_cavities(placed.cavities)}" if placed.cavities else ""
            yield f"{fit.part}, which is there{where}: {placed.check.reason}"


def _without_part(kind: str, found: Sequence[PartFit], needed: PlugNeeds) -> Iterator[str]:
    """That no part of a kind can fit, with what keeps the nearest one from it."""
    if kind == "terminal":
        yield from _unserved(found, needed)
    elif found and all(fit.outcome == MISFIT for fit in found):
        nearest = min(found, key=lambda fit: len(list(fit.reasons(MISFIT))))
        why = next(nearest.reasons(MISFIT)).check.reason
        yield f"no {kind} of the catalogue fits; the nearest is {nearest.part}: {why}"


def _unserved(found: Sequence[PartFit], needed: PlugNeeds) -> Iterator[str]:
    """Cavities that no terminal could fit, with the reason at the nearest one."""
    why: dict[tuple[str, str], list[str]] = defaultdict(list)
    for cavity in needed.cavities if found else ():
        against = [
            (fit.part, [each.check.reason for each in fit.reasons(MISFIT)
                        if cavity.cavity in each.cavities])
            for fit in found
        ]  # fmt: skip
        if all(reasons for _, reasons in against):
            part, reasons = min(against, key=lambda pair: len(pair[1]))
            why[part, reasons[0]].append(cavity.cavity)
    for (part, reason), cavities in why.items():
        where = _named_cavities(cavities)
        yield f"no terminal of the catalogue fits {where}; the nearest is {part}: {reason}"


def _named_cavities(names: Sequence[str]) -> str:
    *others, last = names
    return f"cavities {', '.join(others)} and {last}" if others else f"cavity {last}"


def crimping(part: Part, needs: Needs) -> Crimping:
    """A terminal or splice and its die, for those sections of the loom that the part takes."""
    die = needs.parts.get(part.die or "")
    sections = sorted({wire.section_mm2 for wire in needs.job.wires if wire.section_mm2})
    spans: list[Span | None] = [Span.of(section) for section in sections]
    taken = [span for span in spans if conductor_fit(part, span).outcome == FITS] or [None]
    checks = [die_fit(part, die, conductor_mm2=span) for span in taken]
    reasons = (check.reason for each in checks for check in each if check.outcome != FITS)
    return Crimping(
        part=part.part,
        die=part.die,
        outcome=_together([overall(each) for each in checks]),
        reasons=tuple(dict.fromkeys(reasons)),
        strip_mm=strip_mm(part, value=needs.value),
    )
