"""A new loom row by row, in words: what a page and a paper of it both show."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.loom import Job
from loomwright.services.build import BranchBundle, BuildReport, Splice, WireLength
from loomwright.services.build_words import (
    across,
    as_built,
    cover,
    placed,
    refused_by_branch,
    steps_told,
    support,
    to_mind,
    why_long,
    why_not_free,
)
from loomwright.services.words import listed, sentence

__all__ = [
    "BundleTold",
    "SpliceTold",
    "StepTold",
    "WireTold",
    "bundles_told",
    "laying_told",
    "splices_told",
    "unsaid",
    "wires_told",
]

_UNKNOWN = "–"


@attrs.frozen(kw_only=True)
class SpliceTold:
    """A splice.

    Attributes
    ----------
    splice, wires : its name, and what is joined in it
    set : whether a spot was found
    where : where it goes, or which rule would have to give, a sentence
    lines : why there, how it is held, what to mind; sentences
    refused : branch, and what is refused on it and why
    """

    splice: str
    wires: str
    set: bool
    where: str
    lines: tuple[str, ...]
    refused: tuple[tuple[str, str], ...]


@attrs.frozen(kw_only=True)
class BundleTold:
    """A branch with its bundle.

    Attributes
    ----------
    branch, way : its name, and the places at its ends
    wires : how many run through
    across : how thick it is [mm]
    cover : what covers it, with its size or length
    tape : tape for all of it [m]
    tube : heat-shrink before it shrinks [mm], or what to do first
    """

    branch: str
    way: str
    wires: str
    across: str
    cover: str
    tape: str
    tube: str


@attrs.frozen(kw_only=True)
class WireTold:
    """A wire.

    Attributes
    ----------
    wire, section, colour : which one; section in mm²
    start, end : points it runs between
    way : branches along which it runs
    cut, made : what it is cut to, and its length when its ends are trimmed [mm]
    old : length in the old loom [mm]
    why : what the cut length is made of
    """

    wire: str
    section: str
    colour: str
    start: str
    end: str
    way: str
    cut: str
    made: str
    old: str
    why: str


@attrs.frozen(kw_only=True)
class StepTold:
    """A step of laying.

    Attributes
    ----------
    number : from 1
    words : what to do, a sentence
    wires : names of its wires
    why : the reason for its place in the order, where it is told for the first time
    reason : the same, told at every step
    hold : whether it must pass before the work goes on
    """

    number: int
    words: str
    wires: str
    why: str
    reason: str
    hold: bool


def splices_told(report: BuildReport, *, near: bool = False) -> tuple[SpliceTold, ...]:
    """The splices in the order of the report.

    Parameters
    ----------
    report : the new loom
    near : whether only what is refused on a splice's own branch is told
    """
    return tuple(_splice(report, each, near=near) for each in report.plan.splices)


def bundles_told(report: BuildReport) -> tuple[BundleTold, ...]:
    """The bundles with wires in them, in the order of the branches."""
    ways = {str(each.branch): f"{each.from_place} to {each.to_place}" for each in report.branches}
    return tuple(_bundle(each, ways[each.branch]) for each in report.bundles if each.wires)


def wires_told(report: BuildReport) -> tuple[WireTold, ...]:
    """The wires whose length is known."""
    return tuple(_wire(each) for each in report.wires)


def laying_told(report: BuildReport) -> tuple[StepTold, ...]:
    """The steps in their order."""
    return tuple(
        StepTold(
            number=step.number,
            words=f"{sentence(step.what)}.",
            wires=", ".join(step.wires),
            why=f"{sentence(why)}." if why else "",
            reason=f"{sentence(step.why)}." if step.why else "",
            hold=step.hold,
        )
        for step, why in steps_told(report)
    )


def unsaid(job: Job) -> Iterator[tuple[str, str]]:
    """What a new loom rests on and the job does not tell, each with the table it belongs into."""
    if not job.fixings:
        yield "no clip and no grommet is written down, so splices keep clear of none", "fixings"
    if all(branch.moves is None for branch in job.branches):
        yield "no branch says whether it bends when the engine rocks", "branches"
    if not any(zone.soak_c is not None for zone in job.zones):
        yield "no zone says how hot it gets, so splices are kept out of none", "zones"
    without = [str(branch.branch) for branch in job.branches if not branch.cover]
    if without:
        yield f"no cover is written down for {listed(without)}", "branches"


def _splice(report: BuildReport, splice: Splice, *, near: bool) -> SpliceTold:
    own = splice.spot or splice.nearest
    return SpliceTold(
        splice=splice.splice,
        wires=", ".join(splice.wires),
        set=splice.spot is not None,
        where=f"{sentence(placed(report, splice))}.",
        lines=tuple(_lines(report, splice)),
        refused=tuple(
            (branch, why)
            for branch, why in refused_by_branch(splice)
            if not near or (own is not None and branch == own.branch)
        ),
    )


def _lines(report: BuildReport, splice: Splice) -> Iterator[str]:
    told = [why_not_free(report, splice), as_built(report, splice)]
    if splice.spot is not None:
        told.append(sentence(f"{support(report, splice.spot)}."))
    yield from (line for line in (*told, *to_mind(splice)) if line)


def _bundle(each: BranchBundle, way: str) -> BundleTold:
    covers = each.covers
    tube = None if covers is None else covers.tube.tube
    lacking = _UNKNOWN if covers is None else covers.tube.missing
    tape = None if covers is None else covers.tape_m_per_m * each.length_mm / 1000
    return BundleTold(
        branch=each.branch,
        way=way,
        wires=str(len(each.wires)),
        across=across(each),
        cover=cover(each) or _UNKNOWN,
        tape=_UNKNOWN if tape is None else f"{tape:.1f}",
        tube=lacking if tube is None else f"{tube.supplied_mm:g}",
    )


def _wire(each: WireLength) -> WireTold:
    start, end = each.ends
    way = dict.fromkeys(str(stretch.branch.branch) for stretch in each.way)
    return WireTold(
        wire=each.wire,
        section=_UNKNOWN if each.section_mm2 is None else f"{each.section_mm2:g}",
        colour=each.colour or _UNKNOWN,
        start=str(start.point),
        end=str(end.point),
        way=" ".join(way) or "at one place",
        cut=f"{each.cut_mm:.0f}",
        made=f"{each.made_mm:.0f}",
        old=_UNKNOWN if each.old_mm is None else f"{each.old_mm:.0f}",
        why=why_long(each),
    )
