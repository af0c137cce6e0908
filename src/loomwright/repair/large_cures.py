"""Cures larger than one item: a new branch, and a new loom.

A new branch puts right what its wires suffer from and what hangs at its own ends; a new loom all
that belongs to the loom. Both are weighed where the branch and loom rules ask for them, or where so
much is worn that they may pay; whether they do is for `choice`.

The minutes of a new branch go by its wires, from the least to the most of its table,

    t = least + (most - least) (n - n_least) / (n_most - n_least), never below least

A wire that runs on past both ends of the branch is joined at both, which adds a splice. Common
practice, no published source; that minutes go straight with wires is assumed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import attrs

from loomwright.loom import Branch, Job, Wire
from loomwright.loom.schema.work_tables import WHOLE_LOOM
from loomwright.repair.choice import Cure, Item
from loomwright.repair.condition import (
    REPLACE,
    BranchCondition,
    ItemCondition,
    branch_conditions,
    loom_condition,
)
from loomwright.repair.places import Places
from loomwright.standards.cures import cure_kind, never_released

NEW_BRANCH, NEW_LOOM = "new_branch", "new_loom"
_SPLICE = "splice"
_OF_WIRE = ("insulation", "strands")
_OF_PLUG = ("boot", "shell", "terminal")
_OF_JOINT = ("insulation", "terminal")


@attrs.frozen(kw_only=True)
class LargeCure:
    """A new branch or a new loom that is worth weighing.

    Attributes
    ----------
    kind, at : `new_branch` and a branch, or `new_loom` and `loom`
    cure : as `choice.choose` takes it
    because : why it is weighed, in words
    taken : wires that run on beyond the branch; what was seen on them is taken to lie in it
    """

    kind: str
    at: str
    cure: Cure
    because: tuple[str, ...]
    taken: tuple[str, ...] = ()


def large_cures(
    places: Places,
    conditions: Sequence[ItemCondition],
    items: Mapping[str, Item],
    *,
    grades: Mapping[str, int],
) -> Iterator[LargeCure]:
    """The new branches and the new loom that are worth weighing.

    Parameters
    ----------
    places : the job with its places and defaults
    conditions : what was seen
    items : what could be put right, by name
    grades : grade by name of item; what was found counts as bad
    """
    value = places.value
    branches = branch_conditions(places.job, tuple(conditions), value=value)
    by_name = {str(branch.branch): branch for branch in places.job.branches}
    for rule in branches:
        large = _new_branch(places, by_name[rule.branch], rule, items, grades)
        if large is not None:
            yield large
    whole = loom_condition(branches, value=value)
    right = tuple(name for name in items if name in _loom_items(places.job))
    worn = _worn(right, grades, value)
    if right and (whole.verdict == REPLACE or len(worn) >= value["new_loom_items"]):
        yield LargeCure(
            kind=NEW_LOOM,
            at=WHOLE_LOOM,
            cure=Cure(
                cure=f"{NEW_LOOM} {WHOLE_LOOM}",
                items=right,
                minutes=cure_kind(NEW_LOOM).minutes,
                opens=places.all(),
                comeback=cure_kind(NEW_LOOM).comeback,
            ),
            because=(
                f"the loom rule asks for it: {len(whole.replace)} branches to replace"
                if whole.verdict == REPLACE
                else f"{len(worn)} items are worn or worse",
            ),
        )


def covered(job: Job, value: Mapping[str, float]) -> dict[str, frozenset[str]]:
    """Names of all that a new branch renews, by branch, whether it is worn or not.

    Parameters
    ----------
    job : its branches and what hangs on them
    value : defaults by name
    """
    places = Places(job, value)
    return {
        str(branch.branch): frozenset(_branch_items(places, branch, _over(job, branch)))
        for branch in job.branches
    }


def branch_minutes(wires: int, *, through: int, value: Mapping[str, float]) -> float:
    """Minutes of a new branch beyond opening [min].

    Parameters
    ----------
    wires : wires that run over it
    through : those of them that run on past both of its ends
    value : defaults by name: `new_branch_wires_least`, `new_branch_wires_most`

    Examples
    --------
    >>> few = {"new_branch_wires_least": 2.0, "new_branch_wires_most": 6.0}
    >>> [branch_minutes(n, through=0, value=few) for n in (1, 2, 4, 6, 8)]
    [60.0, 60.0, 90.0, 120.0, 150.0]
    """
    kind = cure_kind(NEW_BRANCH)
    least = value["new_branch_wires_least"]
    span = max(1.0, value["new_branch_wires_most"] - least)
    each = (kind.minutes_high - kind.minutes_low) / span
    more = max(0.0, wires - least)
    return kind.minutes_low + each * more + through * cure_kind("extend").minutes


def _new_branch(
    places: Places,
    branch: Branch,
    rule: BranchCondition,
    items: Mapping[str, Item],
    grades: Mapping[str, int],
) -> LargeCure | None:
    """The cure, None where it puts nothing right or nothing speaks for it."""
    name = str(branch.branch)
    wires = _over(places.job, branch)
    right = tuple(item for item in items if item in set(_branch_items(places, branch, wires)))
    worn = _worn(right, grades, places.value)
    asked = rule.verdict == REPLACE
    taken = tuple(_taken(wires, worn))
    if not right or not (asked or len(worn) >= places.value["new_branch_items"]):
        return None
    through = sum(not _ends_here(wire, name) for wire in wires)
    kind, splice = cure_kind(NEW_BRANCH), cure_kind("extend")
    return LargeCure(
        kind=NEW_BRANCH,
        at=name,
        cure=Cure(
            cure=f"{NEW_BRANCH} {name}",
            items=right,
            minutes=branch_minutes(len(wires), through=through, value=places.value),
            opens=tuple(dict.fromkeys((branch.from_place, branch.to_place))),
            comeback=kind.comeback + through * splice.comeback,
        ),
        because=(
            f"the branch rule asks for it: {len(rule.bad)} bad of {len(rule.wires)} wires"
            if asked
            else f"{len(worn)} items on it are worn or worse",
            *(f"what was seen on {wire} is taken to lie in {name}" for wire in taken),
        ),
        taken=taken,
    )


def _branch_items(places: Places, branch: Branch, wires: Sequence[Wire]) -> Iterator[str]:
    """Names of all that a new branch renews, surveyed or not.

    The insulation of its wires; the strands of those that end at it, for strands break behind a
    crimp; boots and terminals of the plugs, and the splices, at its ends that hang on it alone.
    A shell that cannot give its terminals up is renewed with them.
    """
    name = str(branch.branch)
    over = {str(wire.wire) for wire in wires}
    for wire in wires:
        yield f"{wire.wire} insulation"
        if _ends_here(wire, name):
            yield f"{wire.wire} strands"
    for owner in (*places.loom.plugs, *places.loom.joints):
        here = places.wires(owner)
        if not here or not over.issuperset(here):
            continue
        if places.known(owner) not in (branch.from_place, branch.to_place):
            continue
        plug, joint = places.loom.plugs.get(owner), places.loom.joints.get(owner)
        if plug is not None:
            aspects = _OF_PLUG if plug.lock in never_released() else ("boot", "terminal")
            yield from (f"{owner} {aspect}" for aspect in aspects)
        elif joint is not None and joint.kind == _SPLICE:
            yield from (f"{owner} {aspect}" for aspect in _OF_JOINT)


def _loom_items(job: Job) -> set[str]:
    """Names of all that a new loom renews.

    Every wire, plug with its boot, shell and terminals, splice, and eyelet; earth points and posts
    are cleaned as it is laid. Devices, their insides and their shells, are no part of it.
    """
    return {
        f"{name} {aspect}"
        for names, aspects in (
            ([wire.wire for wire in job.wires], _OF_WIRE),
            ([plug.plug for plug in job.plugs], _OF_PLUG),
            ([joint.joint for joint in job.joints], _OF_JOINT),
        )
        for name in names
        for aspect in aspects
    }


def _over(job: Job, branch: Branch) -> list[Wire]:
    return [wire for wire in job.wires if branch.branch in wire.branches]


def _ends_here(wire: Wire, branch: str) -> bool:
    """Whether a branch is the first or the last that a wire runs through."""
    return branch in (wire.branches[0], wire.branches[-1])


def _worn(
    items: Sequence[str], grades: Mapping[str, int], value: Mapping[str, float]
) -> tuple[str, ...]:
    return tuple(item for item in items if grades.get(item, 0) >= value["new_branch_grade"])


def _taken(wires: Sequence[Wire], worn: Sequence[str]) -> Iterator[str]:
    """Worn wires that run on beyond the branch; a survey does not say where along a wire."""
    for wire in wires:
        if len(wire.branches) > 1 and any(f"{wire.wire} {aspect}" in worn for aspect in _OF_WIRE):
            yield str(wire.wire)
