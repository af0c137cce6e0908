"""The state of every plug, wire and joint as far as it was looked at, and what follows.

Grades come from the survey; a wire's strands are graded by those left where no grade was given.
What was not looked at is said, never guessed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

import attrs

from loomwright import standards
from loomwright.loom import Job, SurveyRow

EXPECTED: dict[str, tuple[str, ...]] = {
    "plug": ("boot", "shell", "terminal"),
    "wire": ("insulation", "strands"),
    "joint": ("terminal",),
    "splice": ("insulation",),
    "device": (),
}
"""Aspects to look at, by kind of item; a splice is a joint under its cover."""
NO_BOOT = "none"
"""What `plugs` says in `boot` where a plug has none by design."""
REPLACE, KEEP, OPEN = "replace", "keep", "not decided"


@attrs.frozen(kw_only=True)
class Looked:
    """One aspect of one item that was looked at.

    Attributes
    ----------
    aspect : `boot`, `shell`, `terminal`, `insulation` or `strands`
    grade : 0 as new … 4 danger
    looks_like, verdict : what that grade looks like, what usually follows
    note : what the person wrote
    by_strands : whether the grade follows from the strands left, and was not given
    """

    aspect: str
    grade: int
    looks_like: str
    verdict: str
    note: str
    by_strands: bool


@attrs.frozen(kw_only=True)
class ItemCondition:
    """How one item is.

    Attributes
    ----------
    item, kind : its name; `plug`, `wire`, `joint` or `device`
    looked : aspects that were looked at, worst first
    not_looked_at : aspects that should be looked at and were not
    """

    item: str
    kind: str
    looked: tuple[Looked, ...]
    not_looked_at: tuple[str, ...]

    @property
    def worst(self) -> int | None:
        """The worst grade, None where nothing was looked at."""
        return self.looked[0].grade if self.looked else None

    @property
    def verdict(self) -> str:
        """What usually follows from the worst aspect."""
        return self.looked[0].verdict if self.looked else "not looked at"

    def grade(self, aspect: str) -> int | None:
        """The grade of an aspect, None where it was not looked at."""
        return next((each.grade for each in self.looked if each.aspect == aspect), None)


@attrs.frozen(kw_only=True)
class BranchCondition:
    """How the wires of a branch are.

    Attributes
    ----------
    branch : its name
    wires : wires that run through it
    bad : those at or above the bad grade; a survey does not say where along a wire
    not_looked_at : those without any grade
    limit : number of bad wires from which the branch is replaced
    """

    branch: str
    wires: tuple[str, ...]
    bad: tuple[str, ...]
    not_looked_at: tuple[str, ...]
    limit: int

    @property
    def verdict(self) -> str:
        """`replace`, `keep`, or `not decided` while unseen wires could still change it."""
        if self.wires and len(self.bad) >= self.limit:
            return REPLACE
        possible = len(self.bad) + len(self.not_looked_at)
        return KEEP if self.wires and possible < self.limit else OPEN


@attrs.frozen(kw_only=True)
class LoomCondition:
    """What the branches together say of the loom.

    Attributes
    ----------
    replace, not_decided : names of such branches
    branches : how many there are
    limit : number of branches to replace from which the whole loom is priced
    """

    replace: tuple[str, ...]
    not_decided: tuple[str, ...]
    branches: int
    limit: int

    @property
    def verdict(self) -> str:
        """`replace` (price the whole loom), `keep` (branch by branch), or `not decided`."""
        if self.branches and len(self.replace) >= self.limit:
            return REPLACE
        possible = len(self.replace) + len(self.not_decided)
        return KEEP if self.branches and possible < self.limit else OPEN


def conditions(job: Job) -> tuple[ItemCondition, ...]:
    """Every plug, wire and joint, and the devices that were surveyed, worst first."""
    rows: dict[str, list[SurveyRow]] = defaultdict(list)
    for row in job.survey:
        rows[row.item].append(row)
    strands = {str(wire.wire): wire.strands for wire in job.wires}
    found = [
        _condition(name, kind, rows.get(name, []), wanted=wanted, strands=strands.get(name))
        for name, kind, wanted in _items(job)
        if kind != "device" or name in rows
    ]
    return tuple(sorted(found, key=lambda each: -1 if each.worst is None else each.worst,
                        reverse=True))  # fmt: skip


def branch_conditions(
    job: Job, found: tuple[ItemCondition, ...], *, value: Mapping[str, float]
) -> tuple[BranchCondition, ...]:
    """The branch rule: so many bad wires, or all where there are fewer, and it is replaced.

    Parameters
    ----------
    job : for the branches each wire runs through
    found : the condition of its items
    value : defaults by name: `bad_grade`, `bad_wires_of_branch`

    Source: common practice, no published source.
    """
    worst = {each.item: each.worst for each in found if each.kind == "wire"}
    made = []
    for branch in job.branches:
        wires = tuple(str(wire.wire) for wire in job.wires if branch.branch in wire.branches)
        grades = [(name, worst.get(name)) for name in wires]
        made.append(
            BranchCondition(
                branch=branch.branch,
                wires=wires,
                bad=tuple(n for n, grade in grades if grade is not None
                          and grade >= value["bad_grade"]),
                not_looked_at=tuple(name for name, grade in grades if grade is None),
                limit=max(1, min(round(value["bad_wires_of_branch"]), len(wires))),
            )
        )  # fmt: skip
    return tuple(made)


def loom_condition(
    branches: tuple[BranchCondition, ...], *, value: Mapping[str, float]
) -> LoomCondition:
    """The loom rule: so many branches to replace, or all, and the whole loom is priced too.

    Source: common practice, no published source.
    """
    return LoomCondition(
        replace=tuple(each.branch for each in branches if each.verdict == REPLACE),
        not_decided=tuple(each.branch for each in branches if each.verdict == OPEN),
        branches=len(branches),
        limit=max(1, min(round(value["bad_branches_of_loom"]), len(branches))),
    )


def _items(job: Job) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Name, kind and the aspects to look at."""
    for plug in job.plugs:
        bare = (plug.boot or "").strip().casefold() == NO_BOOT
        wanted = EXPECTED["plug"][1:] if bare else EXPECTED["plug"]
        yield plug.plug, "plug", wanted
    for wire in job.wires:
        yield wire.wire, "wire", EXPECTED["wire"]
    for joint in job.joints:
        yield joint.joint, "joint", EXPECTED.get(joint.kind, EXPECTED["joint"])
    for device in job.devices:
        yield device.device, "device", EXPECTED["device"]


