"""Every kind of single mistake that a loom's maker can make, and all of each in one loom."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

import attrs

from loomwright import standards
from loomwright.build.links import Link, links_of, wire_ohms
from loomwright.build.mistakes import Maker, Mistake, Verdict
from loomwright.loom import Point, Wire
from loomwright.physics.strands import strand_area

NO_BOOT = ("", "none")


@attrs.frozen
class Kind:
    """A kind of mistake.

    Attributes
    ----------
    words : what is wrong
    instead : what finds it where no test does
    made : every mistake of this kind in a loom
    """

    words: str
    instead: str
    made: Callable[[Maker], Iterator[Mistake]]


def _missing(maker: Maker) -> Iterator[Mistake]:
    return (maker.with_wire(wire, lambda _link: ()) for wire in maker.wires)


def _bad_crimp(times: float) -> Callable[[Maker], Iterator[Mistake]]:
    """A crimp of so many times what crimp and contact together may have."""

    def made(maker: Maker) -> Iterator[Mistake]:
        assume = maker.finished.assume
        added = times * (assume.crimp_ohm + assume.contact_ohm) - assume.crimp_ohm
        for wire in maker.wires:
            wrong = maker.with_wire(wire, lambda link: (attrs.evolve(link, ohm=link.ohm + added),))
            for end in (wire.from_point, wire.to_point):
                yield attrs.evolve(wrong, items=(str(wire.wire), str(end)))

    return made


def _swapped(maker: Maker) -> Iterator[Mistake]:
    for plug in maker.plugs:
        for one, other in combinations(maker.wired(plug), 2):
            yield maker.moved((str(one), str(other)), {one: other, other: one})


def _next_door(maker: Maker) -> Iterator[Mistake]:
    for plug in maker.plugs:
        wired = set(maker.wired(plug))
        for pair in plug.face.neighbours:
            for one, other in (pair, pair[::-1]):
                here, there = Point(plug.plug, one), Point(plug.plug, other)
                if here in wired and there not in wired:
                    yield maker.moved((str(here), str(there)), {here: there})


def _touching(maker: Maker) -> Iterator[Mistake]:
    for plug in maker.plugs:
        wired = set(maker.wired(plug))
        for one, other in plug.face.neighbours:
            pair = Point(plug.plug, one), Point(plug.plug, other)
            if wired.issuperset(pair):
                yield maker.bridged(*pair)


def _nets_joined(maker: Maker) -> Iterator[Mistake]:
    return (maker.bridged(one, other) for one, other in combinations(maker.finished.hubs, 2))


def _splice_lost(maker: Maker) -> Iterator[Mistake]:
    joints = maker.finished.loom.joints
    for wire in maker.wires:
        for end in (wire.from_point, wire.to_point):
            if not end.terminal and joints[end.owner].kind == "splice":
                wrong = maker.with_wire(wire, lambda _link: ())
                yield attrs.evolve(wrong, items=(str(wire.wire), str(end)))


def _other_wire(
    other: Callable[[Maker, Wire], Wire | None],
) -> Callable[[Maker], Iterator[Mistake]]:
    """A wire of another build in each one's place; left out where there is no such build."""

    def made(maker: Maker) -> Iterator[Mistake]:
        finished = maker.finished
        cut = {str(wire.wire): wire for wire in finished.as_cut.wires}
        others = (other(maker, cut[str(wire.wire)]) for wire in maker.wires)
        rows = tuple(wire for wire in others if wire is not None)
        ohms = wire_ohms(attrs.evolve(finished.as_cut, wires=rows), finished.assume)
        return (maker.with_wire(wire, _only(links_of((wire,), ohms))) for wire in rows)

    return made


def _only(links: Sequence[Link]) -> Callable[[Link], Sequence[Link]]:
    return lambda _link: links


def _thinner(maker: Maker, wire: Wire) -> Wire | None:
    """The same wire one section down (ISO 6722-1)."""
    if wire.strands and wire.strand_mm:
        section = wire.strands * float(strand_area(1.0, wire.strand_mm * 1e-3)) * 1e6
    else:
        section = wire.section_mm2 or maker.finished.assume.wire_section_mm2
    # What is called 0.75 mm² has a little less copper, which makes it no thinner section.
    lower = [
        row.section_mm2 for row in standards.vehicle_cables() if row.section_mm2 < 0.9 * section
    ]
    if not lower:
        return None
    return attrs.evolve(wire, section_mm2=max(lower), strands=None, strand_mm=None)


