"""What the wires of a new loom are cut to, and how far their ends are stripped."""

from __future__ import annotations

from collections.abc import Mapping

import attrs

from loomwright.build.lengths import wire_lengths
from loomwright.build.splices import place_splices
from loomwright.build.tree import LoomTree
from loomwright.loom import InputProblems, Job, Point
from loomwright.repair.market import market
from loomwright.repair.needs import Needs
from loomwright.repair.part_choice import PartChoice
from loomwright.repair.plug_fit import crimping


@attrs.frozen(kw_only=True)
class CutTo:
    """What wires are cut to.

    Attributes
    ----------
    cut_mm : by name of the wire; one that nothing is known of is missing
    notes : what the lengths rest on
    """

    cut_mm: Mapping[str, float]
    notes: tuple[str, ...] = ()


def cut_to(job: Job, value: Mapping[str, float]) -> CutTo:
    """Lengths by the way along the branches; else the old wire's own, with `wire_spare` to trim.

    Splices lie where `splices` puts them.

    Raises
    ------
    OutOfRange : a figure of the job's own that cannot be
    """
    notes, by_way = [], dict[str, float]()
    try:
        tree = LoomTree(job)
        found = wire_lengths(tree, place_splices(tree, value=value).spots, value=value)
        by_way = {each.wire: each.cut_mm for each in found.wires}
    except InputProblems as problems:
        notes.append(f"no length is taken from the branches: {problems.problems[0].what}")
    spare = value["wire_spare"]
    old = {
        str(wire.wire): wire.length_mm + spare
        for wire in job.wires
        if wire.length_mm is not None and str(wire.wire) not in by_way
    }
    if old:
        said = f"{len(old)} of the wires by the old wire and {spare:g} mm to trim"
        others = "; the others by their way along the branches" if by_way else ""
        notes.append(f"lengths: {said}{others}")
    return CutTo(cut_mm={**by_way, **old}, notes=tuple(notes))


@attrs.define(eq=False)
class Strips:
    """How far the wires of a job are stripped.

    Attributes
    ----------
    job : plugs, and the terminals of its catalogue
    value : defaults by name
    """

    job: Job
    value: Mapping[str, float]
    _strip: dict[Point, tuple[float, float]] = attrs.field(factory=dict, init=False)

    def __attrs_post_init__(self) -> None:
        needs = Needs(self.job, self.value)
        choice = PartChoice(needs, market(self.job).part_price)
        for plug in self.job.plugs:
            for cavity, name in choice.terminals(plug, list(plug.face.cavities)).items():
                part = needs.parts.get(name or "")
                strip = None if part is None else crimping(part, needs).strip_mm
                if strip is not None:
                    self._strip[Point(plug.plug, cavity)] = strip

    def at(self, point: Point) -> tuple[float, float] | None:
        """Least and most insulation that comes off a wire there [mm], None where not known."""
        return self._strip.get(point)
