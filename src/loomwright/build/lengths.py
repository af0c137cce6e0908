"""How long each wire of a new loom is cut, part by part.

The way along the branches, what winding round the bundle takes, what is inside shells and barrels,
a loop at each plug, what the rocking engine needs, and wire to hold on to, rounded up. Bends are
not reckoned: which wires lie inside and which outside of a bend is only known on the board.
Sources: common practice, no published source; each figure is a default that a job may replace.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import groupby

import attrs
import numpy as np

from loomwright.build.figures import usable
from loomwright.build.spots import Spot, Stretch, stretches
from loomwright.build.tree import LoomTree
from loomwright.loom import Plug, Point, Wire
from loomwright.physics.lay import lay_share
from loomwright.repair.fit import strip_mm
from loomwright.repair.needs import Needs, Span, bundle_mm, by_standard


@attrs.frozen(kw_only=True)
class WireEnd:
    """What one end takes beside the way.

    Attributes
    ----------
    point : where it ends
    strip_mm : bared for the barrel
    shell_mm : inside the shell of a plug
    loop_mm : left as a loop at a plug
    """

    point: Point
    strip_mm: float
    shell_mm: float = 0.0
    loop_mm: float = 0.0


@attrs.frozen(kw_only=True)
class WireLength:
    """How long one wire is.

    Attributes
    ----------
    wire, section_mm2, colour : which wire
    way : the stretches it runs along; empty where both ends are at one place
    run_mm : length of its way; at one place what a person measured, or a default
    lay_mm : what winding round the bundle takes
    ends : both ends
    rock_mm : let in for the rocking engine
    hand_mm : to hold on to, trimmed off on the board
    cut_mm : all of it rounded up; so long the wire is cut
    old_mm : its length in the old loom
    local : where `run_mm` comes from with both ends at one place: `measured`, `default`, else empty
    """

    wire: str
    section_mm2: float | None
    colour: str | None
    way: tuple[Stretch, ...]
    run_mm: float
    lay_mm: float
    ends: tuple[WireEnd, WireEnd]
    rock_mm: float
    hand_mm: float
    cut_mm: float
    old_mm: float | None
    local: str = ""

    @property
    def ends_mm(self) -> float:
        """Inside barrels and shells, both ends together [mm]."""
        return sum(end.strip_mm + end.shell_mm for end in self.ends)

    @property
    def loop_mm(self) -> float:
        """Loops at both ends together [mm]."""
        return sum(end.loop_mm for end in self.ends)

    @property
    def made_mm(self) -> float:
        """Length when made, nothing left to hold on to [mm]."""
        return self.run_mm + self.lay_mm + self.ends_mm + self.loop_mm + self.rock_mm


@attrs.frozen(kw_only=True)
class NotKnown:
    """A wire whose length cannot be told, and what is missing."""

    wire: str
    words: str


@attrs.frozen(kw_only=True)
class LoomLengths:
    """All wires of a loom: those whose length is known, and those it is not."""

    wires: tuple[WireLength, ...]
    not_known: tuple[NotKnown, ...]
    bundle_mm: Mapping[str, float]


def wire_lengths(
    tree: LoomTree, spots: Mapping[str, Spot] | None = None, *, value: Mapping[str, float]
) -> LoomLengths:
    """The length of every wire.

    Parameters
    ----------
    tree : branches, and what is at their places
    spots : where splices go; one that is not named stays at its place
    value : defaults by name

    Returns
    -------
    lengths in the order of the sheet; `bundle_mm` is the widest bundle of each branch

    Raises
    ------
    InputProblems : a figure that is too small, see `figures.usable`
    """
    usable(value)
    return _Measuring(tree, spots or {}, value).all()


@attrs.define(slots=False, eq=False)
class _Measuring:
    tree: LoomTree
    spots: Mapping[str, Spot]
    value: Mapping[str, float]

    def all(self) -> LoomLengths:
        known, missing = [], []
        for wire in self.tree.job.wires:
            way = self.ways[str(wire.wire)]
            if isinstance(way, str):
                missing.append(NotKnown(wire=str(wire.wire), words=way))
            else:
                known.append(self.length(wire, way))
        return LoomLengths(wires=tuple(known), not_known=tuple(missing), bundle_mm=self.bundles)

    @cached_property
    def needs(self) -> Needs:
        return Needs(self.tree.job, self.value)

    # Ways and bundles

    @cached_property
    def ways(self) -> Mapping[str, tuple[Stretch, ...] | str]:
        """The way of each wire, or what is missing for it."""
        return {str(wire.wire): self.way(wire) for wire in self.tree.job.wires}

    def way(self, wire: Wire) -> tuple[Stretch, ...] | str:
        seats: list[str | Spot] = []
        for point in (wire.from_point, wire.to_point):
            seat = self.spots.get(point.owner) or self.tree.place_of(point)
            if not seat:
                return f"no place is written down for {point.owner}"
            seats.append(seat)
        found = stretches(self.tree, *seats)
        if found is None:
            return f"no branch leads from {_told(seats[0])} to {_told(seats[1])}"
        return found

    @cached_property
    def bundles(self) -> dict[str, float]:
        """Diameter of the bundle of each branch where all its wires lie [mm]."""
        inside: dict[str, list[float]] = defaultdict(list)
        for wire in self.tree.job.wires:
            way = self.ways[str(wire.wire)]
            for name in {str(each.branch.branch) for each in way if isinstance(each, Stretch)}:
                inside[name].append(self.outside[str(wire.wire)])
        factor = (self.value["bundle_least"] + self.value["bundle_most"]) / 2
        return {name: bundle_mm(inside.get(name, ()), factor=factor) for name in self.tree.branches}

    @cached_property
    def outside(self) -> Mapping[str, float]:
        """Outside diameter of each wire, the middle of what is known [mm]."""
        usual = by_standard(self.value["wire_section"]) or Span.of(0.0)
        spans = ((str(w.wire), self.needs.outside(w) or usual) for w in self.tree.job.wires)
        return {name: (span.low + span.high) / 2 for name, span in spans}

    def lay(self, wire: Wire, way: Iterable[Stretch]) -> float:
        """Extra length of winding round, as if it lay outermost everywhere [mm]."""
        rows = [(each.length_mm, self.bundles[each.branch.branch]) for each in way]
        length, across = np.array(rows).reshape(-1, 2).T
        circle = np.maximum(across - self.outside[str(wire.wire)], 0.0)
        # Circle and pitch both in mm: only their ratio counts.
        return float(length @ lay_share(circle, self.value["lay_pitch"]))

    # Parts of a length

    def length(self, wire: Wire, way: tuple[Stretch, ...]) -> WireLength:
        ends = (self.end(wire.from_point), self.end(wire.to_point))
        run, local = sum(each.length_mm for each in way), ""
        if not way:
            run, local = self.local_run(wire, ends)
        parts = WireLength(
            wire=str(wire.wire), section_mm2=wire.section_mm2, colour=wire.colour, way=way,
            run_mm=run, lay_mm=self.lay(wire, way), ends=ends,
            rock_mm=self.value["engine_rock"] * _rocks(way),
            hand_mm=self.value["hand_allowance"], cut_mm=0.0, old_mm=wire.length_mm, local=local,
        )  # fmt: skip
        step = self.value["cut_rounding"]
        cut = math.ceil((parts.made_mm + parts.hand_mm) / step - 1e-9) * step
        return attrs.evolve(parts, cut_mm=cut)

    def local_run(self, wire: Wire, ends: tuple[WireEnd, WireEnd]) -> tuple[float, str]:
        """Between two things at one place: what the old wire had beside its ends, or a default."""
        if wire.length_mm is None:
            return self.value["local_length"], "default"
        taken = sum(end.strip_mm + end.shell_mm + end.loop_mm for end in ends)
        return max(0.0, wire.length_mm - taken), "measured"

    def end(self, point: Point) -> WireEnd:
        plug = self.tree.loom.plugs.get(point.owner)
        if plug is not None:
            return WireEnd(
                point=point, strip_mm=self.stripped(plug), shell_mm=self.value["shell_depth"],
                loop_mm=self.value["service_loop"],
            )  # fmt: skip
        return WireEnd(point=point, strip_mm=self.value["strip_length"])

    def stripped(self, plug: Plug) -> float:
        """What its terminal is stripped for, by the catalogue where it is there [mm]."""
        part = self.needs.parts.get(plug.terminal or "")
        span = strip_mm(part, value=self.value) if part is not None else None
        return span[1] if span is not None else self.value["strip_length"]


def unlike_old(
    lengths: LoomLengths, spots: Mapping[str, Spot], *, tolerance_mm: float
) -> tuple[WireLength, ...]:
    """Wires that come out longer or shorter than in the old loom by more than its tolerance [mm].

    Wires of splices that move, and wires measured by their old length, are not compared.
    """
    return tuple(
        each for each in lengths.wires
        if each.old_mm is not None and not each.local
        and not any(end.point.owner in spots for end in each.ends)
        and abs(each.made_mm - each.old_mm) > tolerance_mm
    )  # fmt: skip


def _rocks(way: Iterable[Stretch]) -> int:
    """How often a way goes through what bends with the engine; branches in a row count once."""
    return sum(moves for moves, _ in groupby(way, key=lambda each: each.branch.moves == "yes"))


def _told(seat: str | Spot) -> str:
    return f'"{seat}"' if isinstance(seat, str) else f"branch {seat.branch}"
