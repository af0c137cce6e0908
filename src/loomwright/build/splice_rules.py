"""Where a splice must not sit, and why; whether a splice of the catalogue takes its wires.

Every distance is counted along the branches to the middle of the splice. Sources: common practice,
no published source; each figure is a default that a job may replace.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.build.spots import Reach, Spot, Spots, near
from loomwright.build.tree import LoomTree
from loomwright.loom import Branch, Wire

Flags = NDArray[np.bool_]

RULES: dict[str, str] = {
    "plug": "splice_plug_clearance",
    "fork": "splice_fork_clearance",
    "neighbour": "splice_stagger",
    "heat": "splice_soak_most",
    "movement": "",
    "fixing": "splice_fixing_clearance",
}
"""The rules by name, each with the default that holds its figure; one has no figure."""


@attrs.frozen(kw_only=True)
class Refusal:
    """A stretch of a branch on which a splice must not sit.

    Attributes
    ----------
    branch, from_mm, to_mm : the stretch, counted from the branch's `from_place`
    rule : which one of `RULES`
    words : why
    """

    branch: str
    from_mm: float
    to_mm: float
    rule: str
    words: str

    def holds(self, spots: Spots) -> Flags:
        """Which spots it refuses; the far ends of the stretch are free, those of the branch not."""
        own = np.array([name == self.branch for name in spots.tree.branches])[spots.number]
        inside = (self.from_mm < spots.at_mm) & (spots.at_mm < self.to_mm)
        start = (self.from_mm <= 0) & (spots.at_mm <= 0)
        end = (spots.at_mm <= self.to_mm) & (spots.left_mm <= 0)
        return np.asarray(own & (inside | start | (end & (spots.at_mm > self.from_mm))))


@attrs.frozen(kw_only=True)
class Barrel:
    """The copper of a splice against the catalogue.

    Attributes
    ----------
    total_mm2 : copper of all its wires together; None where a section is not known
    parts : splices of the catalogue that take it
    words : what follows
    """

    total_mm2: float | None
    parts: tuple[str, ...]
    words: str


def refusals(tree: LoomTree, *, value: Mapping[str, float]) -> tuple[Refusal, ...]:
    """What holds for every splice of the loom.

    Parameters
    ----------
    tree : branches, with what sits at their places
    value : defaults by name, those of `RULES` and `splice_heat_clearance`
    """
    return (
        *_at_plugs(tree, value["splice_plug_clearance"]),
        *_at_forks(tree, value["splice_fork_clearance"]),
        *_in_heat(tree, value["splice_soak_most"], value["splice_heat_clearance"]),
        *_in_movement(tree),
        *_at_fixings(tree, value["splice_fixing_clearance"]),
    )


def near_splice(tree: LoomTree, name: str, spot: Spot, *, apart_mm: float) -> Iterator[Refusal]:
    """What a splice refuses to the others [mm]."""
    words = f"within {apart_mm:g} mm of splice {name}"
    yield from _refused(near(tree, spot, apart_mm), "neighbour", words)


def broken_at(tree: LoomTree, place: str, known: Iterable[Refusal]) -> tuple[Refusal, ...]:
    """Which refusals hold at a place itself, each reason once."""
    found: dict[str, Refusal] = {}
    for each in known:
        branch = tree.branches[each.branch]
        at_start = branch.from_place == place and each.from_mm <= 0
        at_end = branch.to_place == place and each.to_mm >= (branch.length_mm or 0.0)
        if at_start or at_end:
            found.setdefault(each.words, each)
    return tuple(found.values())


def barrel(tree: LoomTree, wires: Sequence[Wire]) -> Barrel:
    """Whether a splice of the catalogue takes all the copper in one barrel."""
    known = [wire.section_mm2 for wire in wires if wire.section_mm2 is not None]
    if len(known) < len(wires):
        without = ", ".join(str(wire.wire) for wire in wires if wire.section_mm2 is None)
        return Barrel(total_mm2=None, parts=(), words=f"no section is written down for {without}")
    total = sum(known)
    offered = [part for part in tree.job.catalogue if part.kind == "splice"]
    taken = tuple(
        part.part for part in offered
        if (part.section_min_mm2 or 0.0) <= total
        and part.section_max_mm2 is not None and total <= part.section_max_mm2
    )  # fmt: skip
    if taken:
        return Barrel(total_mm2=total, parts=taken, words=f"{total:g} mm² together fit {taken[0]}")
    why = "the catalogue has no splice" if not offered else "no splice of the catalogue takes that"
    return Barrel(total_mm2=total, parts=(), words=f"{total:g} mm² of copper together: {why}")


def _refused(reaches: Iterable[Reach], rule: str, words: str) -> Iterator[Refusal]:
    for branch, start, end in reaches:
        yield Refusal(branch=branch, from_mm=start, to_mm=end, rule=rule, words=words)


def _at_plugs(tree: LoomTree, clearance_mm: float) -> Iterator[Refusal]:
    for place in tree.neighbours:
        plugs = [name for name in tree.at.get(place, ()) if name in tree.loom.plugs]
        if plugs:
            named = f"{'plug' if len(plugs) == 1 else 'plugs'} {', '.join(plugs)}"
            words = f"within {clearance_mm:g} mm of {named}"
            yield from _refused(near(tree, place, clearance_mm), "plug", words)


def _at_forks(tree: LoomTree, clearance_mm: float) -> Iterator[Refusal]:
    for place, branches in tree.neighbours.items():
        fixed = [
            name for name in tree.at.get(place, ())
            if name in tree.loom.joints and tree.loom.joints[name].kind != "splice"
        ]  # fmt: skip
        if len(branches) < 3 and not fixed:
            continue
        words = f"within {clearance_mm:g} mm of "
        words += f"the fork at {place}" if len(branches) > 2 else (
            f"{place}, where wires leave to {', '.join(fixed)}")  # fmt: skip
        yield from _refused(near(tree, place, clearance_mm), "fork", words)


def _in_heat(tree: LoomTree, most_c: float, clearance_mm: float) -> Iterator[Refusal]:
    soak = {zone.zone: zone.soak_c for zone in tree.job.zones}
    hot: dict[str, str] = {}
    for name, branch in tree.branches.items():
        reached = soak.get(branch.zone) if branch.zone else None
        if reached is not None and reached > most_c:
            hot[name] = f"{branch.zone} reaches {reached:g} °C after a hot stop; {most_c:g} °C "
            hot[name] += "is the most for a splice"
            yield from _refused([_whole(branch)], "heat", hot[name])
    for name, words in hot.items():
        branch = tree.branches[name]
        for place in (branch.from_place, branch.to_place):
            beside = [each for each in near(tree, place, clearance_mm) if each[0] not in hot]
            yield from _refused(beside, "heat", f"within {clearance_mm:g} mm of it, {words}")


def _in_movement(tree: LoomTree) -> Iterator[Refusal]:
    for branch in tree.branches.values():
        if branch.moves == "yes":
            yield from _refused([_whole(branch)], "movement", "it bends when the engine rocks")


def _at_fixings(tree: LoomTree, clearance_mm: float) -> Iterator[Refusal]:
    for fixing in tree.job.fixings:
        branch = tree.branches.get(fixing.branch)
        if branch is None or fixing.at_mm is None or fixing.at_mm > (branch.length_mm or 0.0):
            continue
        words = f"within {clearance_mm:g} mm of {fixing.kind} {fixing.fixing}"
        reach = near(tree, Spot(str(fixing.branch), fixing.at_mm), clearance_mm)
        yield from _refused(reach, "fixing", words)


def _whole(branch: Branch) -> Reach:
    return str(branch.branch), 0.0, branch.length_mm or 0.0
