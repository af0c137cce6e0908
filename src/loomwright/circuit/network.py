"""A loom as nodes and edges: every wire, contact, joint and element that can carry current.

The list of edges is the same in every state, so a fault keeps its edge number; `configuration`
says which edges carry current in one state and with how many ohms.
"""

from __future__ import annotations

from typing import Literal

import attrs

from loomwright.loom import CASE_PIN, Element, Job, Point, Topology, Wire

EdgeKind = Literal["wire", "contact", "earth", "case", "element", "pull_up", "battery", "feed"]

METAL = Point("~metal")
"""Engine and body metal, what every earth point is bolted to. No job can use this name."""

POST = Point("~post")
"""The battery's plus post, before whatever the key switches off."""


@attrs.frozen
class Edge:
    """One thing that carries current between two nodes.

    Attributes
    ----------
    tail, head : node numbers; current counts positive from tail to head
    kind : what it is
    items : identifiers of the job's tables that it stands for, the likeliest culprit first
    at : the points it lies between, where a person can look
    plugs : plugs that must all be on for it to exist
    """

    tail: int
    head: int
    kind: EdgeKind
    items: tuple[str, ...]
    at: tuple[Point, ...]
    plugs: frozenset[str] = frozenset()
    element: Element | None = None
    wire: Wire | None = None


@attrs.frozen(eq=False)
class Network:
    """All nodes and edges of one loom.

    Attributes
    ----------
    job : the job it was made from
    topology : look-ups over the same job
    points : the point of each node
    edges : all edges, numbered by place
    """

    job: Job
    topology: Topology
    points: tuple[Point, ...]
    edges: tuple[Edge, ...]
    node_of: dict[Point, int]

    @classmethod
    def of(cls, job: Job) -> Network:
        """Nodes and edges of a job. Rows that refer to nothing are left out, not guessed."""
        build = _Builder(Topology(job))
        build.wires()
        build.contacts()
        build.elements()
        build.joints()
        return cls(job, build.topology, tuple(build.node_of), tuple(build.edges), build.node_of)

    def node(self, point: Point, *, volts: bool = False) -> int | None:
        """The node a probe touches at a point; None when nothing is there.

        A voltmeter on the battery's plus joint touches the post itself, so that the battery can be
        read with the key off.
        """
        joint = self.topology.joints.get(point.owner)
        if volts and joint is not None and joint.kind == "battery_plus":
            return self.node_of[POST]
        return self.node_of.get(point)

    @property
    def earth(self) -> int:
        """The node of engine and body metal."""
        return self.node_of[METAL]

    @property
    def battery(self) -> int | None:
        """The number of the battery's edge, or None."""
        return next((n for n, edge in enumerate(self.edges) if edge.kind == "battery"), None)

    @property
    def inner_supplies(self) -> tuple[int, ...]:
        """The numbers of the edges that pull control-unit inputs up."""
        return tuple(n for n, edge in enumerate(self.edges) if edge.kind == "pull_up")

    @property
    def supply(self) -> int | None:
        """The node of the battery's plus joint on the loom side, or None."""
        for joint in self.job.joints:
            if joint.kind == "battery_plus":
                return self.node_of.get(Point(joint.joint))
        return None


class _Builder:
    """Collects nodes and edges; one method per table."""

    def __init__(self, topology: Topology) -> None:
        self.topology = topology
        self.node_of: dict[Point, int] = {METAL: 0, POST: 1}
        self.edges: list[Edge] = []

    def node(self, point: Point) -> int:
        return self.node_of.setdefault(point, len(self.node_of))

    def wires(self) -> None:
        loom = self.topology
        for wire in loom.job.wires:
            ends = (wire.from_point, wire.to_point)
            if ends[0] == ends[1] or not all(loom.is_loom_side(end) for end in ends):
                continue
            crimps = tuple(str(end) for end in ends if end.terminal)
            tail, head = (self.node(end) for end in ends)
            self.edges.append(Edge(tail, head, "wire", (wire.wire, *crimps), ends, wire=wire))

    def contacts(self) -> None:
        """A contact where a wired cavity meets a pin or another plug's cavity."""
        loom = self.topology
        seen: set[frozenset[Point]] = set()
        for plug in loom.job.plugs:
            for name in plug.face.cavities:
                cavity = Point(plug.plug, name)
                other = loom.across(cavity)
                if other is None or frozenset((cavity, other)) in seen:
                    continue
                if cavity not in loom.wires_at and other not in loom.wires_at:
                    continue
                seen.add(frozenset((cavity, other)))
                plugs = frozenset({plug.plug} | ({other.owner} & loom.plugs.keys()))
                tail, head = self.node(cavity), self.node(other)
                self.edges.append(
                    Edge(tail, head, "contact", (str(cavity),), (cavity, other), plugs)
                )

    def elements(self) -> None:
        loom = self.topology
        for element in loom.job.elements:
            if element.device not in loom.devices or element.from_pin == element.to_pin:
                continue
            ends = (Point(element.device, element.from_pin), Point(element.device, element.to_pin))
            tail, head = (self.node(end) for end in ends)
            items = (element.device,)
            if element.kind != "input" or element.ohm:
                self.edges.append(Edge(tail, head, "element", items, ends, element=element))
            if element.kind == "input" and element.pull_up_ohm:
                # The inner supply lifts the input pin above its reference pin.
                self.edges.append(Edge(head, tail, "pull_up", items, ends[::-1], element=element))
        for device in loom.devices:
            case = Point(device, CASE_PIN)
            if case in self.node_of:
                tail = self.node(case)
                self.edges.append(Edge(tail, 0, "case", (str(device),), (case,)))

    def joints(self) -> None:
        plus = minus = None
        for joint in self.topology.job.joints:
            point = Point(joint.joint)
            if joint.kind in ("earth", "battery_minus"):
                node = self.node(point)
                self.edges.append(Edge(node, 0, "earth", (joint.joint,), (point,)))
                minus = node if joint.kind == "battery_minus" and minus is None else minus
            elif joint.kind == "battery_plus":
                plus = self.node(point) if plus is None else plus
            elif point in self.topology.wires_at:
                self.node(point)
        if plus is not None:
            post = (self.topology_point(plus),)
            self.edges.append(Edge(0 if minus is None else minus, 1, "battery", (), post))
            self.edges.append(Edge(1, plus, "feed", (), post))

    def topology_point(self, node: int) -> Point:
        return list(self.node_of)[node]
