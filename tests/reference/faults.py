"""Physical faults, any number of them, put into a plain list of branches.

Nothing here is linearised or bordered: a broken wire leaves the list, a chafed one adds a branch.
Swapped wires change place first, then drift, then series resistance, then shunts; the order in
which faults are given does not matter.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import attrs

from loomwright.circuit.configuration import Configuration
from loomwright.circuit.network import Network
from loomwright.loom import Job, Point
from reference.dense import Branch


@attrs.frozen
class Series:
    """Extra resistance [ohm] in one edge; infinite is an open."""

    edge: int
    ohm: float = math.inf


@attrs.frozen
class Drift:
    """An edge whose own resistance is `factor` times what it should be."""

    edge: int
    factor: float


@attrs.frozen
class Shunt:
    """A resistance [ohm] where there should be none, between two nodes."""

    a: int
    b: int
    ohm: float


@attrs.frozen
class Swap:
    """The wires at two cavities have changed places; nodes of the cavities."""

    a: int
    b: int


Fault = Series | Drift | Shunt | Swap


def short_to_earth(network: Network, node: int, ohm: float) -> Shunt:
    """A leak from a node to engine metal."""
    return Shunt(node, network.earth, ohm)


def short_to_supply(network: Network, node: int, ohm: float) -> Shunt:
    """A leak from a node to the loom side of the battery's plus joint.

    Raises
    ------
    ValueError
        when the loom has no plus joint.
    """
    supply = network.supply
    if supply is None:
        raise ValueError("this loom has no battery_plus joint to short to")
    return Shunt(node, supply, ohm)


def edited(
    network: Network,
    configuration: Configuration,
    faults: Iterable[Fault] = (),
    *,
    dead: bool = False,
) -> list[Branch]:
    """The branches that carry current, faults in place.

    Parameters
    ----------
    network, configuration : the loom and its ohms, volts and presence of each edge
    faults : any number of faults
    dead : all sources at 0 V, as an ohmmeter needs
    """
    faults = list(faults)
    extra, factor = _on_edges(faults)
    moved = _moved(faults)
    branches: list[Branch] = []
    for number, edge in enumerate(network.edges):
        ohm = float(configuration.ohm[number]) * factor.get(number, 1.0) + extra.get(number, 0.0)
        if not configuration.present[number] or math.isinf(ohm):
            continue
        emf = 0.0 if dead else float(configuration.emf[number])
        tail, head = edge.tail, edge.head
        if edge.kind == "wire":
            tail, head = moved.get(tail, tail), moved.get(head, head)
        branches.append((tail, head, ohm, emf))
    branches += [(fault.a, fault.b, fault.ohm, 0.0) for fault in faults if isinstance(fault, Shunt)]
    return branches


def _on_edges(faults: Iterable[Fault]) -> tuple[dict[int, float], dict[int, float]]:
    extra: dict[int, float] = {}
    factor: dict[int, float] = {}
    for fault in faults:
        if isinstance(fault, Series):
            extra[fault.edge] = extra.get(fault.edge, 0.0) + fault.ohm
        elif isinstance(fault, Drift):
            factor[fault.edge] = factor.get(fault.edge, 1.0) * fault.factor
    return extra, factor


def _moved(faults: Iterable[Fault]) -> dict[int, int]:
    """Where the wires of each node now end; several swaps are made in the order given."""
    holds: dict[int, int] = {}
    for fault in faults:
        if isinstance(fault, Swap):
            at_a, at_b = holds.get(fault.a, fault.a), holds.get(fault.b, fault.b)
            holds[fault.a], holds[fault.b] = at_b, at_a
    return {origin: place for place, origin in holds.items()}


def swapped_job(job: Job, one: Point, other: Point) -> Job:
    """The job as it would be written down with the wires of two cavities exchanged."""
    to = {one: other, other: one}
    wires = tuple(
        attrs.evolve(
            wire,
            from_point=to.get(wire.from_point, wire.from_point),
            to_point=to.get(wire.to_point, wire.to_point),
        )
        for wire in job.wires
    )
    return attrs.evolve(job, wires=wires)
