"""What a loom becomes for others: a SPICE netlist, and a wire list for who makes the loom."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

import attrs

from loomwright.build.netlist import netlist
from loomwright.circuit import Assumptions
from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job, Plug, Point, State, Topology, Wire
from loomwright.loom.errors import OutOfRange
from loomwright.loom.state import FORM
from loomwright.repair.fit import strip_mm
from loomwright.services.build import build
from loomwright.services.colour_words import colour_words
from loomwright.services.words import listed

__all__ = ["Cell", "WireList", "WireSheet", "cut_lengths", "spice", "wire_list"]

Cell = str | float | None
"""Words or a number; None where it is not known."""


@attrs.frozen
class WireSheet:
    """One sheet of a wire list.

    Attributes
    ----------
    name : of the sheet
    heads : headings with their units
    rows : its rows, a cell for each heading
    """

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


@attrs.frozen
class WireList:
    """What a maker needs to make the loom.

    Attributes
    ----------
    title : of the job
    sheets : wires, plugs, splices
    """

    title: str
    sheets: tuple[WireSheet, ...]


def spice(job: Job, *, state: str = "") -> str:
    """The loom with its devices, at rest or in another state, as a SPICE netlist.

    Parameters
    ----------
    job : the job
    state : such as `key=on; engine_c=80`; blank for everything at rest

    Raises
    ------
    OutOfRange
        when the state cannot be read.
    """
    try:
        parsed = State.parse(state)
    except ValueError as wrong:
        raise OutOfRange(str(wrong), where="state", expected=FORM) from wrong
    return netlist(job, assume=Assumptions.of(own_values(job)), state=parsed).text


def wire_list(job: Job, *, lengths: Mapping[str, float] | None = None) -> WireList:
    """The wires, plugs and splices of a loom for who makes it.

    Parameters
    ----------
    job : the job
    lengths : what the wires are cut to, by their names [mm]; where none is given the job's own
    """
    return _Lister(job, dict(lengths or {})).listed()


def cut_lengths(job: Job) -> dict[str, float]:
    """How long the wires of a new loom are cut, by the branches [mm], by name.

    A wire whose length cannot be told is left out.

    Raises
    ------
    InputProblems
        when the branches are no tree that a loom can be laid out by.
    """
    return {each.wire: each.cut_mm for each in build(job).wires}


@attrs.define(slots=False, eq=False)
class _Lister:
    """Makes the sheets of one job."""

    job: Job
    lengths: Mapping[str, float]

    @cached_property
    def loom(self) -> Topology:
        return Topology(self.job)

    @cached_property
    def value(self) -> Mapping[str, float]:
        return own_values(self.job)

    @cached_property
    def strips(self) -> Mapping[str, str]:
        """How much insulation comes off for each terminal of the catalogue, in words [mm]."""
        found = {}
        for part in self.job.catalogue:
            strip = strip_mm(part, value=self.value) if part.kind == "terminal" else None
            if strip is not None:
                found[str(part.part)] = " to ".join(dict.fromkeys(f"{mm:g}" for mm in strip))
        return found

    def listed(self) -> WireList:
        return WireList(self.job.about.title, (self.wires(), self.plugs(), self.splices()))

    def wires(self) -> WireSheet:
        end = ("plug or joint", "cavity", "terminal", "strip [mm]", "boot")
        heads = (
            "wire", "colour (IEC 60757)", "colour in words", "section [mm²]", "strands",
            "strand [mm]", "insulation", "outside [mm]", "cut length [mm]",
            *(f"from: {each}" for each in end), *(f"to: {each}" for each in end),
        )  # fmt: skip
        return WireSheet("wires", heads, tuple(self.wire(wire) for wire in self.job.wires))

    def wire(self, wire: Wire) -> tuple[Cell, ...]:
        strands = None if wire.strands is None else float(wire.strands)
        return (
            str(wire.wire), wire.colour, colour_words(wire.colour or ""), wire.section_mm2,
            strands, wire.strand_mm, wire.insulation, wire.outside_mm,
            self.lengths.get(str(wire.wire), wire.length_mm),
            *self.end(wire.from_point), *self.end(wire.to_point),
        )  # fmt: skip

    def end(self, point: Point) -> tuple[Cell, ...]:
        plug = self.loom.plugs.get(point.owner)
        if plug is None:
            return (point.owner, None, self.joint(point), None, None)
        strip = self.strips.get(plug.terminal or "")
        return (point.owner, point.terminal, plug.terminal, strip, plug.boot)

    def joint(self, point: Point) -> str:
        row = self.loom.joints.get(point.owner)
        words = {"earth": "eyelet", "battery_plus": "clamp, plus", "battery_minus": "clamp, minus"}
        return "" if row is None else words.get(row.kind, row.kind)

    def plugs(self) -> WireSheet:
        heads = (
            "plug", "what it is", "face", "seen from", "rows in words", "latch", "keys",
            "terminal", "boot", "empty cavities", "mates with",
        )  # fmt: skip
        return WireSheet("plugs", heads, tuple(self.plug(plug) for plug in self.job.plugs))

    def plug(self, plug: Plug) -> tuple[Cell, ...]:
        wired = self.loom.wires_at
        empty = [name for name in plug.face.cavities if Point(plug.plug, name) not in wired]
        seen = "mating face" if plug.seen_from == "mating" else "wire side"
        return (
            str(plug.plug), plug.label, str(plug.face), seen, face_words(plug), plug.latch,
            " ".join(plug.keying) or None, plug.terminal, plug.boot, listed(empty) or "none",
            plug.mates_with,
        )  # fmt: skip

    def splices(self) -> WireSheet:
        heads = ("splice", "what it is", "place", "wires", "their sections [mm²]")
        rows = (
            (str(joint.joint), joint.label, joint.place, *self.meeting(Point(joint.joint)))
            for joint in self.job.joints
            if self.loom.is_splice(joint.joint)
        )
        return WireSheet("splices", heads, tuple(rows))

    def meeting(self, point: Point) -> Iterator[str]:
        wires = self.loom.wires_at.get(point, [])
        yield " ".join(str(wire.wire) for wire in wires)
        known = (wire.section_mm2 for wire in wires)
        yield " + ".join("?" if mm2 is None else f"{mm2:g}" for mm2 in known)


def face_words(plug: Plug) -> str:
    """A plug's face row by row: `top row, left to right: 1, 2; bottom row: 3, gap, 4`."""
    rows = [", ".join("gap" if name is None else name for name in row) for row in plug.face.rows]
    if len(rows) == 1:
        return f"one row, left to right: {rows[0]}"
    middle = [f"row {number}" for number in range(2, len(rows))]
    names = ["top row, left to right", *middle, "bottom row"]
    return "; ".join(f"{name}: {row}" for name, row in zip(names, rows, strict=True))
