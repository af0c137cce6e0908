"""From the cures that are done to the parts they take: how many, and why so many.

A place takes its part once, however many cures meet there. Crimps that fail cost a terminal each:
spares cover them with a chance, the scrap being known by the job's own trial crimps and common
practice together (`physics.retries`). A new set-up of terminal and wire takes trial crimps first,
less those already made; they are made on what is cut off. What no part of the catalogue fits, or
is not known, is noted, and the rest goes on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import ceil

import attrs

from loomwright.loom import Joint, Plug, Point, Wire
from loomwright.physics.retries import spares_for
from loomwright.repair.part_choice import PartChoice
from loomwright.repair.spare_wire import Scrap
from loomwright.standards.cures import never_released

SPLICE = "splice"
PIECE, METRE = "piece", "m"


@attrs.frozen(kw_only=True)
class Reason:
    """So many of a part, and what for; a standing where it is not a count of places."""

    count: float
    words: str


@attrs.frozen(kw_only=True)
class Piece:
    """A length of wire to be cut, and for which wire of the loom."""

    wire: str
    length_mm: int


@attrs.frozen(kw_only=True)
class Need:
    """How much of one part is needed.

    Attributes
    ----------
    part, kind : of the catalogue
    colour : of a wire, empty for everything else
    unit : `piece`, or `m` for wire
    count : pieces or metres
    reasons : what for; their counts add up
    cuts : of a wire: the lengths, the longest first
    """

    part: str
    kind: str
    colour: str
    unit: str
    count: float
    reasons: tuple[Reason, ...]
    cuts: tuple[Piece, ...] = ()

    @property
    def key(self) -> str:
        """What it is bought as: `WIRE-075 BN/WH`, `REC28`."""
        return bought_as(self.part, self.colour)


@attrs.frozen(kw_only=True)
class PartsNeed:
    """The parts that some cures take.

    Attributes
    ----------
    needs : by part, in the order of the catalogue
    notes : what no part fits, what is not known
    """

    needs: tuple[Need, ...]
    notes: tuple[str, ...]


def bought_as(part: str, colour: str | None) -> str:
    """A part with its colour, as offers, stock and needs are matched: `WIRE-075 BN/WH`."""
    return f"{part} {colour.replace(' ', '').upper()}" if colour else part


CureAt = tuple[tuple[str, ...], str]
"""Kinds of cure in the order of work, and where: plug, wire, joint, device, branch or `loom`."""


def parts_need(
    cures: Iterable[CureAt], choice: PartChoice, *, scrap: Scrap | None = None
) -> PartsNeed:
    """What these cures take together.

    Parameters
    ----------
    cures : kinds and place of each
    choice : which part goes where
    scrap : what is known of the chance that a crimp fails; None leaves out spares and trial crimps

    Raises
    ------
    OutOfRange : a confidence or a scrap of one's own that is not possible
    """
    cures = tuple(cures)
    if cures and not choice.needs.parts:
        return PartsNeed(needs=(), notes=("the catalogue is empty, so no part can be chosen",))
    before = len(choice.notes)
    tally = _Tally(choice)
    for kinds, at in cures:
        for kind in kinds:
            tally.cure(kind, at)
    if scrap is not None:
        tally.spares(scrap)
        tally.trials()
    notes = (*tally.notes, *choice.notes[before:])
    return PartsNeed(needs=tuple(tally.needs()), notes=tuple(dict.fromkeys(notes)))


@attrs.define(eq=False)
class _Tally:
    """Counts as cures are gone through."""

    choice: PartChoice
    notes: list[str] = attrs.field(factory=list, init=False)
    done: set[tuple[str, str]] = attrs.field(factory=set, init=False)
    counts: dict[str, dict[str, float]] = attrs.field(factory=dict, init=False)
    set_ups: dict[str, dict[float | None, int]] = attrs.field(factory=dict, init=False)
    cuts: dict[tuple[str, str], list[Piece]] = attrs.field(factory=dict, init=False)

    # Cures

    def cure(self, kind: str, at: str) -> None:
        """Count the parts of one kind of cure at one place."""
        loom = self.choice.needs.topology
        plug, joint = loom.plugs.get(at), loom.joints.get(at)
        if plug is not None and kind in ("boot_only", "re_terminate", "new_plug"):
            if kind == "new_plug":
                self.whole("shell", plug)
            if kind != "boot_only":
                self.crimp(plug, list(plug.face.cavities))
            self.whole("boot", plug)
        elif kind == "extend":
            self.extend(plug, joint)
        elif kind == "new_wire":
            self.new_wire(at)
        elif kind == "new_branch":
            self.new_branch(at)
        elif kind == "new_loom":
            self.notes.append("a new loom is priced as a new loom: not here")
        elif kind == "new_device":
            self.notes.append(f"the price of a new {at} is not known here: ask for it")

    def whole(self, kind: str, plug: Plug) -> None:
        """A boot or a shell."""
        if self.first(kind, plug.plug):
            part = self.choice.boot(plug) if kind == "boot" else self.choice.shell(plug)
            if part is not None:
                self.count(part, 1, plug.plug)

    def crimp(self, plug: Plug, cavities: list[str]) -> None:
        """A terminal in each wired cavity."""
        wires = self.choice.needs.topology.wires_at
        new = [
            cavity
            for cavity in cavities
            if wires.get(Point(plug.plug, cavity))
            and self.first("terminal", f"{plug.plug}.{cavity}")
        ]
        for cavity, part in (self.choice.terminals(plug, new) if new else {}).items():
            if part is not None:
                self.count(part, 1, plug.plug)
                self.set_up(part, wires[Point(plug.plug, cavity)])

    def extend(self, plug: Plug | None, joint: Joint | None) -> None:
        """A splice at every wire of a plug, or a joint's splice made anew."""
        if joint is not None:
            self.splice_of(joint)
        for wire in self.ending_at(plug.plug) if plug is not None else ():
            self.spliced_on(wire, f"{wire.wire} at {plug.plug}" if plug else "")

    def new_wire(self, name: str) -> None:
        """A wire with what goes on at its ends."""
        for wire in self.choice.needs.job.wires:
            if wire.wire == name and self.first("wire", name):
                self.cut(wire, self.length_mm(wire))
                for point in (wire.from_point, wire.to_point):
                    self.end(wire, point)

    def end(self, wire: Wire, point: Point) -> None:
        """What one end of a new wire takes."""
        loom = self.choice.needs.topology
        plug, joint = loom.plugs.get(point.owner), loom.joints.get(point.owner)
        if plug is not None and plug.lock in never_released():
            self.spliced_on(wire, f"{wire.wire} at {plug.plug}", piece=False)
        elif plug is not None:
            self.crimp(plug, [point.terminal])
        elif joint is not None and joint.kind == SPLICE:
            self.splice_of(joint)
        elif joint is not None:
            self.notes.append(
                f"the eyelet of {wire.wire} at {joint.joint} is not chosen: measure it"
            )

    def new_branch(self, name: str) -> None:
        """All its wires, and what hangs on it alone at its ends."""
        job, loom = self.choice.needs.job, self.choice.needs.topology
        branch = next((each for each in job.branches if each.branch == name), None)
        if branch is None:
            return
        over = [wire for wire in job.wires if branch.branch in wire.branches]
        for wire in over:
            if self.first("wire", str(wire.wire)):
                self.cut(wire, self.length_mm(wire))
        ends = (branch.from_place, branch.to_place)
        names = {wire.wire for wire in over}
        for owner in (*loom.plugs, *loom.joints):
            here = self.ending_at(owner)
            if not here or not names.issuperset(wire.wire for wire in here):
                continue
            plug, joint = loom.plugs.get(owner), loom.joints.get(owner)
            if plug is not None and plug.place in ends:
                if plug.lock in never_released():
                    self.whole("shell", plug)
                self.crimp(plug, list(plug.face.cavities))
                self.whole("boot", plug)
            elif joint is not None and joint.place in ends and joint.kind == SPLICE:
                self.splice_of(joint)

    # Parts

    def spliced_on(self, wire: Wire, where: str, *, piece: bool = True) -> None:
        """A splice with its sleeve, and the piece of wire that is let in."""
        if not self.first(SPLICE, where):
            return
        part = self.choice.splice(wire.section_mm2, where)
        if part is not None:
            self.count(part, 1, where)
            self.set_up(part, [wire])
        sleeve = self.choice.sleeve([wire], where)
        if sleeve is not None:
            self.count(sleeve, 1, where)
        if piece:
            self.cut(wire, ceil(self.choice.needs.value["extension_length"]))

    def splice_of(self, joint: Joint) -> None:
        """The splice that a joint is, under a new sleeve."""
        if joint.kind != SPLICE or not self.first(SPLICE, joint.joint):
            return
        wires = self.choice.joint_wires(joint)
        sections = [wire.section_mm2 for wire in wires if wire.section_mm2 is not None]
        section = sum(sections) if sections and len(sections) == len(wires) else None
        part = self.choice.splice(section, joint.joint)
        if part is not None:
            self.count(part, 1, joint.joint)
            self.set_up(part, wires)
        sleeve = self.choice.sleeve(wires, joint.joint)
        if sleeve is not None:
            self.count(sleeve, 1, joint.joint)

    def length_mm(self, wire: Wire) -> int | None:
        """What a new wire is cut to: the old length, or its branches', and a spare [mm]."""
        spare = self.choice.needs.value["wire_spare"]
        if wire.length_mm is not None:
            return ceil(wire.length_mm + spare)
        known = {each.branch: each.length_mm for each in self.choice.needs.job.branches}
        lengths = [known.get(name) for name in wire.branches]
        told = [length for length in lengths if length is not None]
        if not told or len(told) < len(lengths):
            return None
        self.notes.append(f"the length of {wire.wire} is not written down: taken from its branches")
        return ceil(sum(told) + spare)

    def cut(self, wire: Wire, length_mm: int | None) -> None:
        """A length of wire of that section and colour."""
        part = self.choice.wire(wire)
        if length_mm is None:
            self.notes.append(f"the length of {wire.wire} is not known: its wire is not counted")
        elif part is not None:
            if not wire.colour:
                self.notes.append(f"the colour of {wire.wire} is not known: any is taken")
            colour = bought_as("", wire.colour).strip()
            piece = Piece(wire=str(wire.wire), length_mm=length_mm)
            self.cuts.setdefault((part, colour), []).append(piece)

    # Spares and trials

    def spares(self, scrap: Scrap) -> None:
        """Spare terminals and splices, so that failed crimps do not stop the work."""
        sure = self.choice.needs.value["spares_confidence"]
        for part, set_ups in self.set_ups.items():
            more = spares_for(
                sum(set_ups.values()), confidence=sure, failed=scrap.failed, good=scrap.good
            )
            if more:
                self.count(part, more, f"spare, enough in {100 * sure:.0f} of 100 such jobs")

    def trials(self) -> None:
        """Trial crimps of every set-up that has too few."""
        asked = round(self.choice.needs.value["crimp_trials_least"])
        made: dict[tuple[str, float | None], int] = {}
        for trial in self.choice.needs.job.crimps:
            key = (trial.terminal or "", trial.section_mm2)
            made[key] = made.get(key, 0) + 1
        for part, set_ups in self.set_ups.items():
            for section in sorted(set_ups, key=lambda each: each or 0.0):
                more = asked - made.get((part, section), 0)
                if more > 0:
                    of = "a section not known" if section is None else f"{section:g} mm²"
                    self.count(part, more, f"for trial crimps on {of}")

    # Counting

    def first(self, what: str, where: str) -> bool:
        """Whether that place was not served yet; it is from now on."""
        key = (what, where)
        new = key not in self.done
        self.done.add(key)
        return new

    def count(self, part: str, many: float, words: str) -> None:
        """So many more of a part, for something."""
        reasons = self.counts.setdefault(part, {})
        reasons[words] = reasons.get(words, 0) + many

    def set_up(self, part: str, wires: list[Wire]) -> None:
        """One crimp of that part on those wires."""
        sections = [wire.section_mm2 for wire in wires if wire.section_mm2 is not None]
        section = round(sum(sections), 3) if len(sections) == len(wires) else None
        found = self.set_ups.setdefault(part, {})
        found[section] = found.get(section, 0) + 1

    def ending_at(self, owner: str) -> list[Wire]:
        """The wires that end at a plug or joint."""
        return [
            wire
            for wire in self.choice.needs.job.wires
            if owner in (wire.from_point.owner, wire.to_point.owner)
        ]

    def needs(self) -> Iterator[Need]:
        """What was counted, in the order of the catalogue."""
        for part in self.choice.needs.parts.values():
            name = str(part.part)
            if name in self.counts:
                yield _counted(name, part.kind, self.counts[name])
            for (wire, colour), cuts in sorted(self.cuts.items()):
                if wire == name:
                    yield _wire(name, colour, cuts)


def _counted(part: str, kind: str, reasons: Mapping[str, float]) -> Need:
    return Need(
        part=part,
        kind=kind,
        colour="",
        unit=PIECE,
        count=sum(reasons.values()),
        reasons=tuple(Reason(count=count, words=words) for words, count in reasons.items()),
    )


def _wire(part: str, colour: str, cuts: list[Piece]) -> Need:
    cuts = sorted(cuts, key=lambda cut: (-cut.length_mm, cut.wire))
    return Need(
        part=part,
        kind="wire",
        colour=colour,
        unit=METRE,
        count=sum(cut.length_mm for cut in cuts) / 1000,
        reasons=tuple(Reason(count=cut.length_mm / 1000, words=cut.wire) for cut in cuts),
        cuts=tuple(cuts),
    )
