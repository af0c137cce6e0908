"""A lamp behind a fuse, a branch in a heat zone: the smallest loom that carries current."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright.loom import Job, Point
from loomwright.loom.face import Face
from loomwright.loom.records import About, Branch, Device, Element, Joint, Plug, Wire, Zone
from loomwright.loom.state import Condition

HOT = Zone(zone="HOT", running_c=90.0, soak_c=110.0, hours_per_year=200.0, soak_share=0.1)
COOL = Zone(zone="COOL", running_c=40.0, soak_c=45.0, hours_per_year=200.0, soak_share=0.1)


def point(text: str) -> Point:
    """`L.1` or `BP`."""
    owner, _, terminal = text.partition(".")
    return Point(owner, terminal)


def wire(name: str, start: str, end: str, **more: Any) -> Wire:
    """A wire of 1 mm² with insulation of 105 °C."""
    usual: dict[str, Any] = {"section_mm2": 1.0, "length_mm": 1000.0, "insulation": "PVC 105"}
    return Wire(wire=name, from_point=point(start), to_point=point(end), **{**usual, **more})


def plug(name: str, face: str, device: str, **more: Any) -> Plug:
    """A plug on a device."""
    return Plug(plug=name, face=Face.parse(face), mates_with=device, **more)


def element(name: str, device: str, kind: str, **more: Any) -> Element:
    """An element between pins 1 and 2 unless told otherwise."""
    usual: dict[str, Any] = {"from_pin": "1", "to_pin": "2"}
    return Element(element=name, device=device, kind=kind, **{**usual, **more})


def fed(ohm: float = 14.0, *, fuse_a: float | None = 10.0, fuse_type: str | None = "C") -> Job:
    """Battery, W1, fuse, W2 through branch B1, lamp, W3 to earth."""
    return Job(
        about=About(title="Lamp", opened_on="2026-05-14", ambient_c=20.0),
        plugs=(
            plug("F", "1 2", "FUSE", place="box", boot="none"),
            plug("L", "1 2", "LAMP", place="front", boot="straight, EPDM"),
        ),
        joints=(
            Joint(joint="BP", kind="battery_plus", place="box"),
            Joint(joint="E", kind="earth", place="front"),
        ),
        wires=(
            wire("W1", "BP", "F.1"),
            wire("W2", "F.2", "L.1", branches=("B1",)),
            wire("W3", "L.2", "E"),
        ),
        devices=(
            Device(device="FUSE", place="box", zone="COOL"),
            Device(device="LAMP", place="front", zone="COOL"),
        ),
        elements=(
            element("FU", "FUSE", "link", ohm=0.001, fuse_a=fuse_a, fuse_type=fuse_type),
            element("BULB", "LAMP", "resistor", ohm=ohm),
        ),
        branches=(Branch(branch="B1", from_place="box", to_place="front", zone="HOT"),),
        zones=(HOT, COOL),
    )


def wired(job: Job, **changes: Any) -> Job:
    """The job with something changed on every wire."""
    return attrs.evolve(job, wires=tuple(attrs.evolve(each, **changes) for each in job.wires))


def when(text: str) -> Condition:
    """What closes a contact."""
    return Condition.parse(text)


def many(job: Job, times: int) -> Job:
    """The loom so many times side by side on one battery and one earth."""
    shared = {str(j.joint) for j in job.joints if j.kind != "splice"}

    def named(name: Any, n: int) -> Any:
        return name if name is None or name in shared else type(name)(f"{name}-{n}")

    def end(at: Point, n: int) -> Point:
        return Point(named(at.owner, n), at.terminal)

    counts = range(times)
    return attrs.evolve(
        job,
        survey=(),
        readings=(),
        joints=tuple(
            attrs.evolve(j, joint=named(j.joint, n))
            for n in counts
            for j in job.joints
            if n == 0 or j.joint not in shared
        ),
        plugs=tuple(
            attrs.evolve(p, plug=named(p.plug, n), mates_with=named(p.mates_with, n))
            for n in counts
            for p in job.plugs
        ),
        devices=tuple(
            attrs.evolve(d, device=named(d.device, n)) for n in counts for d in job.devices
        ),
        elements=tuple(
            attrs.evolve(e, element=named(e.element, n), device=named(e.device, n))
            for n in counts
            for e in job.elements
        ),
        wires=tuple(
            attrs.evolve(w, wire=named(w.wire, n), from_point=end(w.from_point, n),
                         to_point=end(w.to_point, n))
            for n in counts
            for w in job.wires
        ),
    )  # fmt: skip
