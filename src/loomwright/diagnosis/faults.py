"""What can be wrong with a loom: every single fault as a port of the network, with its weight.

A *fault* is one kind of trouble at one place (`high_resistance` of wire W7). Faults that touch the
same port, such as a wire and the crimps at its ends, are one entry with several items: no meter
can part them. Weights come from `priors`, magnitudes are even on a logarithmic scale.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import log
from typing import Literal

import attrs
import numpy as np

from loomwright.circuit import Edge, Network, Ports
from loomwright.diagnosis.priors import Rate, Weights
from loomwright.loom import Point

Size = Literal["none", "ohm", "factor"]
CELLS_PER_DECADE = 4


@attrs.frozen
class Fault:
    """One kind of trouble at one place.

    Attributes
    ----------
    kind : `open`, `high_resistance`, `short_to_earth` and so on
    items : identifiers of the job's tables that it may be, the likeliest first
    at : the points it lies at
    edge : edge of a series fault, -1 otherwise
    nodes : node pair of a shunt fault, (0, 0) otherwise
    size : what its magnitude is: none (an open), ohms, or a factor on the part's own resistance
    low, high : range of the magnitude [ohm or 1]
    weight : relative prior weight
    swap : the two cavities whose wires are in each other's place
    device : the device it is inside of, empty for a fault of the loom
    """

    kind: str
    items: tuple[str, ...]
    at: tuple[Point, ...]
    weight: float
    edge: int = -1
    nodes: tuple[int, int] = (0, 0)
    size: Size = "none"
    low: float = 0.0
    high: float = 0.0
    swap: tuple[Point, Point] | None = None
    device: str = ""

    def magnitudes(self, per_decade: float = CELLS_PER_DECADE) -> np.ndarray:
        """Cell centres of the magnitude, evenly spaced in its logarithm; one 0 for an open."""
        if self.size == "none":
            return np.zeros(1)
        span = log(self.high / self.low)
        count = max(2, round(span / log(10.0) * per_decade))
        edges = np.linspace(log(self.low), log(self.high), count + 1)
        centres: np.ndarray = np.exp((edges[1:] + edges[:-1]) / 2)
        return centres

    def cell_width(self, per_decade: float = CELLS_PER_DECADE) -> float:
        """Width of a cell in the logarithm of the magnitude, 0 for an open."""
        if self.size == "none":
            return 0.0
        return log(self.high / self.low) / len(self.magnitudes(per_decade))


def ports_of(faults: tuple[Fault, ...]) -> Ports:
    """The ports of all faults, in their order; swapped cavities have none (a shunt on nothing)."""
    return Ports(
        np.array([fault.edge for fault in faults], dtype=np.int64),
        np.array([fault.nodes[0] for fault in faults], dtype=np.int64),
        np.array([fault.nodes[1] for fault in faults], dtype=np.int64),
    )


def all_faults(network: Network, weights: Weights) -> tuple[Fault, ...]:
    """Every single fault of a loom.

    Parameters
    ----------
    network : the loom
    weights : how often which fault is met
    """
    build = _Builder(network, weights)
    found = (
        *build.on_wires(),
        *build.on_contacts(),
        *build.on_earths(),
        *build.on_joints(),
        *build.on_elements(),
        *build.between_neighbours(),
    )
    return _merged(found, network)


def nets_of(network: Network, *, through_earth: bool = False) -> list[int]:
    """Per node the number of its net: nodes joined by wires, on request by earth points too."""
    net = list(range(len(network.points)))

    def root(node: int) -> int:
        while net[node] != node:
            net[node] = net[net[node]]
            node = net[node]
        return node

    for edge in network.edges:
        if edge.wire is not None or (through_earth and edge.kind == "earth"):
            net[root(edge.tail)] = root(edge.head)
    return [root(node) for node in range(len(network.points))]


def _merged(faults: tuple[Fault, ...], network: Network) -> tuple[Fault, ...]:
    """Faults that are electrically one as one, with all their items.

    Shunts of one kind between the same two nets are parted by milliohms of wire; two wires that
    run side by side between the same plugs read the same swapped at either end.
    """
    nets, wires_at = nets_of(network), network.topology.wires_at
    groups: dict[object, list[Fault]] = {}
    for number, fault in enumerate(faults):
        key: object = number
        if fault.swap is not None:
            wires = [wire.wire for cavity in fault.swap for wire in wires_at[cavity]]
            key = frozenset(wires) if len(wires) == 2 else number
        elif fault.edge < 0:
            key = (fault.kind, frozenset(nets[node] for node in fault.nodes), fault.low)
        groups.setdefault(key, []).append(fault)
    merged = []
    for group in groups.values():
        group.sort(key=lambda fault: -fault.weight)
        merged.append(
            attrs.evolve(
                group[0],
                items=tuple(dict.fromkeys(item for fault in group for item in fault.items)),
                at=tuple(dict.fromkeys(point for fault in group for point in fault.at)),
                weight=sum(fault.weight for fault in group),
            )
        )
    return tuple(merged)


_STUCK_CLOSED_OHM = (0.02, 0.5)  # a closed contact; common practice, no published source
_SERIES = {"open": "none", "stuck_open": "none", "high_resistance": "ohm"}


class _Builder:
    def __init__(self, network: Network, weights: Weights) -> None:
        self.network, self.weights = network, weights
        self.loom = network.topology

    def on_wires(self) -> Iterator[Fault]:
        """Series faults of a wire with the crimps or splices at its ends; shorts of its cover."""
        for number, edge in enumerate(self.network.edges):
            if edge.wire is None:
                continue
            series: dict[str, list[tuple[float, str, float, float]]] = {}
            for rate in self.weights.of_wire(edge.wire):
                if rate.kind in _SERIES:
                    series.setdefault(rate.kind, []).append(
                        (rate.weight, edge.wire.wire, rate.low, rate.high)
                    )
                elif rate.kind != "short_between":  # which other wire is not known; see neighbours
                    yield from self.shunted(rate.kind, edge.items[:1], edge.at, edge.tail, rate)
            for end in edge.at:
                for rate in self.weights.of_wire_end(end, len(self.loom.wires_at[end])):
                    if rate.kind in _SERIES:
                        series.setdefault(rate.kind, []).append(
                            (rate.weight, str(end), rate.low, rate.high)
                        )
            for kind, parts in series.items():
                parts.sort(key=lambda part: -part[0])
                yield Fault(
                    kind=kind,
                    items=tuple(dict.fromkeys(part[1] for part in parts)),
                    at=edge.at,
                    weight=sum(part[0] for part in parts),
                    edge=number,
                    size="none" if _SERIES[kind] == "none" else "ohm",
                    low=parts[0][2],
                    high=parts[0][3],
                )

    def on_contacts(self) -> Iterator[Fault]:
        for number, edge in enumerate(self.network.edges):
            if edge.kind == "contact":
                for rate in self.weights.of_contact(edge.at[0]):
                    if rate.kind in _SERIES:
                        yield self.series(rate.kind, edge.items, edge.at, number, rate)

    def on_earths(self) -> Iterator[Fault]:
        for number, edge in enumerate(self.network.edges):
            if edge.kind in ("earth", "case"):
                for rate in self.weights.of_earth(edge.items[0]):
                    yield self.series(rate.kind, edge.items, edge.at, number, rate)

    def on_joints(self) -> Iterator[Fault]:
        """Shorts at a splice or stud; its series faults belong to the wires that meet there."""
        for joint in self.network.job.joints:
            point = Point(joint.joint)
            node = self.network.node(point)
            if node is None or joint.kind not in ("splice", "stud"):
                continue
            for rate in self.weights.of_joint(joint.joint):
                if rate.kind not in _SERIES:
                    yield from self.shunted(rate.kind, (joint.joint,), (point,), node, rate)

    def on_elements(self) -> Iterator[Fault]:
        for number, edge in enumerate(self.network.edges):
            if edge.element is None or edge.kind == "pull_up":
                continue
            for rate in self.weights.of_element(edge.element):
                for fault in self.inside(edge, number, rate):
                    yield attrs.evolve(fault, device=edge.element.device)

    def inside(self, edge: Edge, number: int, rate: Rate) -> Iterator[Fault]:
        """One kind of trouble of one element."""
        if rate.kind in _SERIES:
            yield self.series(rate.kind, edge.items, edge.at, number, rate)
        elif rate.kind in ("drift", "wrong_device"):
            yield self.series(rate.kind, edge.items, edge.at, number, rate, size="factor")
        elif rate.kind in ("bypassed", "stuck_closed"):
            yield self.shunt(rate.kind, edge.items, edge.at, (edge.tail, edge.head), rate)
        else:
            yield from self.shunted(rate.kind, edge.items, edge.at, edge.tail, rate)

    def between_neighbours(self) -> Iterator[Fault]:
        """Shorts, leaks and swaps of wired cavities side by side in one plug."""
        for plug in self.loom.job.plugs:
            for pair in plug.face.neighbours:
                points = (Point(plug.plug, pair[0]), Point(plug.plug, pair[1]))
                if not all(point in self.network.node_of for point in points):
                    continue
                if not all(point in self.loom.wires_at for point in points):
                    continue
                items = tuple(str(point) for point in points)
                nodes = (self.network.node_of[points[0]], self.network.node_of[points[1]])
                for rate in self.weights.of_neighbours(plug.plug):
                    if rate.kind == "swapped":
                        yield Fault("swapped", items, points, rate.weight, swap=points)
                    elif nodes[0] != nodes[1]:
                        yield self.shunt(rate.kind, items, points, nodes, rate)

    def series(
        self,
        kind: str,
        items: tuple[str, ...],
        at: tuple[Point, ...],
        edge: int,
        rate: Rate,
        size: Size = "ohm",
    ) -> Fault:
        low, high = rate.low, rate.high
        chosen: Size = "none" if _SERIES.get(kind) == "none" else size
        return Fault(kind, items, at, rate.weight, edge, (0, 0), chosen, low, high)

    def shunt(
        self,
        kind: str,
        items: tuple[str, ...],
        at: tuple[Point, ...],
        nodes: tuple[int, int],
        rate: Rate,
    ) -> Fault:
        low, high = (rate.low, rate.high) if rate.high else _STUCK_CLOSED_OHM
        return Fault(kind, items, at, rate.weight, -1, nodes, "ohm", low, high)

    def shunted(
        self, kind: str, items: tuple[str, ...], at: tuple[Point, ...], node: int, rate: Rate
    ) -> Iterator[Fault]:
        """A shunt to earth or to supply, where there is such a thing and it is elsewhere."""
        other = self.network.supply if kind == "short_to_supply" else self.network.earth
        if other is not None and other != node:
            yield self.shunt(kind, items, at, (node, other), rate)
