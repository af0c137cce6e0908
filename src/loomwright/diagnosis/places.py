"""Places: faults that no reading can tell apart, because no probe fits between them.

Two contacts of one two-pin sensor are in series wherever a probe can touch, and two shorts between
the same two nets differ by milliohms of wire. They form one *place*, however many items it has;
opening a plug or looking is what tells its items apart. Whatever is wrong inside one device is one
place too: the cure is the same.
"""

from __future__ import annotations

import attrs
import numpy as np

from loomwright.circuit import Edge, Network, solve_arrays
from loomwright.circuit.configuration import Configuration
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.faults import Fault, nets_of
from loomwright.loom import State


@attrs.frozen
class Place:
    """Items that cannot be told apart by readings.

    Attributes
    ----------
    items : identifiers of the job's tables, the likeliest first
    faults : numbers of the faults that are here
    """

    items: tuple[str, ...]
    faults: tuple[int, ...]


def places_of(network: Network, faults: tuple[Fault, ...]) -> tuple[tuple[Place, ...], Ints]:
    """All places, and the place number of each fault, shape (faults,)."""
    series = _series_places(network)
    # A short to an earth wire is a short to earth, but for the milliohms of the earth point.
    nets = nets_of(network, through_earth=True)
    members: dict[tuple[str, object], list[int]] = {}
    for number, fault in enumerate(faults):
        if fault.swap is not None:
            key: tuple[str, object] = ("swap", fault.items)
        elif fault.device and not (fault.edge >= 0 and _out_of_reach(network.edges[fault.edge])):
            key = ("device", fault.device)
        elif fault.edge >= 0:
            key = ("series", int(series[fault.edge]))
        else:
            key = ("shunt", frozenset(nets[node] for node in fault.nodes))
        members.setdefault(key, []).append(number)
    place_of = np.zeros(len(faults), np.int64)
    places = []
    for place, numbers in enumerate(members.values()):
        place_of[numbers] = place
        numbers.sort(key=lambda number: -faults[number].weight)
        items = dict.fromkeys(item for number in numbers for item in faults[number].items)
        places.append(Place(tuple(items), tuple(numbers)))
    return tuple(places), place_of


def _series_places(network: Network) -> Ints:
    """Per edge the number of its place: contacts with no probe point between them share one.

    A star from a hub to every point a probe can reach makes loops; two contacts in the same loops
    have no such point between them.
    """
    edges = network.edges
    hub = len(network.points)
    loom = network.topology
    reachable = [n for n, point in enumerate(network.points) if loom.is_loom_side(point)]
    reachable += [network.earth]
    tails = np.array([e.tail for e in edges] + [hub] * len(reachable), dtype=np.int64)
    heads = np.array([e.head for e in edges] + reachable, dtype=np.int64)
    count = len(tails)
    ones = np.ones(count)
    whole = Configuration(
        State(),
        frozenset(),
        ones,
        ones * 0,
        ones.astype(bool),
        ones * 0,
        ones * 0,
        ("",) * count,
        {},
    )
    classes = solve_arrays(hub + 1, tails, heads, whole).series_class
    found = np.arange(len(edges))
    for number, edge in enumerate(edges):
        if _out_of_reach(edge) and classes[number] >= 0:
            same = np.flatnonzero(classes[: len(edges)] == classes[number])
            found[number] = min(other for other in same if _out_of_reach(edges[other]))
    return found


def _out_of_reach(edge: Edge) -> bool:
    """Whether an ohmmeter never has an edge alone between its probes.

    Contacts of plugs, and contacts inside a device that close only while a supply is on: with
    its plug off they are open, with it on they are in series with the plug's.
    """
    if edge.kind == "contact":
        return True
    closed = edge.element.closed_when if edge.element is not None else None
    if closed is None:
        return False
    return not closed.holds({"key": "off", **{name: value for name, _, value in closed.clauses
                                              if name != "key"}})  # fmt: skip
