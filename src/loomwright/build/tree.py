"""The loom as a tree of branches between places, and the way of a wire through it.

A new loom is laid on a board, so its branches must form a tree: between two places there is one
way. Where plugs join two looms at one place, no wire runs through, and each side is a piece that is
made by itself.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

import attrs

from loomwright.build.hanging import Hanging
from loomwright.loom import (
    Branch,
    InputProblems,
    Job,
    Point,
    Problem,
    Topology,
    Where,
    Wire,
)


@attrs.frozen
class Way:
    """The way between two places.

    Attributes
    ----------
    places : passed on the way, both ends included
    branches : between them, one fewer than places
    """

    places: tuple[str, ...]
    branches: tuple[Branch, ...]

    @property
    def length_mm(self) -> float:
        """Length of its branches together [mm]."""
        return sum(branch.length_mm or 0.0 for branch in self.branches)


@attrs.frozen
class Piece:
    """Branches that are made as one loom.

    Attributes
    ----------
    branches : in the order of their table
    places : at their ends, in the same order
    """

    branches: tuple[Branch, ...]
    places: tuple[str, ...]


@attrs.define(slots=False, eq=False)
class LoomTree:
    """Look-ups over the branches of a job.

    Attributes
    ----------
    job : its branches, plugs, joints and wires

    Raises
    ------
    InputProblems
        when there is no branch, a branch has no length or both ends at one place, or branches
        close a ring; all of them at once.
    """

    job: Job

    def __attrs_post_init__(self) -> None:
        problems = [*_unfit_branches(self.job), *_rings(self.job.branches)]
        if problems:
            raise InputProblems(problems)

    @cached_property
    def loom(self) -> Topology:
        """What meets what."""
        return Topology(self.job)

    @cached_property
    def branches(self) -> Mapping[str, Branch]:
        """Branches by name."""
        return {str(branch.branch): branch for branch in self.job.branches}

    @cached_property
    def neighbours(self) -> Mapping[str, tuple[tuple[Branch, str], ...]]:
        """For each place, the branches that end there, each with the place at its other end."""
        found: dict[str, list[tuple[Branch, str]]] = defaultdict(list)
        for branch in self.job.branches:
            found[branch.from_place].append((branch, branch.to_place))
            found[branch.to_place].append((branch, branch.from_place))
        return {place: tuple(ends) for place, ends in found.items()}

    @cached_property
    def at(self) -> Mapping[str, tuple[str, ...]]:
        """Names of the plugs and joints at each place."""
        found: dict[str, list[str]] = defaultdict(list)
        for plug in self.job.plugs:
            found[plug.place or ""].append(plug.plug)
        for joint in self.job.joints:
            found[joint.place or ""].append(joint.joint)
        return {place: tuple(names) for place, names in found.items() if place}

    def place_of(self, point: Point) -> str | None:
        """The place of a plug or joint where a wire ends; None where it was not written down."""
        row = self.loom.plugs.get(point.owner) or self.loom.joints.get(point.owner)
        return row.place if row is not None else None

    def way(self, start: str, end: str) -> Way | None:
        """The way between two places; None where no branch leads from one to the other."""
        if start == end:
            return Way((start,), ())
        up, down = self._up(start), self._up(end)
        if not up or not down or up[-1][0] != down[-1][0]:
            return None
        depth = {place: step for step, (place, _) in enumerate(up)}
        meet = next(step for step, (place, _) in enumerate(down) if place in depth)
        rise, fall = up[: depth[down[meet][0]]], down[:meet]
        places = (
            *(place for place, _ in rise),
            *(place for place, _ in reversed(down[: meet + 1])),
        )
        branches = (*(each for _, each in rise), *(each for _, each in reversed(fall)))
        return Way(places, tuple(each for each in branches if each is not None))

    def way_of(self, wire: Wire) -> Way | None:
        """The way of a wire; None where a place is not known or no branch leads there."""
        start, end = self.place_of(wire.from_point), self.place_of(wire.to_point)
        return None if start is None or end is None else self.way(start, end)

    @cached_property
    def ways(self) -> Mapping[str, Way | None]:
        """The way of every wire, by its name."""
        return {str(wire.wire): self.way_of(wire) for wire in self.job.wires}

    @cached_property
    def wires_through(self) -> Mapping[str, tuple[Wire, ...]]:
        """The wires that run through each branch, by its name."""
        found: dict[str, list[Wire]] = {name: [] for name in self.branches}
        for wire in self.job.wires:
            way = self.ways[str(wire.wire)]
            for branch in way.branches if way else ():
                found[str(branch.branch)].append(wire)
        return {name: tuple(wires) for name, wires in found.items()}

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """What is made as one loom: branches that share a wire, or a splice between wires."""
        joined: Hanging[str] = Hanging()
        for name in self.branches:  # one that no wire runs through is a piece, too
            joined.first(name)
        at_splice: dict[str, list[str]] = defaultdict(list)
        for wire in self.job.wires:
            way = self.ways[str(wire.wire)]
            names = [str(branch.branch) for branch in way.branches] if way else []
            joined.join_all(names)
            for point in (wire.from_point, wire.to_point):
                if names and self.loom.is_splice(point.owner):
                    at_splice[point.owner] += names
        for names in at_splice.values():
            joined.join_all(names)
        return tuple(_piece([self.branches[name] for name in group]) for group in joined.groups())

    @cached_property
    def _above(self) -> Mapping[str, tuple[str, Branch | None]]:
        """For each place the next place towards the root of its tree, and the branch to it."""
        found: dict[str, tuple[str, Branch | None]] = {}
        for root in self.neighbours:
            if root in found:
                continue
            found[root] = (root, None)
            open_places = [root]
            while open_places:
                here = open_places.pop()
                for branch, there in self.neighbours[here]:
                    if there not in found:
                        found[there] = (here, branch)
                        open_places.append(there)
        return found

    def _up(self, place: str) -> list[tuple[str, Branch | None]]:
        """Places from here to the root, each with the branch that leads on."""
        found: list[tuple[str, Branch | None]] = []
        while place in self._above:
            above, branch = self._above[place]
            found.append((place, branch))
            if branch is None:
                break
            place = above
        return found


def _unfit_branches(job: Job) -> Iterator[Problem]:
    if not job.branches:
        yield Problem(
            Where("branches"), "there is no branch",
            "write a row for each stretch of loom between two places, with its length",
        )  # fmt: skip
    for branch in job.branches:
        if not branch.length_mm:
            yield Problem(
                Where("branches", branch.row, "length_mm"),
                f'branch "{branch.branch}" has no length',
                "measure it with a cord along its way, and write it down in mm",
            )
        if branch.from_place == branch.to_place:
            yield Problem(
                Where("branches", branch.row, "to_place"),
                f'"{branch.to_place}" is where branch "{branch.branch}" also begins',
                "write the place at its other end",
            )


def _rings(branches: Iterable[Branch]) -> Iterator[Problem]:
    joined: Hanging[str] = Hanging()
    for branch in branches:
        start, end = _ends(branch)
        if start != end and not joined.join(start, end):
            yield Problem(
                Where("branches", branch.row, "to_place"),
                f'branch "{branch.branch}" closes a ring: "{start}" and "{end}" are joined already',
                "a loom is laid out as a tree; write which branch really runs there, "
                "or give one end a place of its own",
            )


def _ends(branch: Branch) -> tuple[str, str]:
    return branch.from_place, branch.to_place


def _piece(branches: list[Branch]) -> Piece:
    places = dict.fromkeys(place for branch in branches for place in _ends(branch))
    return Piece(tuple(branches), tuple(places))
