"""Wires, cavities, plugs and devices: what meets what, and what meets nothing."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from loomwright.loom.cells import nearest
from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.errors import Problem, Where
from loomwright.loom.identity import CASE_PIN, Point
from loomwright.loom.records import Plug, Wire
from loomwright.loom.schema.wiring_tables import NO_SIDE, SIDES

LARGEST_IN_PLUG_MM2 = 16.0
"""Above this a wire does not end in a plug's cavity (common practice, no published source)."""
ODD_RATIO, IMPOSSIBLE_RATIO = 1.3, 3.0
"""Section against strands × strand area: worth a look, and a slip of unit or radius for diameter.
Nominal sections differ from the copper in them by up to a few parts in ten."""


def unknown_ends(evidence: Evidence) -> Iterator[Problem]:
    """A wire that ends on nothing, or on a device instead of its plug."""
    for wire in evidence.job.wires:
        for column, point in (("from", wire.from_point), ("to", wire.to_point)):
            if evidence.topology.is_loom_side(point) or point.owner in evidence.unread:
                continue
            yield no_such_point(evidence, point, Where("wires", wire.row, column), on_loom=True)


def pointless_wires(evidence: Evidence) -> Iterator[Problem]:
    """A wire with both ends at one point."""
    for wire in evidence.job.wires:
        if wire.from_point == wire.to_point:
            yield Problem(
                Where("wires", wire.row, "to"),
                f'"{wire.to_point}" is where the wire also begins',
                "write the point at its other end",
            )


def same_ends(evidence: Evidence) -> Iterator[Problem]:
    """Two wires between the same two points."""
    first: dict[frozenset[Point], Wire] = {}
    for wire in evidence.job.wires:
        ends = frozenset((wire.from_point, wire.to_point))
        other = first.setdefault(ends, wire)
        if other is not wire and len(ends) == 2:
            yield Problem(
                Where("wires", wire.row, "wire"),
                f'"{wire.wire}" has the same ends as "{other.wire}" in row {other.row}',
                "delete one, unless two wires really run side by side",
                warning=True,
            )


def unknown_sides(evidence: Evidence) -> Iterator[Problem]:
    """A key on a side that no face has, or on a side and nowhere."""
    for plug in evidence.job.plugs:
        where = Where("plugs", plug.row, "keying")
        for word in plug.keying:
            if word not in (*SIDES, NO_SIDE):
                near = nearest(word, (*SIDES, NO_SIDE))
                yield Problem(
                    where,
                    f'"{word}" is not a side of a face',
                    f'did you mean "{near}"?' if near else f"choose from {', '.join(SIDES)}",
                )
        sides = [word for word in plug.keying if word != NO_SIDE]
        if sides and len(sides) < len(plug.keying):
            yield Problem(
                where,
                f'a key on the side "{sides[0]}" and on no side at once is not possible',
                "write the sides alone, or the word for no side alone",
            )


def double_crimps(evidence: Evidence) -> Iterator[Problem]:
    """More than one wire in a cavity."""
    for point, wires in evidence.topology.wires_at.items():
        if point.terminal and len(wires) > 1 and evidence.topology.is_loom_side(point):
            last = wires[-1]
            names = " and ".join(f'"{wire.wire}"' for wire in wires[:8])
            yield Problem(
                Where("wires", last.row, "from" if last.from_point == point else "to"),
                f'wires {names} share cavity "{point}"',
                "right if they are crimped into one terminal; otherwise correct the cavity",
                warning=True,
            )


