"""Freeing the nets of a leak: what tells a leak to earth from one to a neighbour.

While a net hangs together with others through devices, a leak from it to any of them reads the
same. With every plug off at which the leaking nets end, each net stands alone, and ohms from one
to the other, or volts on one with the key on, say where the leak goes.
"""

from __future__ import annotations

from collections import defaultdict

import attrs
import numpy as np

from loomwright.circuit.configuration import Floats
from loomwright.diagnosis.model import Model
from loomwright.loom import Point

_WORTH_FREEING = 0.1
_MOST_SUSPECTS = 3
_MOST_PLUGS = 4


@attrs.frozen
class Freed:
    """Nets that stand alone.

    Attributes
    ----------
    plugs : that are off for it, control plugs apart
    points : a cavity on each net
    """

    plugs: tuple[str, ...]
    points: tuple[Point, ...]


def freed(model: Model, fault: Floats, control: tuple[str, ...]) -> tuple[Freed, ...]:
    """What to pull for the likeliest leaks and shorts, each choice once.

    Parameters
    ----------
    model : the loom
    fault : probability that each fault is present, shape (faults,)
    control : plugs that are off in any case
    """
    loom = model.network.topology
    leading = [
        number
        for number in np.argsort(-fault, kind="stable")[:_MOST_SUSPECTS]
        if fault[number] > _WORTH_FREEING and _is_shunt(model, int(number))
    ]
    on_net = _cavities(model)
    nets = {int(n): [net for net in _nets(model, int(n)) if net in on_net] for n in leading}
    points = tuple(dict.fromkeys(on_net[net][0] for number in leading for net in nets[int(number)]))
    found: dict[tuple[str, ...], Freed] = {}
    for number in leading:
        plugs = {
            point.owner
            for net in nets[int(number)]
            for point in on_net[net]
            if point.owner in loom.plugs
        }
        off = tuple(sorted(plugs - set(control)))
        if 0 < len(off) <= _MOST_PLUGS:
            found[off] = Freed(off, points)
    return tuple(found.values())


def _is_shunt(model: Model, number: int) -> bool:
    fault = model.faults[number]
    return fault.edge < 0 and fault.swap is None and not fault.device


def _nets(model: Model, number: int) -> list[int]:
    earth = model.nets[model.network.earth]
    nets = dict.fromkeys(model.nets[node] for node in model.faults[number].nodes)
    return [net for net in nets if net != earth]


def _cavities(model: Model) -> dict[int, list[Point]]:
    """Cavities with a wire, by net."""
    loom = model.network.topology
    found: dict[int, list[Point]] = defaultdict(list)
    for point, node in model.network.node_of.items():
        if point.owner in loom.plugs and loom.is_loom_side(point):
            found[model.nets[node]].append(point)
    return dict(found)
