"""Wires with their crimps as ohms between points, and what is read along them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

import attrs
import numpy as np

from loomwright.circuit import Assumptions, Network, configure
from loomwright.loom import Job, Point, State, Wire


@attrs.frozen
class Link:
    """A wire with its crimps between two points, as ohms.

    Attributes
    ----------
    one, other : its points
    ohm : resistance [Ω]
    wire : its name; empty for a bridge that should not be there
    """

    one: Point
    other: Point
    ohm: float
    wire: str


def wire_ohms(job: Job, assume: Assumptions) -> dict[str, float]:
    """Resistance of every wire with the crimps or splices at its ends [Ω], by its name."""
    network = Network.of(job)
    ohms = configure(network, State(), assume=assume).ohm
    return {
        str(edge.wire.wire): float(ohm)
        for edge, ohm in zip(network.edges, ohms, strict=True)
        if edge.wire is not None
    }


def links_of(wires: Sequence[Wire], ohms: Mapping[str, float]) -> tuple[Link, ...]:
    """Wires as links between their points."""
    return tuple(
        Link(wire.from_point, wire.to_point, ohms[str(wire.wire)], str(wire.wire)) for wire in wires
    )


def ohms_from(links: Sequence[Link], start: Point) -> dict[Point, float]:
    """Resistance from a point to each that it is joined to [Ω], side ways taken into account.

    With the start at 0 V, the diagonal of the inverse of the conductance matrix holds the
    resistance from each node to it.
    """
    there = reached(links, start)
    number = {point: place for place, point in enumerate(there)}
    size = len(number)
    matrix = np.zeros((size, size))
    for link in links:
        if link.one in number and link.one != link.other:
            a, b, siemens = number[link.one], number[link.other], 1.0 / link.ohm
            matrix[a, a] += siemens
            matrix[b, b] += siemens
            matrix[a, b] -= siemens
            matrix[b, a] -= siemens
    values = np.diag(np.linalg.inv(matrix[1:, 1:])) if size > 1 else np.zeros(0)
    return {start: 0.0, **{point: float(values[n - 1]) for point, n in number.items() if n}}


def reached(links: Sequence[Link], start: Point) -> tuple[Point, ...]:
    """The points that hang together with one, itself first."""
    beside: dict[Point, list[Point]] = defaultdict(list)
    for link in links:
        beside[link.one].append(link.other)
        beside[link.other].append(link.one)
    found, open_points = {start: None}, [start]
    while open_points:
        for point in beside[open_points.pop()]:
            if point not in found:
                found[point] = None
                open_points.append(point)
    return tuple(found)


def shortest(links: Sequence[Link], start: Point, end: Point) -> tuple[str, ...]:
    """Wires on the way with the fewest of them."""
    came: dict[Point, tuple[Point, str]] = {}
    ring = [start]
    while ring and end not in came:
        here = set(ring)
        ring = []
        for link in links:
            for one, other in ((link.one, link.other), (link.other, link.one)):
                if one in here and other != start and other not in came:
                    came[other] = (one, link.wire)
                    ring.append(other)
    wires = []
    while end != start:
        end, wire = came[end]
        wires.append(wire)
    return tuple(reversed(wires))
