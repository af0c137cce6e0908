"""From what was seen and found to what could be done: items, cures and what opens for them.

An item here is one aspect of a plug, wire, joint or device (`TE terminal`). What is graded can
come back with the chance of its grade; what the readings have found is a must. A cure is thought of
by the rules of `standards.cures`; where a plug has too little spare wire for a new terminal, it
is extended with a splice. What sits at one place comes apart together.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

import attrs

from loomwright.diagnosis import Admissible, Model
from loomwright.loom import Job, Plug, Topology
from loomwright.repair.choice import Cure, Item
from loomwright.repair.condition import ItemCondition
from loomwright.repair.spare_wire import rounds_in
from loomwright.standards.cures import cure_kind, cure_rules

_INSIDE = "inside"
_LEAKS = ("leak", "short_between")
_BARE = ("short_to_earth", "short_to_supply")


@attrs.frozen(kw_only=True)
class Found:
    """Something that the readings say is wrong.

    Attributes
    ----------
    items : names and points it may lie at, the likeliest first
    kind : kind of fault
    probability : how likely
    claimed : whether it may be acted on
    """

    items: tuple[str, ...]
    kind: str
    probability: float
    claimed: bool


@attrs.frozen(kw_only=True)
class Candidates:
    """Everything that could be done.

    Attributes
    ----------
    items, cures, access : as `choice.choose` takes them
    failed : names of items that must be done
    kinds : kinds of cure that a cure's name stands for, in the order of work
    at : plug, wire, joint or device of each cure
    notes : what is not known and was assumed
    """

    items: tuple[Item, ...]
    cures: tuple[Cure, ...]
    access: dict[str, float]
    failed: frozenset[str]
    kinds: dict[str, tuple[str, ...]]
    at: dict[str, str]
    notes: tuple[str, ...]


def candidates(
    job: Job,
    conditions: Sequence[ItemCondition],
    found: Sequence[Found],
    *,
    value: Mapping[str, float],
) -> Candidates:
    """Items, cures and access events of a job.

    Parameters
    ----------
    job : its plugs, wires, places and spare wire
    conditions : what was seen
    found : what the readings say
    value : defaults by name, the job's own figures in place
    """
    return _Builder(job, conditions, found, value).built()


@attrs.define(slots=False, eq=False)
class _Builder:
    job: Job
    conditions: Sequence[ItemCondition]
    found: Sequence[Found]
    value: Mapping[str, float]
    notes: list[str] = attrs.field(factory=list, init=False)

    @cached_property
    def loom(self) -> Topology:
        return Topology(self.job)

    @cached_property
    def opening(self) -> dict[str, float]:
        """Minutes to open each plug."""
        return Admissible(Model(self.job)).access

    def built(self) -> Candidates:
        items = self.items()
        cures: dict[str, Cure] = {}
        kinds: dict[str, tuple[str, ...]] = {}
        at: dict[str, str] = {}
        grades = self.grades(items)
        for kind, name, steps in self.thought_of(grades):
            cure = self.cure(kind, name, steps, items)
            if cure is not None:
                cures[cure.cure], kinds[cure.cure], at[cure.cure] = cure, steps, name
        curable = {item for cure in cures.values() for item in cure.items}
        for name, item in items.items():
            if item.must and name not in curable:
                self.notes.append(f"nothing in the rules puts {name} right: decide by eye")
                items[name] = attrs.evolve(item, must=False)
        return Candidates(
            items=tuple(items.values()),
            cures=tuple(cures.values()),
            access={event: self.minutes(event) for cure in cures.values() for event in cure.opens},
            failed=frozenset(name for name, item in items.items() if item.must),
            kinds=kinds,
            at=at,
            notes=tuple(dict.fromkeys(self.notes)),
        )

    # Items

    def items(self) -> dict[str, Item]:
        """What was graded worse than new, and what the readings say."""
        made: dict[str, Item] = {}
        for each in self.conditions:
            for looked in each.looked:
                if looked.grade > 0:
                    name = f"{each.item} {looked.aspect}"
                    chance = self.value[f"comeback_grade_{looked.grade}"]
                    made[name] = Item(item=name, comeback=chance)
        for fault in self.found:
            for name in self.named(fault):
                usual = made.get(name, Item(item=name, comeback=0.0))
                chance = self.value["comeback_failed"] if fault.claimed else fault.probability
                made[name] = Item(
                    item=name, comeback=max(usual.comeback, chance), must=fault.claimed
                )
        return made

    def named(self, fault: Found) -> Iterator[str]:
        """The aspects that a found fault lies in; the first item's, where there are several."""
        owner, _, cavity = fault.items[0].partition(".")
        if cavity and owner in self.loom.plugs:
            yield f"{owner} terminal"
            if fault.kind in _LEAKS:
                yield f"{owner} boot"
        elif owner in self.loom.devices:
            yield f"{owner} {_INSIDE}"
        elif owner in self.loom.joints:
            yield f"{owner} terminal"
        else:
            yield f"{owner} {'insulation' if fault.kind in _BARE else 'strands'}"

    def grades(self, items: Mapping[str, Item]) -> dict[tuple[str, str, str], int]:
        """Grade by kind, name and aspect; a fault that was found counts as the worst."""
        grades = {
            (each.kind, each.item, looked.aspect): looked.grade
            for each in self.conditions
            for looked in each.looked
        }
        kinds = {each.item: each.kind for each in self.conditions}
        kinds |= dict.fromkeys(map(str, self.loom.devices), "device")
        surely = {name for fault in self.found for name in self.named(fault)}
        for full in surely & items.keys():
            name, _, aspect = full.rpartition(" ")
            key = (kinds.get(name, "wire"), name, aspect)
            grades[key] = max(grades.get(key, 0), 3)
        return grades

    # Cures

    def thought_of(
        self, grades: Mapping[tuple[str, str, str], int]
    ) -> Iterator[tuple[str, str, tuple[str, ...]]]:
        """Kind of item, item and kinds of cure, each once."""
        made: dict[tuple[str, str, str], None] = {}
        for (kind, name, aspect), grade in grades.items():
            for rule in cure_rules():
                here = rule.kind == kind and rule.aspect == aspect
                if here and rule.grade_from <= grade <= rule.grade_to:
                    made[kind, name, rule.cure] = None
            if kind == "wire" and aspect == "strands" and grade > 0:
                for plug in self.ends(name):
                    made["plug", plug, "re_terminate"] = None
        for kind, name, cure in made:
            steps: tuple[str, ...] = (cure,)
            if cure in ("re_terminate", "new_plug") and not self.wire_enough(name):
                steps = ("extend", cure)
            yield kind, name, steps

    def wire_enough(self, name: str) -> bool:
        """Whether a plug's spare wire allows one new terminal; unknown spare counts as enough."""
        spare = self.loom.plugs[name].spare_mm
        if spare is None:
            self.notes.append(f"spare wire at {name} is not written down and taken as enough")
            return True
        rounds = rounds_in(
            spare, loop_mm=self.value["service_loop"],
            first_cut_mm=self.value["cut_back_bright"], retry_mm=self.value["retry_loss"],
        )  # fmt: skip
        return rounds > 0

    def cure(
        self, kind: str, name: str, steps: tuple[str, ...], items: Mapping[str, Item]
    ) -> Cure | None:
        """The cure with its minutes and what it puts right; None where that is nothing."""
        aspects = {
            aspect
            for rule in cure_rules()
            if rule.kind == kind and rule.cure == steps[-1]
            for aspect in rule.covers
        }
        right = [f"{name} {aspect}" for aspect in sorted(aspects)]
        times = 1.0
        if kind == "plug":
            plug = self.loom.plugs[name]
            wires = self.wires(plug)
            times = max(1.0, len(wires) / 2.0)
            if "strands" in aspects:
                right += [f"{wire} strands" for wire in wires]
        right = [item for item in right if item in items]
        if not right:
            return None
        each = [cure_kind(step) for step in steps]
        return Cure(
            cure=f"{' + '.join(steps)} {name}",
            items=tuple(right),
            minutes=times * sum(one.minutes for one in each),
            opens=self.opens(kind, name),
            comeback=sum(one.comeback for one in each),
        )

    # Places

    def wires(self, plug: Plug) -> tuple[str, ...]:
        """Names of the wires that end at a plug."""
        return tuple(
            dict.fromkeys(
                str(wire.wire)
                for wire in self.job.wires
                if plug.plug in (wire.from_point.owner, wire.to_point.owner)
            )
        )

    def ends(self, wire: str) -> tuple[str, ...]:
        """Plugs at the ends of a wire."""
        return tuple(
            dict.fromkeys(
                point.owner
                for each in self.job.wires
                if each.wire == wire
                for point in (each.from_point, each.to_point)
                if point.owner in self.loom.plugs
            )
        )

    def opens(self, kind: str, name: str) -> tuple[str, ...]:
        """The places that must be reached."""
        if kind == "wire":
            ends = [self.place(end) for end in self.owners(name)]
            return tuple(dict.fromkeys(ends))
        return (self.place(name),)

    def owners(self, wire: str) -> Iterator[str]:
        for each in self.job.wires:
            if each.wire == wire:
                yield each.from_point.owner
                yield each.to_point.owner

    def place(self, name: str) -> str:
        """Where something sits; by itself where that was not written down."""
        for table in (self.loom.plugs, self.loom.joints, self.loom.devices):
            row = table.get(name)
            if row is not None and row.place:
                return str(row.place)
        self.notes.append(f"the place of {name} is not written down: it opens by itself")
        return name

    def minutes(self, place: str) -> float:
        """Minutes to reach a place: those of its plug that takes longest."""
        here = [
            self.opening[plug.plug] for plug in self.job.plugs if place in (plug.place, plug.plug)
        ]
        return max(here, default=self.value["access_minutes_joint"])
