"""Where a current goes: side paths of a reading, stretches of wire, the way from a point."""

from __future__ import annotations

import attrs
import numpy as np

from loomwright.circuit.network import Edge, Network
from loomwright.circuit.ports import share
from loomwright.circuit.solver import Solved
from loomwright.loom import Point

_SIDE = 0.01
_LEAST_A = 0.01  # below it a drop is lost in the meter's counts


@attrs.frozen
class SidePath:
    """A device that carries part of a reading's current beside the main path.

    Attributes
    ----------
    device : the device
    share : largest share of the current in one of its elements
    unplug : plugs to take off to be rid of it
    """

    device: str
    share: float
    unplug: tuple[str, ...]


def side_paths(network: Network, solved: Solved, plus: int, minus: int) -> tuple[SidePath, ...]:
    """Devices that carry a part, but not all, of the current between two nodes.

    Parameters
    ----------
    network, solved : the loom and one configuration of it
    plus, minus : nodes of the probes
    """
    if solved.island[plus] != solved.island[minus]:
        return ()
    numbers = np.array([n for n, e in enumerate(network.edges) if e.element is not None], np.int64)
    if not len(numbers):
        return ()
    shares = np.abs(share(solved, np.array([plus]), np.array([minus]), numbers))
    found: dict[str, float] = {}
    for number, part in zip(numbers.tolist(), shares.tolist(), strict=True):
        edge = network.edges[number]
        if _SIDE < part < 1.0 - _SIDE and edge.element is not None:
            device = edge.element.device
            found[device] = max(found.get(device, 0.0), part)
    main = max(found, key=lambda device: found[device], default="")
    loom = network.topology
    return tuple(
        SidePath(device, part, tuple(str(plug.plug) for plug in loom.mated_by[device]))
        for device, part in sorted(found.items(), key=lambda item: -item[1])
        if device != main
    )


@attrs.frozen
class Stretch:
    """Wires and connections between two points, all carrying one current.

    Attributes
    ----------
    items : what it goes through
    ohm : what it should have [ohm]
    wire_ohm : the wires' share of that [ohm]
    ampere : current through it with nothing wrong [A]
    """

    items: tuple[str, ...]
    ohm: float
    wire_ohm: float
    ampere: float

    def measured_ohm(self, volts: float) -> float:
        """Resistance that a drop across the stretch means, at that current [ohm]."""
        return abs(volts) / self.ampere


def stretch(network: Network, solved: Solved, plus: int, minus: int) -> Stretch | None:
    """The stretch between two nodes, None when there is none or no current to speak of.

    There is none where only a device joins the nodes, or where the current divides on the way.
    """
    numbers = _conducting_way(network, solved, plus, minus)
    if not numbers:
        return None
    amps = np.abs(solved.loop_current[np.array(numbers)])
    if amps.min() < _LEAST_A or amps.max() > amps.min() * (1.0 + _SIDE):
        return None
    ohm = solved.configuration.ohm
    edges = [(number, network.edges[number]) for number in numbers]
    return Stretch(
        items=tuple(dict.fromkeys(item for _, edge in edges for item in edge.items[:1])),
        ohm=float(sum(ohm[number] for number, _ in edges)),
        wire_ohm=float(sum(ohm[number] for number, edge in edges if edge.wire is not None)),
        ampere=float(amps.mean()),
    )


def _conducting_way(network: Network, solved: Solved, plus: int, minus: int) -> list[int]:
    """Fewest wires and connections from one node to another, no element among them."""
    present = solved.configuration.present
    at: dict[int, list[tuple[int, int]]] = {}
    for number, edge in enumerate(network.edges):
        if present[number] and edge.kind in ("wire", "contact", "earth", "feed", "case"):
            at.setdefault(edge.tail, []).append((edge.head, number))
            at.setdefault(edge.head, []).append((edge.tail, number))
    came: dict[int, tuple[int, int]] = {plus: (plus, -1)}
    queue = [plus]
    for node in queue:
        for far, number in at.get(node, ()):
            if far not in came:
                came[far] = (node, number)
                queue.append(far)
    if minus not in came or minus == plus:
        return []
    way, node = [], minus
    while node != plus:
        node, number = came[node]
        way.append(number)
    return way[::-1]


@attrs.frozen
class Piece:
    """One piece on the way from a point.

    Attributes
    ----------
    depth : how many branchings lie before it
    kind : wire, contact, element, earth, case, feed or battery
    items : identifiers of the job's tables
    start, end : the points it lies between
    ohm : its resistance [ohm]
    so_far : resistance from the point to its end along this way [ohm]
    ends : why the way ends here, empty when it goes on
    """

    depth: int
    kind: str
    items: tuple[str, ...]
    start: Point
    end: Point
    ohm: float
    so_far: float
    ends: str


def pieces(
    network: Network, solved: Solved, start: Point, stop_at: frozenset[str] = frozenset()
) -> tuple[Piece, ...]:
    """Each piece from a point to where it ends, branch by branch, nearest end first.

    Parameters
    ----------
    network, solved : the loom and one configuration of it
    start : where to begin
    stop_at : devices that end a way (the control unit)
    """
    node = network.node_of.get(start)
    if node is None:
        return ()
    return tuple(_Walk(network, solved, stop_at).from_node(node))


class _Walk:
    def __init__(self, network: Network, solved: Solved, stop_at: frozenset[str]) -> None:
        self.network, self.solved, self.stop_at = network, solved, stop_at
        self.at: dict[int, list[tuple[int, Edge]]] = {}
        present = solved.configuration.present
        for number, edge in enumerate(network.edges):
            if present[number] and edge.kind != "pull_up":
                self.at.setdefault(edge.tail, []).append((number, edge))
                self.at.setdefault(edge.head, []).append((number, edge))
        self.used: set[int] = set()
        self.visited: set[int] = set()

    def from_node(self, node: int, depth: int = 0, so_far: float = 0.0) -> list[Piece]:
        self.visited.add(node)
        onward = [
            (number, edge) for number, edge in self.at.get(node, ()) if number not in self.used
        ]
        # An earth or supply joint gathers the whole loom: a way ends there.
        found: list[Piece] = []
        deeper = depth + (len(onward) > 1)
        for number, edge in onward:
            if number in self.used:
                continue
            self.used.add(number)
            far = edge.head if edge.tail == node else edge.tail
            ohm = float(self.solved.configuration.ohm[number])
            why = self.end_of_way(far)
            points = self.network.points
            found.append(
                Piece(
                    deeper, edge.kind, edge.items, points[node], points[far], ohm, so_far + ohm, why
                )
            )
            if not why:
                found += self.from_node(far, deeper, so_far + ohm)
        return found

    def end_of_way(self, node: int) -> str:
        point = self.network.points[node]
        joint = self.network.topology.joints.get(point.owner)
        if node == self.network.earth:
            return "engine and body metal"
        if joint is not None and joint.kind != "splice":
            return {"earth": "earth point", "stud": "stud"}.get(joint.kind, "battery")
        if point.owner in self.stop_at:
            return "control unit"
        if node in self.visited:
            return "joins what is listed above"
        if len(self.at.get(node, ())) <= 1:
            return "nothing beyond"
        return ""
