"""Build a new loom: lengths of wire, spots of splices, the order in which it is laid."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright import standards
from loomwright.build.branch_bundles import BranchBundle, branch_bundles
from loomwright.build.laying import laying_order
from loomwright.build.lengths import (
    LoomLengths,
    NotKnown,
    WireEnd,
    WireLength,
    unlike_old,
    wire_lengths,
)
from loomwright.build.splice_rules import Barrel, Refusal
from loomwright.build.splices import Splice, SplicePlan, place_splices
from loomwright.build.spots import Spot
from loomwright.build.step_order import LayStep
from loomwright.build.tree import LoomTree, Piece
from loomwright.loom import Branch, Fixing, Job
from loomwright.services.numbers import plain

__all__ = [
    "Barrel",
    "BranchBundle",
    "BuildReport",
    "LayStep",
    "Piece",
    "Refusal",
    "Splice",
    "Spot",
    "WireEnd",
    "WireLength",
    "build",
]


@attrs.frozen(kw_only=True)
class BuildReport:
    """All that is needed to lay the loom out.

    Attributes
    ----------
    job : title
    lengths : of the wires, with what is not known
    plan : of the splices
    steps : of laying, in order
    bundles : a branch each, in the order of the sheet
    pieces : what is made as one loom
    unlike : wires that come out unlike their length in the old loom
    old_tolerance_mm : more than which they differ
    support_mm : a splice is held within so far on each side
    branches, fixings : of the job, to tell where a spot is
    """

    job: str
    lengths: LoomLengths
    plan: SplicePlan
    steps: tuple[LayStep, ...]
    bundles: tuple[BranchBundle, ...]
    pieces: tuple[Piece, ...]
    unlike: tuple[WireLength, ...]
    old_tolerance_mm: float
    support_mm: float
    branches: tuple[Branch, ...]
    fixings: tuple[Fixing, ...]

    @property
    def wires(self) -> tuple[WireLength, ...]:
        """Wires whose length is known, in the order of the sheet."""
        return self.lengths.wires

    @property
    def not_known(self) -> tuple[NotKnown, ...]:
        """Wires whose length is not known, and what is missing."""
        return self.lengths.not_known

    @property
    def total_mm(self) -> float:
        """All wires as they are cut [mm]."""
        return sum(each.cut_mm for each in self.wires)

    @property
    def widest(self) -> BranchBundle | None:
        """The heaviest bundle; None where no width is known."""
        wide = [(each.across_mm.high, each) for each in self.bundles if each.across_mm]
        return max(wide, key=lambda pair: pair[0])[1] if wide else None

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "total_mm": self.total_mm,
            "wires": [_wire(each) for each in self.wires],
            "not_known": [{"wire": each.wire, "words": each.words} for each in self.not_known],
            "unlike_old": [each.wire for each in self.unlike],
            "splices": [_splice(each) for each in self.plan.splices],
            "copper_mm3": plain(self.plan.copper_mm3, 6),
            "free_mm3": plain(self.plan.free_mm3, 6),
            "bound_mm3": plain(self.plan.bound_mm3, 6),
            "proven": self.plan.proven,
            "steps": [_step(each) for each in self.steps],
            "bundles": [_bundle(each) for each in self.bundles],
            "pieces": [
                {"branches": [str(branch.branch) for branch in each.branches],
                 "places": list(each.places)}
                for each in self.pieces
            ],
        }  # fmt: skip


def build(job: Job) -> BuildReport:
    """Work out the new loom of a job.

    Raises
    ------
    InputProblems : the branches are no tree, one has no length, or a figure of the job's own
        cannot be reckoned with
    """
    value = standards.values({row.name: row.value for row in job.settings})
    tree = LoomTree(job)
    plan = place_splices(tree, value=value)
    lengths = wire_lengths(tree, plan.spots, value=value)
    tolerance = value["old_loom_tolerance"]
    return BuildReport(
        job=job.about.title,
        lengths=lengths,
        plan=plan,
        steps=laying_order(tree, lengths.wires),
        bundles=branch_bundles(tree, lengths.wires, value=value),
        pieces=tree.pieces,
        unlike=unlike_old(lengths, plan.spots, tolerance_mm=tolerance),
        old_tolerance_mm=tolerance,
        support_mm=value["splice_support_within"],
        branches=job.branches,
        fixings=job.fixings,
    )


def _bundle(each: BranchBundle) -> dict[str, Any]:
    across, covers = each.across_mm, each.covers
    tube = None if covers is None else covers.tube.tube
    return {
        "branch": each.branch,
        "wires": list(each.wires),
        "unknown": list(each.unknown),
        "across_mm": None if across is None else [plain(across.low, 3), plain(across.high, 3)],
        "tape_m": None if covers is None else plain(covers.tape_m_per_m * each.length_mm / 1000, 3),
        "sleeves": []
        if covers is None
        else [
            {
                "kind": one.kind,
                "bore_mm": None if one.sleeve is None else one.sleeve.bore_mm,
                "missing": one.missing,
            }
            for one in covers.sleeves
        ],
        "shrink_mm": None if tube is None else tube.supplied_mm,
        "fixings": [
            {"fixing": name, "outcome": check.outcome, "reason": check.reason}
            for name, check in each.fixings
        ],
    }


def _wire(each: WireLength) -> dict[str, Any]:
    return {
        "wire": each.wire,
        "section_mm2": each.section_mm2,
        "colour": each.colour,
        "way": [
            {
                "branch": str(stretch.branch.branch),
                "from_mm": stretch.from_mm,
                "to_mm": stretch.to_mm,
            }
            for stretch in each.way
        ],
        "run_mm": each.run_mm,
        "local": each.local,
        "lay_mm": plain(each.lay_mm, 3),
        "ends": [
            {
                "point": str(end.point),
                "strip_mm": end.strip_mm,
                "shell_mm": end.shell_mm,
                "loop_mm": end.loop_mm,
            }
            for end in each.ends
        ],
        "rock_mm": each.rock_mm,
        "hand_mm": each.hand_mm,
        "cut_mm": each.cut_mm,
        "old_mm": each.old_mm,
    }


def _splice(each: Splice) -> dict[str, Any]:
    return {
        "splice": each.splice,
        "wires": list(each.wires),
        "left_out": list(each.left_out),
        "spot": _spot(each.spot),
        "free": _spot(each.free),
        "nearest": _spot(each.nearest),
        "must_give": list(each.must_give),
        "extra_mm": each.extra_mm if each.spot is not None else None,
        "wire_mm": each.wire_mm if each.spot is not None else None,
        "copper_mm3": plain(each.copper_mm3, 6) if each.spot is not None else None,
        "free_mm3": plain(each.free_mm3, 6) if each.free is not None else None,
        "place": each.place,
        "as_built": [{"rule": one.rule, "words": one.words} for one in each.as_built],
        "barrel": {
            "total_mm2": each.barrel.total_mm2,
            "parts": list(each.barrel.parts),
            "words": each.barrel.words,
        },
        "sensors": list(each.sensors),
        "refused": [attrs.asdict(one) for one in each.refused],
    }


def _spot(spot: Spot | None) -> dict[str, Any] | None:
    return None if spot is None else {"branch": spot.branch, "at_mm": spot.at_mm}


def _step(each: LayStep) -> dict[str, Any]:
    return {
        "number": each.number,
        "kind": each.kind,
        "item": each.item,
        "what": each.what,
        "wires": list(each.wires),
        "after": list(each.after),
        "why": each.why,
        "hold": each.hold,
    }