def impossible_sections(evidence: Evidence) -> Iterator[Problem]:
    """A section that cannot be: too thick for a plug, or not that of its strands."""
    for wire in evidence.job.wires:
        where = Where("wires", wire.row, "section_mm2")
        section = wire.section_mm2
        if section is None or section <= 0:
            continue
        plugged = [end for end in (wire.from_point, wire.to_point) if end.terminal]
        if section > LARGEST_IN_PLUG_MM2 and plugged:
            yield Problem(
                where,
                f'"{section:g}" mm² does not fit a plug, and the wire ends in "{plugged[0]}"',
                f"give at most {LARGEST_IN_PLUG_MM2:g} mm², such as {section / 100:g}",
            )
        if wire.strands and wire.strand_mm:
            copper = wire.strands * math.pi / 4 * wire.strand_mm**2
            ratio = max(section / copper, copper / section)
            if ratio > ODD_RATIO:
                what = (
                    f'"{section:g}" mm² does not agree with {wire.strands} strands of '
                    f"{wire.strand_mm:g} mm, which make {copper:.3g} mm²"
                )
                cure = "correct one of the three, or leave the one that is not known blank"
                yield Problem(where, what, cure, warning=ratio <= IMPOSSIBLE_RATIO)


def mates(evidence: Evidence) -> Iterator[Problem]:
    """A plug that fits onto itself, or onto a plug that fits elsewhere."""
    plugs = evidence.topology.plugs
    for plug in evidence.job.plugs:
        other = plugs.get(plug.mates_with or "")
        where = Where("plugs", plug.row, "mates_with")
        if other is None:
            continue
        if other.plug == plug.plug:
            yield Problem(where, f'"{plug.plug}" cannot fit onto itself', "name its other half")
        elif other.mates_with is None:
            yield Problem(
                where,
                f'"{other.plug}" does not name "{plug.plug}" as its other half',
                f'write "{plug.plug}" as what {other.plug} mates with',
                warning=True,
            )
        elif other.mates_with != plug.plug:
            yield Problem(
                where,
                f'"{other.plug}" mates with "{other.mates_with}", not with "{plug.plug}"',
                "correct one of the two",
            )


def loose_plugs(evidence: Evidence) -> Iterator[Problem]:
    """A plug with wires that mates with nothing."""
    wired = {point.owner for point in evidence.topology.wires_at if point.terminal}
    for plug in evidence.job.plugs:
        if not plug.mates_with and plug.plug in wired and plug.plug not in _named(evidence):
            yield Problem(
                Where("plugs", plug.row, "mates_with"),
                f'"{plug.plug}" has wires but mates with nothing',
                "name the device or plug it fits onto, if it is known",
                warning=True,
            )


def unreached_devices(evidence: Evidence) -> Iterator[Problem]:
    """A device that no plug fits onto."""
    reached = _named(evidence) | evidence.mentioned
    for device in evidence.job.devices:
        if device.device not in reached:
            yield Problem(
                Where("devices", device.row, "device"),
                f'no plug mates with "{device.device}"',
                f"write {device.device} as what its plug mates with",
                warning=True,
            )


def unmet_pins(evidence: Evidence) -> Iterator[Problem]:
    """A pin that no cavity meets, on a device that some plug reaches."""
    met: dict[str, set[str]] = defaultdict(set)
    for plug in evidence.job.plugs:
        if plug.mates_with:
            met[plug.mates_with] |= set(plug.face.cavities)
    told: set[tuple[str, str]] = set()
    for element in evidence.job.elements:
        for column, pin in (("from_pin", element.from_pin), ("to_pin", element.to_pin)):
            cavities = met.get(element.device)
            if (element.device, pin) in told or not cavities:
                continue
            told.add((element.device, pin))
            if element.device in evidence.mentioned:
                continue
            if pin != CASE_PIN and pin not in cavities:
                yield Problem(
                    Where("elements", element.row, column),
                    f'no cavity meets pin "{pin}" of "{element.device}"',
                    "correct the pin, or add the cavity to the plug's face",
                    warning=True,
                )


def unmet_cavities(evidence: Evidence) -> Iterator[Problem]:
    """A wired cavity whose plug fits onto something without such a pin or cavity."""
    topology = evidence.topology
    for wire in evidence.job.wires:
        for column, point in (("from", wire.from_point), ("to", wire.to_point)):
            plug = topology.plugs.get(point.owner)
            if plug is None or not plug.mates_with or not topology.is_loom_side(point):
                continue
            inner = topology.pins.get(plug.mates_with) or plug.mates_with in topology.plugs
            if plug.mates_with in evidence.mentioned:
                continue
            if inner and topology.across(point) is None:
                yield Problem(
                    Where("wires", wire.row, column),
                    f'"{plug.mates_with}" has nothing at "{point.terminal}" to meet "{point}"',
                    f"add an element with that pin to {plug.mates_with}, or correct the cavity",
                    warning=True,
                )


