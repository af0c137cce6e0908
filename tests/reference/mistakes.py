"""Mistakes made in the tables of a job, and every test of the list made anew on the whole loom.

Nothing of the package works here but the list itself, its lines with limits: wires are edited as
rows, ohms come from a formula of this file, and readings from the node-voltage method.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

import attrs

from loomwright.build.continuity import FinishedLoom
from loomwright.build.isolation import group_tests
from loomwright.loom import Point, Wire
from reference import dense

SECTIONS = (0.22, 0.35, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 5, 6)
"""Of vehicle cables, as the trade lists them."""


@attrs.frozen
class Wrong:
    """A loom made wrong: its wires, ohms on top of some, and points that touch."""

    items: tuple[str, ...]
    wires: tuple[Wire, ...]
    on_top: tuple[tuple[str, float], ...] = ()
    touch: tuple[Point, Point] | None = None


def copper_mm2(wire: Wire) -> float:
    if wire.strands and wire.strand_mm:
        return wire.strands * math.pi * wire.strand_mm**2 / 4
    return wire.section_mm2 or 1.0


def ohm(wire: Wire) -> float:
    """1.08 · ρ · l / A with ρ of IEC 60028, and 1 mΩ for the crimp or splice at each end."""
    length = 1500.0 if wire.length_mm is None else wire.length_mm
    return 1.08 * 0.017241 * (length / 1000) / copper_mm2(wire) + 0.002


def shown(sound: FinishedLoom, wrong: Wrong) -> bool:
    """Whether some test of the list shows it with four leads, off by 1 % and 1 mΩ at most."""
    points = {p for w in (*wrong.wires, *sound.job.wires) for p in (w.from_point, w.to_point)}
    number = {point: place for place, point in enumerate(sorted(points))}
    extra = dict(wrong.on_top)
    branches = [
        (number[w.from_point], number[w.to_point], ohm(w) + extra.get(w.wire, 0.0), 0.0)
        for w in wrong.wires
    ]
    if wrong.touch:
        one, other = wrong.touch
        branches.append((number[one], number[other], 1e-3, 0.0))
    for test in sound.tests:
        read = dense.ohm(len(number), branches, number[test.hub], number[test.far])
        if math.isinf(read) or read - (0.01 * read + 0.001) > test.limit_ohm:
            return True
    part = dense.parts(len(number), branches)
    at = [part[number[hub]] for hub in sound.hubs]
    return any(
        {at[n] for n in split.red} & {at[n] for n in split.black} for split in group_tests(len(at))
    )


def mistakes(sound: FinishedLoom, kind: str) -> Iterator[Wrong]:
    """Every mistake of a kind that a meter could show."""
    wires = sound.job.wires
    if kind in ("missing", "splice", "crimp_edge", "crimp_10", "thin", "long"):
        for wire in wires:
            yield from of_wire(sound, wire, kind)
    elif kind == "joined":
        for pair in combinations(sound.hubs, 2):
            yield Wrong(tuple(map(str, pair)), wires, touch=pair)
    else:
        for plug in sound.job.plugs:
            yield from of_plug(sound, plug.plug, kind)


def of_wire(sound: FinishedLoom, wire: Wire, kind: str) -> Iterator[Wrong]:
    wires, ends = sound.job.wires, (wire.from_point, wire.to_point)
    without = tuple(each for each in wires if each is not wire)
    splices = {joint.joint for joint in sound.job.joints if joint.kind == "splice"}
    if kind == "missing":
        yield Wrong((wire.wire,), without)
    for end in ends:
        if kind == "splice" and end.owner in splices:
            yield Wrong((wire.wire, str(end)), without)
        if kind.startswith("crimp"):
            # Crimp and contact together may have 5 mΩ, the crimp has 1 mΩ already.
            added = 0.004 if kind == "crimp_edge" else 0.049
            yield Wrong((wire.wire, str(end)), wires, ((wire.wire, added),))
    lower = [mm2 for mm2 in SECTIONS if mm2 < 0.9 * copper_mm2(wire)]
    if kind == "thin" and lower:
        thin = attrs.evolve(wire, section_mm2=max(lower), strands=None, strand_mm=None)
        yield Wrong((wire.wire,), (*without, thin))
    if kind == "long":
        length = 1.5 * (1500.0 if wire.length_mm is None else wire.length_mm)
        yield Wrong((wire.wire,), (*without, attrs.evolve(wire, length_mm=length)))


def of_plug(sound: FinishedLoom, name: str, kind: str) -> Iterator[Wrong]:
    plug = sound.loom.plugs[name]
    wires = sound.job.wires
    used = {p for w in wires for p in (w.from_point, w.to_point)}
    rows = plug.face.rows
    beside = [
        (Point(name, a), Point(name, b))
        for row, r in enumerate(rows)
        for column, a in enumerate(r)
        for b in (
            r[column + 1] if column + 1 < len(r) else None,
            rows[row + 1][column] if row + 1 < len(rows) and column < len(rows[row + 1]) else None,
        )
        if a and b
    ]
    if kind == "swapped":
        mine = [Point(name, c) for c in plug.face.cavities if Point(name, c) in used]
        for one, other in combinations(mine, 2):
            yield Wrong((str(one), str(other)), moved(wires, {one: other, other: one}))
    for one, other in (*beside, *((b, a) for a, b in beside)):
        if kind == "next_door" and one in used and other not in used:
            yield Wrong((str(one), str(other)), moved(wires, {one: other}))
    for one, other in beside:
        if kind == "touching" and {one, other} <= used:
            yield Wrong((str(one), str(other)), wires, touch=(one, other))
    if kind == "mirrored" and any(Point(name, c) in used for c in plug.face.cavities):
        width = max(map(len, rows))
        seats = {
            (r, c): name_ for r, row in enumerate(rows) for c, name_ in enumerate(row) if name_
        }
        turned = {(r, width - 1 - c): name_ for (r, c), name_ in seats.items()}
        if turned.keys() == seats.keys() and turned != seats:
            to = {Point(name, seats[seat]): Point(name, turned[seat]) for seat in seats}
            yield Wrong((name,), moved(wires, to))


def moved(wires: tuple[Wire, ...], to: dict[Point, Point]) -> tuple[Wire, ...]:
    return tuple(
        attrs.evolve(
            wire,
            from_point=to.get(wire.from_point, wire.from_point),
            to_point=to.get(wire.to_point, wire.to_point),
        )
        for wire in wires
    )
