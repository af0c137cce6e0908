"""The nets of a finished loom out of the car with nothing plugged in: what its wires join.

A net is what hangs together by wires, splices, studs and eyelets on the loom side alone. Its ends
are where a probe can touch once the loom is covered: cavities, eyelets, posts and studs. A splice
is under its cover, so it is an end only where a wire stops there and leads nowhere else.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

import attrs

from loomwright.build.hanging import Hanging
from loomwright.loom import Job, Point, Topology, Wire


@attrs.frozen
class Net:
    """Points joined by wires of the loom.

    Attributes
    ----------
    points : all of them, in the order of the wires
    ends : those where a probe can touch, in the same order; never none
    wires : the wires that join them
    """

    points: tuple[Point, ...]
    ends: tuple[Point, ...]
    wires: tuple[Wire, ...]


def nets(job: Job) -> tuple[Net, ...]:
    """The nets of a job's loom, in the order of its wires.

    Wires that run from a point to itself, or to what is no point of the loom, are left out: they
    are the checker's business.
    """
    loom = Topology(job)
    kept = tuple(wire for wire in job.wires if is_run(loom, wire))
    pairs = [(wire.from_point, wire.to_point) for wire in kept]
    found: dict[Point, list[Wire]] = defaultdict(list)
    group_of = joined(pairs)
    for wire in kept:
        found[group_of[wire.from_point]].append(wire)
    return tuple(_net(loom, wires) for wires in found.values())


def is_run(loom: Topology, wire: Wire) -> bool:
    """Whether a wire joins two points of the loom."""
    ends = (wire.from_point, wire.to_point)
    return ends[0] != ends[1] and all(loom.is_loom_side(end) for end in ends)


def joined(pairs: Iterable[tuple[Point, Point]]) -> Mapping[Point, Point]:
    """For every point of some pairs the one that stands for all it hangs together with."""
    hanging: Hanging[Point] = Hanging()
    points = []
    for one, other in pairs:
        hanging.join(one, other)
        points += [one, other]
    return {point: hanging.first(point) for point in points}


def _net(loom: Topology, wires: list[Wire]) -> Net:
    meets: dict[Point, int] = defaultdict(int)
    for wire in wires:
        meets[wire.from_point] += 1
        meets[wire.to_point] += 1
    ends = tuple(point for point in meets if meets[point] == 1 or not loom.is_splice(point.owner))
    # A ring of splices has no end at all; it can only be measured before it is covered.
    return Net(tuple(meets), ends or tuple(meets)[:1], tuple(wires))
