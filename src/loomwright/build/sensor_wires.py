"""Wires of sensors whose resistance is their value: they are laid last, and better not spliced."""

from __future__ import annotations

from loomwright.build.tree import LoomTree
from loomwright.loom import Point, Wire


def sensor_wires(tree: LoomTree) -> frozenset[str]:
    """Wires with an end at a pin of a thermistor."""
    pins = {
        Point(element.device, pin)
        for element in tree.job.elements
        if element.kind == "thermistor"
        for pin in (element.from_pin, element.to_pin)
    }
    return frozenset(str(wire.wire) for wire in tree.job.wires if any(_meets(tree, wire, pins)))


def _meets(tree: LoomTree, wire: Wire, pins: set[Point]) -> list[bool]:
    return [tree.loom.across(point) in pins for point in (wire.from_point, wire.to_point)]