def _condition(
    item: str, kind: str, rows: list[SurveyRow], *, wanted: tuple[str, ...], strands: int | None
) -> ItemCondition:
    worst: dict[str, Looked] = {}
    for row in rows:
        looked = _looked(row, strands)
        if looked and (row.aspect not in worst or looked.grade > worst[row.aspect].grade):
            worst[row.aspect] = looked
    return ItemCondition(
        item=item,
        kind=kind,
        looked=tuple(sorted(worst.values(), key=lambda each: each.grade, reverse=True)),
        not_looked_at=tuple(
            aspect
            for aspect in dict.fromkeys((*wanted, *(row.aspect for row in rows)))
            if aspect not in worst
        ),
    )


def _looked(row: SurveyRow, strands: int | None) -> Looked | None:
    """What one row says; a given grade comes before the strands that are left."""
    left = row.strands_left
    if row.grade is not None:
        meant = standards.grade(row.aspect, row.grade)
    elif left is not None and strands is not None and row.aspect == "strands" and left <= strands:
        meant = standards.strands_grade(strands, left=left)
    else:
        return None
    return Looked(
        aspect=row.aspect,
        grade=meant.grade,
        looks_like=meant.looks_like,
        verdict=meant.verdict,
        note=row.note or "",
        by_strands=row.grade is None,
    )