def contested_pins(evidence: Evidence) -> Iterator[Problem]:
    """Two plugs on one pin of a device."""
    for device, plugs in evidence.topology.mated_by.items():
        holder: dict[str, Plug] = {}
        pins = evidence.topology.pins.get(device, [])
        for plug in plugs:
            taken = [pin for pin in plug.face.cavities if pin in pins and pin in holder]
            for pin in plug.face.cavities:
                holder.setdefault(pin, plug)
            if taken and plug.plug != holder[taken[0]].plug:
                yield Problem(
                    Where("plugs", plug.row, "mates_with"),
                    f'"{plug.plug}" and "{holder[taken[0]].plug}" both meet pin "{taken[0]}" '
                    f'of "{device}"',
                    "a pin takes one plug; rename the cavities of one, or correct its mate",
                )


def idle_joints(evidence: Evidence) -> Iterator[Problem]:
    """A joint that no wire reaches."""
    for joint in evidence.job.joints:
        point = Point(joint.joint)
        if point not in evidence.topology.wires_at and joint.joint not in evidence.mentioned:
            yield Problem(
                Where("joints", joint.row, "joint"),
                f'no wire ends at "{joint.joint}"',
                "add its wires, or delete it",
                warning=True,
            )


def no_such_point(
    evidence: Evidence, point: Point, where: Where, *, on_loom: bool = False
) -> Problem:
    """The problem of a point that is not there, told as precisely as can be."""
    topology = evidence.topology
    plug = topology.plugs.get(point.owner)
    if plug is not None:
        what = f'plug "{plug.plug}" has no cavity "{point.terminal}"'
        if not point.terminal:
            what = f'"{point.owner}" is a plug'
        return Problem(where, what, f"its cavities are {_listed(plug.face.cavities)}")
    if point.owner in topology.joints:
        return Problem(where, f'joint "{point.owner}" has no cavities', f"write {point.owner}")
    if point.owner in topology.devices:
        return _no_such_pin(evidence, point, where, on_loom=on_loom)
    tables = ["plugs", "joints"] if on_loom else ["plugs", "joints", "devices"]
    tables = [name for name in tables if (name == "joints") != bool(point.terminal)]
    words = " or ".join(name.removesuffix("s") for name in tables)
    known = [name for table in tables for name in evidence.names[table]]
    cure = evidence.cure(point.owner, known, tables)
    return Problem(where, f'there is no {words} "{point.owner}"', cure)


def _no_such_pin(evidence: Evidence, point: Point, where: Where, *, on_loom: bool) -> Problem:
    plugs = evidence.topology.mated_by.get(point.owner, [])
    if on_loom:
        such = f", such as {plugs[0].plug}.{point.terminal or 1}" if plugs else ""
        what = f'"{point}" is on a device, where no wire of the loom ends'
        return Problem(where, what, f"write the cavity of the plug that meets it{such}")
    pins = evidence.topology.pins[point.owner]
    if not point.terminal:
        return Problem(where, f'"{point.owner}" is a device', f"its pins are {_listed(pins)}")
    what = f'device "{point.owner}" has no pin "{point.terminal}"'
    return Problem(where, what, f"its pins are {_listed(pins)}")


def _listed(names: tuple[str, ...] | list[str], limit: int = 30) -> str:
    if not names:
        return "not known; add its elements"
    return ", ".join(names[:limit]) + (" …" if len(names) > limit else "")


def _named(evidence: Evidence) -> frozenset[str]:
    """Everything that some plug mates with."""
    return frozenset(plug.mates_with for plug in evidence.job.plugs if plug.mates_with)
