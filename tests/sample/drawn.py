"""Small looms written down in a few lines, as the drawings beside them show; all invented."""

from __future__ import annotations

import math
from collections.abc import Mapping

from loomwright.loom import (
    About,
    Condition,
    CurvePoint,
    Device,
    Element,
    Face,
    Job,
    Joint,
    Plug,
    Point,
    Reading,
    State,
    Wire,
)

COOLANT = ((-20, 15455), (-10, 9394), (0, 5887), (20, 2508), (40, 1175), (60, 596), (80, 324),
           (95, 213), (110, 146))  # fmt: skip
"""Rows of the usual coolant sensor, near the curve of published tables."""


def loom(
    wires: str,
    plugs: Mapping[str, str],
    elements: str,
    joints: Mapping[str, str] | None = None,
    *,
    temperatures: Mapping[str, str | float] | None = None,
    supply_v: float = 12.0,
    title: str = "Drawn loom",
) -> Job:
    """A job from short lines.

    Parameters
    ----------
    wires : lines `W1 CU.1 T1.1 1200` (length [mm], 1 m when left out; 1 mm2)
    plugs : plug to `device: 1 2 / 3 4`, or `: 1 2` for a plug on nothing
    elements : lines `TH S.1 S.2 thermistor curve=NTC` or `R D.1 D.2 resistor ohm=100`
    joints : joint to kind
    temperatures : what warms a device, ambient when not named
    """
    shells, devices = [], {}
    for name, text in plugs.items():
        mate, _, face = text.partition(":")
        shells.append(Plug(plug=name, face=Face.parse(face), mates_with=mate.strip() or None))
    parts = [_element(line) for line in _lines(elements)]
    for part in parts:
        warmed = (temperatures or {}).get(part.device, "ambient")
        devices[part.device] = Device(device=part.device, temperature=warmed)
    curve = [CurvePoint(curve="NTC", temperature_c=c, ohm=ohm) for c, ohm in COOLANT]
    return Job(
        about=About(title=title, supply_v=supply_v),
        plugs=tuple(shells),
        joints=tuple(Joint(joint=name, kind=kind) for name, kind in (joints or {}).items()),
        wires=tuple(_wire(line) for line in _lines(wires)),
        devices=tuple(devices.values()),
        elements=tuple(parts),
        curves=tuple(curve) if any(part.curve for part in parts) else (),
    )


def _lines(text: str) -> list[list[str]]:
    return [line.split() for line in text.strip().splitlines() if line.strip()]


def _wire(words: list[str]) -> Wire:
    name, one, other, *length = words
    return Wire(
        wire=name,
        from_point=Point.parse(one),
        to_point=Point.parse(other),
        section_mm2=1.0,
        length_mm=float(length[0]) if length else 1000.0,
    )


def _element(words: list[str]) -> Element:
    name, one, other, kind, *rest = words
    values: dict[str, object] = {}
    for word in rest:
        key, _, value = word.partition("=")
        if key == "closed_when":
            values[key] = Condition.parse(value)
        else:
            values[key] = value if key == "curve" else float(value)
    begin, end = Point.parse(one), Point.parse(other)
    return Element(
        element=name,
        device=begin.owner,
        from_pin=begin.terminal,
        to_pin=end.terminal,
        kind=kind,
        **values,
    )


def reading(
    name: str, text: str, value: float | str, *, state: str = "", off: str = "CU"
) -> Reading:
    """`ohm CU.1 E1` read in a state with some plugs off."""
    quantity, plus, minus = text.split()
    return Reading(
        reading=name,
        quantity=quantity,
        plus=Point.parse(plus),
        minus=Point.parse(minus),
        unplugged=tuple(off.split()),
        state=State.parse(state),
        value=math.inf if value == "OL" else float(value),
    )
