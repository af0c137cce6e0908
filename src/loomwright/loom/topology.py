"""Look-ups over a loom: what meets what, and what hangs where."""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property

import attrs

from loomwright.loom.identity import CASE_PIN, Point
from loomwright.loom.records import Device, Element, Job, Joint, Plug, Wire


@attrs.define(slots=False, eq=False)
class Topology:
    """Indexes of one job's loom; built when first asked for.

    Rows with the same name twice are the checker's business; here the first one wins.
    """

    job: Job

    @cached_property
    def plugs(self) -> dict[str, Plug]:
        """Plugs by name."""
        return {plug.plug: plug for plug in reversed(self.job.plugs)}

    @cached_property
    def devices(self) -> dict[str, Device]:
        """Devices by name."""
        return {device.device: device for device in reversed(self.job.devices)}

    @cached_property
    def joints(self) -> dict[str, Joint]:
        """Joints by name."""
        return {joint.joint: joint for joint in reversed(self.job.joints)}

    @cached_property
    def elements_of(self) -> dict[str, list[Element]]:
        """Elements by device."""
        found: dict[str, list[Element]] = defaultdict(list)
        for element in self.job.elements:
            found[element.device].append(element)
        return found

    @cached_property
    def pins(self) -> dict[str, list[str]]:
        """Pin names by device, in order of mention, the metal body left out."""
        return {
            device: list(
                dict.fromkeys(
                    pin
                    for element in self.elements_of.get(device, ())
                    for pin in (element.from_pin, element.to_pin)
                    if pin != CASE_PIN
                )
            )
            for device in self.devices
        }

    @cached_property
    def wires_at(self) -> dict[Point, list[Wire]]:
        """Wires by the points at their ends."""
        found: dict[Point, list[Wire]] = defaultdict(list)
        for wire in self.job.wires:
            found[wire.from_point].append(wire)
            if wire.to_point != wire.from_point:
                found[wire.to_point].append(wire)
        return found

    @cached_property
    def mated_by(self) -> dict[str, list[Plug]]:
        """Plugs by the device or plug they fit onto."""
        found: dict[str, list[Plug]] = defaultdict(list)
        for plug in self.job.plugs:
            if plug.mates_with:
                found[plug.mates_with].append(plug)
        return found

    def across(self, cavity: Point) -> Point | None:
        """The pin or cavity that a plug's cavity meets when mated, or None."""
        plug = self.plugs.get(cavity.owner)
        if plug is None or not plug.mates_with:
            return None
        other = plug.mates_with
        names = self.pins.get(other) or (
            self.plugs[other].face.cavities if other in self.plugs else ()
        )
        return Point(other, cavity.terminal) if cavity.terminal in names else None

    def is_splice(self, name: str) -> bool:
        """Whether a splice has this name."""
        joint = self.joints.get(name)
        return joint is not None and joint.kind == "splice"

    def is_loom_side(self, point: Point) -> bool:
        """Whether a wire can end here: a cavity of a plug, or a joint."""
        if not point.terminal:
            return point.owner in self.joints
        plug = self.plugs.get(point.owner)
        return plug is not None and point.terminal in plug.face.cavities

    def exists(self, point: Point) -> bool:
        """Whether a probe could touch this point at all."""
        if self.is_loom_side(point):
            return True
        if point.owner not in self.devices:
            return False
        return point.terminal == CASE_PIN or point.terminal in self.pins[point.owner]
