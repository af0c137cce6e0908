"""From what was seen and found to what could be done: items, cures and what opens for them.

The items are those of `open_items`. A cure is thought of by the rules of `standards.cures`; where a
plug has too little spare wire for a new terminal, it is extended with a splice, and where its lock
gives no terminal up, it is renewed. A new branch or a new loom joins in where it may pay
(`large_cures`); what it renews can then also be had by itself, however little it is worn. What sits
at one place comes apart together.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

import attrs

from loomwright.loom import Job, Topology
from loomwright.repair.choice import Cure, Item
from loomwright.repair.condition import ItemCondition
from loomwright.repair.large_cures import LargeCure, large_cures
from loomwright.repair.open_items import Found, Grades, grades_of, open_items
from loomwright.repair.places import Places
from loomwright.repair.spare_wire import rounds_in
from loomwright.standards.cures import CureRule, cure_kind, cure_rules, never_released

__all__ = ["Candidates", "Found", "candidates"]

_SHOWN = 4
"""Wires named in one note; the rest are counted."""


@attrs.frozen(kw_only=True)
class Candidates:
    """Everything that could be done.

    Attributes
    ----------
    items, cures, access : as `choice.choose` takes them
    failed : names of items that must be done
    kinds : kinds of cure that a cure's name stands for, in the order of work
    at : plug, wire, joint, device or branch of each cure, `loom` for a new loom
    because : what each cure rests on, in words: grade, lock, spare wire, branch rule
    notes : what is not known and was assumed
    """

    items: tuple[Item, ...]
    cures: tuple[Cure, ...]
    access: dict[str, float]
    failed: frozenset[str]
    kinds: dict[str, tuple[str, ...]]
    at: dict[str, str]
    because: dict[str, tuple[str, ...]]
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
    cures: dict[str, Cure] = attrs.field(factory=dict, init=False)
    kinds: dict[str, tuple[str, ...]] = attrs.field(factory=dict, init=False)
    at: dict[str, str] = attrs.field(factory=dict, init=False)
    because: dict[str, dict[str, None]] = attrs.field(factory=dict, init=False)

    @cached_property
    def places(self) -> Places:
        return Places(self.job, self.value)

    @cached_property
    def loom(self) -> Topology:
        return self.places.loom

    def built(self) -> Candidates:
        items = open_items(self.loom, self.conditions, self.found, value=self.value)
        grades = grades_of(self.loom, self.conditions, self.found)
        for (kind, name, cure), why in self.thought_of(grades).items():
            self.think_of(kind, name, cure, items, why=why)
        large = self.large(items, grades)
        for (kind, name, cure), why in self.by_itself(large, grades).items():
            self.think_of(kind, name, cure, items, why=why)
        curable = {item for cure in self.cures.values() for item in cure.items}
        for each in large:
            self.add(each.cure, (each.kind,), each.at, why=each.because)
        for name, item in items.items():
            if item.must and name not in curable:
                self.notes.append(f"nothing in the rules puts {name} right: decide by eye")
                items[name] = attrs.evolve(item, must=False)
        events = dict.fromkeys(event for cure in self.cures.values() for event in cure.opens)
        return Candidates(
            items=tuple(items.values()),
            cures=tuple(self.cures.values()),
            access={event: self.places.minutes(event) for event in events},
            failed=frozenset(name for name, item in items.items() if item.must),
            kinds=self.kinds,
            at=self.at,
            because={name: tuple(why) for name, why in self.because.items()},
            notes=tuple(dict.fromkeys(self.notes)),
        )

    def add(self, cure: Cure, steps: tuple[str, ...], at: str, *, why: Iterable[str]) -> None:
        """Keep a cure; what is thought of twice has more to rest on."""
        name = cure.cure
        self.cures[name], self.kinds[name], self.at[name] = cure, steps, at
        self.because.setdefault(name, {}).update(dict.fromkeys(why))

    def thought_of(self, grades: Grades) -> dict[tuple[str, str, str], list[str]]:
        """Kind of item, item and kind of cure, each once, with what it rests on."""
        made: dict[tuple[str, str, str], list[str]] = {}
        for (kind, name, aspect), grade in grades.items():
            for rule in _rules(kind, aspect):
                if rule.grade_from <= grade <= rule.grade_to:
                    why = self.grade_words(kind, name, aspect, grade)
                    self.by_rule(made, kind, name, rule.cure, why=why)
            if kind == "wire" and aspect == "strands" and grade > 0:
                for plug in self.places.plugs_of(name):
                    self.by_rule(made, "plug", plug.plug, "re_terminate",
                                 why=f"strands of {name} of grade {grade}")  # fmt: skip
        return made

    def grade_words(self, kind: str, name: str, aspect: str, grade: int) -> str:
        """A grade of the survey, or what the readings make of it."""
        if self.surveyed.get((kind, name, aspect)) == grade:
            return f"{aspect} of grade {grade}"
        return f"{aspect} found by the readings and counted as grade {grade}"

    @cached_property
    def surveyed(self) -> Grades:
        """The grades that were given by eye."""
        return grades_of(self.loom, self.conditions, ())

    def by_rule(
        self, made: dict[tuple[str, str, str], list[str]], kind: str, name: str, cure: str,
        *, why: str,
    ) -> None:  # fmt: skip
        """Note a cure, or what a plug gets whose lock does not allow it."""
        lock = self.loom.plugs[name].lock if kind == "plug" else None
        barred = next(
            (rule for rule in _rules(kind) if rule.cure == cure and lock in rule.not_at_lock), None
        )
        whys = [why]
        if barred is not None:
            cure = barred.instead
            whys.append(f"the lock of {name} is {lock}: it gives no terminal up, so it is renewed")
            self.notes.append(whys[-1])
        elif lock and any(rule.not_at_lock for rule in _rules(kind) if rule.cure == cure):
            whys.append(f"the lock, a {lock}, can be released")
        made.setdefault((kind, name, cure), []).extend(whys)

    def think_of(
        self, kind: str, name: str, cure: str, items: Mapping[str, Item], *, why: Sequence[str]
    ) -> None:
        """Keep a cure of one item if it puts anything right."""
        steps: tuple[str, ...] = (cure,)
        more: list[str] = []
        if cure in ("re_terminate", "new_plug"):
            steps, spare = self.with_wire(name, cure)
            more.append(spare)
        made = self.cure(kind, name, steps, items)
        if made is not None and cure == "new_wire":
            made, more = self.with_splices(made, name)
        if made is not None:
            self.add(made, steps, name, why=(*why, *more))

    def with_wire(self, name: str, cure: str) -> tuple[tuple[str, ...], str]:
        """A cure with a splice before it where the spare wire does not allow a new terminal."""
        spare = self.loom.plugs[name].spare_mm
        if spare is None:
            note = f"spare wire at {name} is not written down and taken as enough"
            self.notes.append(note)
            return (cure,), note
        rounds = rounds_in(
            spare, loop_mm=self.value["service_loop"],
            first_cut_mm=self.value["cut_back_bright"], retry_mm=self.value["retry_loss"],
        )  # fmt: skip
        if rounds > 0:
            return (cure,), f"{spare:g} mm of spare wire allow a new terminal"
        return ("extend", cure), f"{spare:g} mm of spare wire are too little for a new terminal"

    def with_splices(self, made: Cure, wire: str) -> tuple[Cure, list[str]]:
        """A new wire with a splice behind each plug that takes no new terminal."""
        notes = [
            f"the lock of {plug.plug} is {plug.lock}: a new wire at {wire} is spliced on behind it"
            for plug in self.places.plugs_of(wire)
            if plug.lock in never_released()
        ]
        self.notes.extend(notes)
        splice, many = cure_kind("extend"), len(notes)
        return attrs.evolve(
            made,
            minutes=made.minutes + many * splice.minutes,
            comeback=made.comeback + many * splice.comeback,
        ), notes

    def large(self, items: Mapping[str, Item], grades: Grades) -> tuple[LargeCure, ...]:
        """A new branch or a new loom where it may pay."""
        by_item = {f"{name} {aspect}": grade for (_, name, aspect), grade in grades.items()}
        made = tuple(large_cures(self.places, self.conditions, items, grades=by_item))
        taken = dict.fromkeys(wire for each in made for wire in each.taken)
        if taken:
            shown, more = list(taken)[:_SHOWN], len(taken) - _SHOWN
            wires = ", ".join(shown) + (f" and {more} more" if more > 0 else "")
            self.notes.append(
                f"a survey does not say where along a wire: a new branch takes what was seen on "
                f"{wires} to lie in it"
            )
        return made

    def by_itself(
        self, large: Sequence[LargeCure], grades: Grades
    ) -> dict[tuple[str, str, str], list[str]]:
        """The lightest cure for what only a large one would put right.

        Without it, asking for one stiff boot would be asking for a new loom.
        """
        curable = {item for cure in self.cures.values() for item in cure.items}
        only = {item for each in large for item in each.cure.items} - curable
        made: dict[tuple[str, str, str], list[str]] = {}
        for kind, name, aspect in grades:
            rules = _rules(kind, aspect)
            if f"{name} {aspect}" in only and rules:
                rule = min(rules, key=lambda r: (r.grade_from, cure_kind(r.cure).minutes))
                self.by_rule(made, kind, name, rule.cure, why=f"{aspect} by itself")
        return made

    def cure(
        self, kind: str, name: str, steps: tuple[str, ...], items: Mapping[str, Item]
    ) -> Cure | None:
        """The cure with its minutes and what it puts right; None where that is nothing."""
        aspects = {
            aspect for rule in _rules(kind) if rule.cure == steps[-1] for aspect in rule.covers
        }
        right = [f"{name} {aspect}" for aspect in sorted(aspects)]
        times = 1.0
        if kind == "plug":
            wires = self.places.wires(name)
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

    def opens(self, kind: str, name: str) -> tuple[str, ...]:
        """The places that must be reached."""
        if kind == "wire":
            return tuple(dict.fromkeys(self.place(end) for end in self.places.owners(name)))
        return (self.place(name),)

    def place(self, name: str) -> str:
        """Where something sits; by itself where that was not written down."""
        known = self.places.known(name)
        if known is None:
            self.notes.append(f"the place of {name} is not written down: it opens by itself")
        return known or name


def _rules(kind: str, aspect: str | None = None) -> list[CureRule]:
    return [
        rule
        for rule in cure_rules()
        if rule.kind == kind and (aspect is None or rule.aspect == aspect)
    ]
