"""What is at a point or an item of the loom: its wires, what it meets, readings, suspects."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

import attrs

from loomwright.loom import Job, NotFound, Point, Reading, Topology, Wire, nearest
from loomwright.services.colour_words import colour_words
from loomwright.services.draw import WireEnd
from loomwright.services.finding_words import about
from loomwright.services.labels import Labels
from loomwright.services.numbers import shown
from loomwright.services.suspects import Suspect
from loomwright.services.words import state_words, sure

PLUG, JOINT, DEVICE, WIRE = "plug", "joint", "device", "wire"
HOW_TO_RECORD = {
    PLUG: "Photograph it from both sides and write down which wire sits where. "
    "Nothing is cut or opened before that.",
    JOINT: "Photograph it and write down which wires meet here. Nothing is cut or undone before "
    "that.",
    DEVICE: "Photograph it with its plugs on and write down which plug goes where. Nothing is "
    "taken off before that.",
    WIRE: "Photograph where it runs and both its ends, and write down where they sit. Nothing is "
    "cut before that.",
}
"""What to do before a thing is ticked as recorded, by its kind."""


@attrs.frozen(kw_only=True)
class WireHere:
    """A wire that ends at a point.

    Attributes
    ----------
    wire : its name
    letters, colour : its colour as on the sheet, empty when not known, and in words
    size : its section and strands in words, empty when neither is known
    far_end : the point at its other end
    far_words : the same with its labels
    """

    wire: str
    letters: str
    colour: str
    size: str
    far_end: Point
    far_words: str


@attrs.frozen(kw_only=True)
class Touched:
    """A reading that touched a point.

    Attributes
    ----------
    reading : its name
    value : as the meter showed it
    words : where the probes were and in which state
    after : whether it was taken after the work
    """

    reading: str
    value: str
    words: str
    after: bool


@attrs.frozen(kw_only=True)
class SuspectHere:
    """A suspect that lies at a point or item: where and what it is, and how sure that is."""

    words: str
    sure: str


@attrs.frozen(kw_only=True)
class AtPoint:
    """What is at a point.

    Attributes
    ----------
    point : the point
    meets : the pin or cavity that it meets when mated, None where that is not written down
    meets_words : the same with its labels
    wires : that end there, in sheet order
    readings : that touched it or what it meets, in sheet order, those after the work last
    names : of the point, of what it meets and of the wires, as suspects name them
    """

    point: Point
    meets: Point | None
    meets_words: str
    wires: tuple[WireHere, ...]
    readings: tuple[Touched, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """What a suspect that lies here names."""
        met = () if self.meets is None else (str(self.meets),)
        return (str(self.point), *met, *(each.wire for each in self.wires))


def kind_of_item(job: Job, name: str) -> str:
    """`plug`, `joint`, `device` or `wire`.

    Raises
    ------
    NotFound
        when there is no such item; the nearest name is given.
    """
    loom = Topology(job)
    wires = [str(wire.wire) for wire in job.wires]
    for kind, names in (
        (PLUG, loom.plugs), (JOINT, loom.joints), (DEVICE, loom.devices), (WIRE, wires),
    ):  # fmt: skip
        if name in names:
            return kind
    close = nearest(name, [*loom.plugs, *loom.joints, *loom.devices, *wires])
    raise NotFound(
        f'there is no plug, joint, device or wire "{name[:40]}"',
        expected=f'did you mean "{close}"?' if close else "look it up on the loom's page",
    )


def at_point(job: Job, point: Point) -> AtPoint:
    """What is at a point of the loom's side.

    Raises
    ------
    NotFound
        when the loom has no such point.
    """
    labels = Labels(job)
    if not labels.loom.is_loom_side(point):
        raise NotFound(
            f'there is no point "{point}"',
            expected="touch a cavity that the plug has, or put it into the plug's face",
        )
    meets = labels.loom.across(point)
    return AtPoint(
        point=point,
        meets=meets,
        meets_words=labels.item(str(meets)) if meets else "",
        wires=tuple(_end(wire, point, labels) for wire in labels.loom.wires_at.get(point, ())),
        readings=readings_at(job, {point} if meets is None else {point, meets}),
    )


def points_of(job: Job, item: str) -> tuple[Point, ...]:
    """The points at which an item is measured: cavities, pins, the joint, both ends of a wire.

    Raises
    ------
    NotFound
        when there is no such item.
    """
    kind, loom = kind_of_item(job, item), Topology(job)
    if kind == PLUG:
        return tuple(Point(item, cavity) for cavity in loom.plugs[item].face.cavities)
    if kind == DEVICE:
        return tuple(Point(item, pin) for pin in loom.pins[item])
    if kind == JOINT:
        return (Point(item),)
    wire = next(each for each in job.wires if each.wire == item)
    return wire.from_point, wire.to_point


def cavity_words(name: str, ends: Sequence[WireEnd]) -> str:
    """A cavity with its wires in one breath.

    Examples
    --------
    >>> cavity_words("3", [WireEnd(wire="W12", letters="BN/WH", section_mm2=1.0, far_end="T4.1")])
    'Cavity 3, wire W12 brown with a white tracer, to T4.1'
    >>> cavity_words("4", [])
    'Cavity 4, empty'
    """
    wires = (f"wire {end.wire} {colour_words(end.letters)}, to {end.far_end}" for end in ends)
    return f"Cavity {name}, {'; '.join(wires) or 'empty'}"


def ends_of(job: Job, wire: str) -> tuple[WireHere, ...]:
    """A wire as it is seen from either end: each time the far end is the other one."""
    labels = Labels(job)
    found = labels.wires[wire]
    return tuple(_end(found, here, labels) for here in (found.to_point, found.from_point))


def readings_at(job: Job, points: Collection[Point]) -> tuple[Touched, ...]:
    """Readings with a probe on any of the points, in sheet order, those after the work last."""
    return tuple(
        _touched(row, after=after)
        for rows, after in ((job.readings, False), (job.proof, True))
        for row in rows
        if row.plus in points or row.minus in points
    )


def suspects_at(
    found: Iterable[Suspect], names: Collection[str], labels: Labels
) -> tuple[SuspectHere, ...]:
    """The suspects that lie at any of the names, likeliest first.

    Parameters
    ----------
    found : suspects, likeliest first
    names : points and items
    labels : of the job
    """
    return tuple(
        SuspectHere(
            words=f"{labels.place(each.items, each.kind)}: {about(each)}",
            sure=sure(each.probability),
        )
        for each in found
        if not {*each.items, *each.at}.isdisjoint(names)
    )


def _end(wire: Wire, here: Point, labels: Labels) -> WireHere:
    far = wire.to_point if wire.from_point == here else wire.from_point
    return WireHere(
        wire=str(wire.wire),
        letters=(wire.colour or "").strip(),
        colour=colour_words(wire.colour or ""),
        size=", ".join(_size(wire)),
        far_end=far,
        far_words=labels.item(str(far)),
    )


def _size(wire: Wire) -> Iterator[str]:
    if wire.section_mm2 is not None:
        yield f"{wire.section_mm2:g} mm²"
    if wire.strands is not None:
        yield f"{wire.strands} strands"


def _touched(row: Reading, *, after: bool) -> Touched:
    off = f"unplugged: {' '.join(row.unplugged)}" if row.unplugged else ""
    probes = f"red {row.plus}, black {row.minus}"
    said = (probes, off, state_words(str(row.state)), row.taken_at or "", row.note or "")
    return Touched(
        reading=str(row.reading),
        value=shown(row.value, row.quantity),
        words="; ".join(filter(None, said)),
        after=after,
    )