def _longer(maker: Maker, wire: Wire) -> Wire:
    finished = maker.finished
    length = finished.assume.wire_length_m * 1e3 if wire.length_mm is None else wire.length_mm
    return attrs.evolve(wire, length_mm=length * finished.value["wire_too_long"])


def _mirrored(maker: Maker) -> Iterator[Mistake]:
    for plug in maker.plugs:
        rows, turned = plug.face.rows, plug.face.mirrored.rows
        pairs = [pair for row, other in zip(rows, turned, strict=True) for pair in _fit(row, other)]
        # A shell whose gaps lie elsewhere in the mirror cannot be filled from the wrong side.
        if any(None in pair for pair in pairs) or all(one == other for one, other in pairs):
            continue
        to = {Point(plug.plug, str(one)): Point(plug.plug, str(other)) for one, other in pairs}
        yield maker.moved((str(plug.plug),), to)


def _fit(
    row: Sequence[str | None], other: Sequence[str | None]
) -> Iterator[tuple[str | None, str | None]]:
    padded = (*row, *[None] * (len(other) - len(row)))
    return (pair for pair in zip(padded, other, strict=True) if pair != (None, None))


def _colour(maker: Maker) -> Iterator[Mistake]:
    return (Mistake(items=(str(wire.wire),)) for wire in maker.wires)


def _no_boot(maker: Maker) -> Iterator[Mistake]:
    return (
        Mistake(items=(str(plug.plug),))
        for plug in maker.plugs
        if (plug.boot or "").strip().lower() not in NO_BOOT
    )


def _unlocked(maker: Maker) -> Iterator[Mistake]:
    return (Mistake(items=(str(point),)) for plug in maker.plugs for point in maker.wired(plug))


KINDS: dict[str, Kind] = {
    "missing": Kind(
        "a wire missing or broken",
        "count the wires at each end against the wire list before the loom is covered",
        _missing,
    ),
    "splice": Kind(
        "a splice that lost a wire",
        "count and tug the wires of each splice before it is covered",
        _splice_lost,
    ),
    "swapped": Kind(
        "two wires of a plug swapped",
        "look: compare the colours in the plug with its face, cavity by cavity",
        _swapped,
    ),
    "next_door": Kind(
        "a terminal in the empty cavity beside its own",
        "look: compare the filled cavities with the plug's face",
        _next_door,
    ),
    "mirrored": Kind(
        "a plug filled from the wrong side, mirrored",
        "look: hold the plug against its face, seen from the side that is named",
        _mirrored,
    ),
    "touching": Kind(
        "two cavities side by side that touch",
        "look for strands outside the barrels; it joins what is joined already",
        _touching,
    ),
    "joined": Kind(
        "two nets joined",
        "look for pinched insulation before the loom is covered",
        _nets_joined,
    ),
    "crimp_10": Kind(
        "a crimp of ten times what crimp and contact may have",
        "measure crimp heights, tug each wire; pull samples of the die's setting",
        _bad_crimp(10.0),
    ),
    "crimp_edge": Kind(
        "a crimp that alone has what crimp and contact may have",
        "measure crimp heights, tug each wire; pull samples of the die's setting",
        _bad_crimp(1.0),
    ),
    "thin": Kind(
        "a wire one section too thin",
        "look: compare print and outside diameter with the wire list while cutting",
        _other_wire(_thinner),
    ),
    "long": Kind(
        "a wire cut too long",
        "measure the cut wires against the cut list before they are laid",
        _other_wire(_longer),
    ),
    "colour": Kind(
        "a wire of another colour",
        "look: compare each colour with the wire list",
        _colour,
    ),
    "boot": Kind(
        "a boot forgotten before the terminals went on",
        "look: every boot is on its wires before the first terminal is crimped",
        _no_boot,
    ),
    "unlocked": Kind(
        "a terminal that did not lock",
        "push, click, pull: each terminal, in each plug",
        _unlocked,
    ),
}
"""Kinds of mistakes by name, in the order in which they are told."""


def verdicts(maker: Maker, kind: str) -> Iterator[Verdict]:
    """Every mistake of a kind, by its name, with what shows it."""
    return (maker.verdict(mistake) for mistake in KINDS[kind].made(maker))
