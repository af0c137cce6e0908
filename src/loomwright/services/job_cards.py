"""What the bench needs for each item of the chosen offer: one card each, in the order of work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

import attrs

from loomwright import standards
from loomwright.loom import Job, Plug, Point, Topology, Wire
from loomwright.loom.schema.work_tables import WHOLE_LOOM
from loomwright.repair.condition import ItemCondition
from loomwright.repair.fit import FITS
from loomwright.repair.plug_fit import IN_PART, RENEWED_FROM
from loomwright.services.card_parts import PARTS_FOR, CrimpLine, End, PartLine, PartsOfCards
from loomwright.services.crimps import CrimpsReport, Ledger
from loomwright.services.draw import PlugSheet, plug_sheets
from loomwright.services.judge import JudgeReport
from loomwright.services.plan import PlanReport, Step
from loomwright.services.suspects import Suspect, SuspectsReport
from loomwright.standards.cures import CureKind, cure_kind, cure_kinds

__all__ = ["PARTS_FOR", "CrimpLine", "CureKind", "End", "JobCard", "PartLine", "Work", "work"]

CUTS = ("re_terminate", "new_plug", "extend")
"""Kinds of cure that use up the wire of a plug."""
_LEAST = 0.1


@attrs.frozen(kw_only=True)
class JobCard:
    """All that is to be known at the bench of one item.

    Attributes
    ----------
    item, kind : its name; `plug`, `wire`, `joint`, `device`, `branch` or `loom`
    cures : kinds of cure, in the order of work
    place : where it sits, empty when not written down
    conditions : what was graded at it, or at what a branch or loom renews, worst first
    found : suspects of the readings that lie at it
    left : what is left as it is, each an item and its aspect
    ends : the ends of its wires
    faces : plugs that are opened or pinned
    parts, problems : what goes on new, and what stands against a part, in clauses
    missing : kinds of parts that are needed and of which none in the catalogue is known to fit
    crimps : how each terminal and splice that fits goes on
    ledgers : spare wire of the plugs that are cut
    opening : how the terminals come out, empty where that is not known
    steps : the work in its order
    """

    item: str
    kind: str
    cures: tuple[CureKind, ...]
    place: str
    conditions: tuple[ItemCondition, ...]
    found: tuple[Suspect, ...]
    left: tuple[str, ...]
    ends: tuple[End, ...]
    faces: tuple[PlugSheet, ...]
    parts: tuple[PartLine, ...]
    problems: tuple[str, ...]
    missing: tuple[str, ...]
    crimps: tuple[CrimpLine, ...]
    ledgers: tuple[Ledger, ...]
    opening: str
    steps: tuple[Step, ...]

    @property
    def cuts(self) -> bool:
        """Whether wire of a plug is used up."""
        return any(kind.cure in CUTS for kind in self.cures)


@attrs.frozen(kw_only=True)
class Work:
    """The chosen offer as cards.

    Attributes
    ----------
    offer : its name
    before, after : steps of the whole job before and after all cards
    cards : one per item, in the order of work
    paint : RGB of a screen, `#rrggbb`, by colour code
    why_none : why there is no card; empty otherwise
    """

    offer: str
    before: tuple[Step, ...]
    after: tuple[Step, ...]
    cards: tuple[JobCard, ...]
    paint: Mapping[str, str]
    why_none: str


def work(
    job: Job,
    *,
    plan: PlanReport,
    judge: JudgeReport,
    crimps: CrimpsReport,
    suspects: SuspectsReport | None,
) -> Work:
    """The cards of the offer whose order of work the plan tells.

    Parameters
    ----------
    job : the loom with its catalogue
    plan, judge, crimps : what the services say of it
    suspects : what the readings say; None without readings
    """
    maker = _Maker(job, plan, judge, crimps, suspects.suspects if suspects else ())
    names = tuple(dict.fromkeys(step.item for step in plan.order if step.item))
    numbers = [number for number, step in enumerate(plan.order) if step.item]
    first, last = (numbers[0], numbers[-1]) if numbers else (0, -1)
    return Work(
        offer=plan.ordered,
        before=plan.order[:first],
        after=plan.order[last + 1 :],
        cards=tuple(maker.card(name) for name in names),
        paint={code: row.rgb for code, row in standards.screen_colours().items()},
        why_none="" if names else _why_none(job, plan),
    )


def _why_none(job: Job, plan: PlanReport) -> str:
    offer = next(each for each in (*plan.offers, plan.pays) if each.name == plan.ordered)
    if offer.choice is None:
        return f"the offer cannot be kept: {offer.why_not}"
    if not job.survey and not job.readings:
        return "nothing was looked at and nothing was read yet: fill in survey and readings"
    if not job.survey:
        return "nothing was looked at yet, and the readings alone ask for no work: fill in survey"
    return "nothing that was seen or read asks for work in this offer"


@attrs.define(slots=False, eq=False)
class _Maker:
    job: Job
    plan: PlanReport
    judge: JudgeReport
    crimps: CrimpsReport
    suspects: tuple[Suspect, ...]

    @cached_property
    def loom(self) -> Topology:
        return Topology(self.job)

    @cached_property
    def kinds(self) -> dict[str, tuple[CureKind, ...]]:
        """Kinds of cure by item, by the names of the cures that are done."""
        found: dict[str, dict[str, CureKind]] = {}
        offer = next(
            each for each in (*self.plan.offers, self.plan.pays) if each.name == self.plan.ordered
        )
        for name in offer.choice.cures if offer.choice else ():
            steps, _, item = name.rpartition(" ")
            for step in steps.split(" + "):
                if step in cure_kinds():
                    found.setdefault(item, {})[step] = cure_kind(step)
        return {item: tuple(kinds.values()) for item, kinds in found.items()}

    @cached_property
    def left(self) -> tuple[str, ...]:
        offers = (*self.plan.offers, self.plan.pays)
        offer = next(each for each in offers if each.name == self.plan.ordered)
        return offer.choice.left if offer.choice else ()

    @cached_property
    def fitting(self) -> PartsOfCards:
        return PartsOfCards(self.job, self.judge, self.crimps.set_ups)

    def card(self, item: str) -> JobCard:
        cures = self.kinds.get(item, ())
        plugs = self.plugs(item)
        ends = tuple(self.ends(item))
        wanted = tuple(dict.fromkeys(
            kind for cure in cures for kind in PARTS_FOR.get(cure.cure, ())
        ))  # fmt: skip
        parts, problems = self.fitting.parts(plugs, ends, wanted)
        held = {line.part.kind for line in parts if line.outcome in (FITS, IN_PART)}
        names = [str(plug.plug) for plug in plugs]
        locks = dict.fromkeys(fit.opening for fit in self.judge.fits if fit.plug in names)
        cuts = any(kind.cure in CUTS for kind in cures)
        return JobCard(
            item=item,
            kind=self.kind(item),
            cures=cures,
            place=self.place(item),
            conditions=tuple(self.conditions(item, plugs, ends)),
            found=tuple(self.found(item)),
            left=tuple(each for each in self.left if each.rpartition(" ")[0] == item),
            ends=ends,
            faces=plug_sheets(self.job, names) if names else (),
            parts=parts,
            problems=problems,
            missing=tuple(kind for kind in wanted if kind not in held),
            crimps=tuple(self.fitting.crimped(parts, ends)),
            ledgers=tuple(each for each in self.crimps.ledgers if cuts and each.plug in names),
            opening="; ".join(filter(None, locks)) if cures and wanted else "",
            steps=tuple(step for step in self.plan.order if step.item == item),
        )

    def kind(self, item: str) -> str:
        if item in self.loom.plugs:
            return "plug"
        if item in self.loom.joints:
            return "joint"
        if item in self.loom.devices:
            return "device"
        if any(wire.wire == item for wire in self.job.wires):
            return "wire"
        return WHOLE_LOOM if item == WHOLE_LOOM else "branch"

    def place(self, item: str) -> str:
        for table in (self.loom.plugs, self.loom.joints, self.loom.devices):
            if item in table:
                return str(getattr(table[item], "place", None) or "")
        branch = next((each for each in self.job.branches if each.branch == item), None)
        return f"{branch.from_place} to {branch.to_place}" if branch else ""

    def plugs(self, item: str) -> tuple[Plug, ...]:
        """The plugs whose faces are looked at for this item."""
        kind = self.kind(item)
        if kind == "plug":
            return (self.loom.plugs[item],)
        if kind == "device":
            return tuple(plug for plug in self.job.plugs if plug.mates_with == item)
        if kind not in ("wire", "branch"):
            return ()
        owners = dict.fromkeys(end.here.owner for end in self.ends(item))
        found = [self.loom.plugs[name] for name in owners if name in self.loom.plugs]
        if kind == "branch":
            branch = next(each for each in self.job.branches if each.branch == item)
            found = [plug for plug in found if plug.place in (branch.from_place, branch.to_place)]
        return tuple(found)

    def ends(self, item: str) -> Iterator[End]:
        """Ends at the item; of a wire, branch or loom both ends of every wire."""
        kind = self.kind(item)
        if kind == "plug":
            for name in self.loom.plugs[item].face.cavities:
                here = Point(item, name)
                for wire in self.loom.wires_at.get(here, ()):
                    yield _end(wire, here)
            return
        for wire in self.job.wires:
            points = (wire.from_point, wire.to_point)
            if kind == "joint":
                yield from (_end(wire, point) for point in points if point.owner == item)
            elif kind == WHOLE_LOOM or wire.wire == item or item in wire.branches:
                yield from (_end(wire, point) for point in points)

    def conditions(
        self, item: str, plugs: tuple[Plug, ...], ends: tuple[End, ...]
    ) -> Iterator[ItemCondition]:
        """What was graded; of what is only a part of a branch or loom, where it is worn."""
        inside: set[str] = set()
        if self.kind(item) == "branch":
            inside = {str(plug.plug) for plug in plugs} | {end.wire for end in ends}
        elif self.kind(item) == WHOLE_LOOM:
            inside = {each.item for each in self.judge.items if each.kind != "device"}
        for each in self.judge.items:
            worn = each.item in inside and (each.worst or 0) >= RENEWED_FROM
            if each.looked and (worn or each.item == item):
                yield each

    def found(self, item: str) -> Iterator[Suspect]:
        for each in self.suspects:
            here = {name.partition(".")[0] for name in (*each.items, *each.at)} | set(each.items)
            if item in here and each.probability >= _LEAST:
                yield each


def _end(wire: Wire, here: Point) -> End:
    far = wire.to_point if wire.from_point == here else wire.from_point
    return End(
        here=here,
        far_end=far,
        wire=str(wire.wire),
        letters=(wire.colour or "").strip(),
        section_mm2=wire.section_mm2,
    )
