"""What could be put right: aspects that were graded worse than new, and what the readings say.

An item here is one aspect of a plug, wire, joint or device (`TE terminal`). What is graded can
come back with the chance of its grade; what the readings have found is a must.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import attrs

from loomwright.loom import Topology
from loomwright.repair.choice import Item
from loomwright.repair.condition import ItemCondition

Grades = Mapping[tuple[str, str, str], int]
"""Grade by kind, name and aspect of an item."""
_INSIDE = "inside"
_LEAKS = ("leak", "short_between")
_BARE = ("short_to_earth", "short_to_supply")
_BAD = 3


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


def open_items(
    loom: Topology,
    conditions: Sequence[ItemCondition],
    found: Sequence[Found],
    *,
    value: Mapping[str, float],
) -> dict[str, Item]:
    """Items by name: what was graded worse than new, and what the readings say.

    Parameters
    ----------
    loom : for what a name stands for
    conditions : what was seen
    found : what the readings say
    value : defaults by name: `comeback_grade_1` to `comeback_grade_4`, `comeback_failed`
    """
    made: dict[str, Item] = {}
    for each in conditions:
        for looked in each.looked:
            if looked.grade > 0:
                name = f"{each.item} {looked.aspect}"
                made[name] = Item(item=name, comeback=value[f"comeback_grade_{looked.grade}"])
    for fault in found:
        for name in _named(loom, fault):
            usual = made.get(name, Item(item=name, comeback=0.0))
            chance = value["comeback_failed"] if fault.claimed else fault.probability
            made[name] = Item(
                item=name,
                comeback=max(usual.comeback, chance),
                must=usual.must or fault.claimed,
            )
    return made


def grades_of(
    loom: Topology, conditions: Sequence[ItemCondition], found: Sequence[Found]
) -> dict[tuple[str, str, str], int]:
    """Grade by kind, name and aspect; a fault that was found counts as bad at least."""
    grades = {
        (each.kind, each.item, looked.aspect): looked.grade
        for each in conditions
        for looked in each.looked
    }
    kinds = {each.item: each.kind for each in conditions}
    kinds |= dict.fromkeys(map(str, loom.devices), "device")
    for full in dict.fromkeys(name for fault in found for name in _named(loom, fault)):
        name, _, aspect = full.rpartition(" ")
        key = (kinds.get(name, "wire"), name, aspect)
        grades[key] = max(grades.get(key, 0), _BAD)
    return grades


def _named(loom: Topology, fault: Found) -> Iterator[str]:
    """The aspects that a found fault lies in; the first item's, where there are several."""
    owner, _, cavity = fault.items[0].partition(".")
    if cavity and owner in loom.plugs:
        yield f"{owner} terminal"
        if fault.kind in _LEAKS:
            yield f"{owner} boot"
    elif owner in loom.devices:
        yield f"{owner} {_INSIDE}"
    elif owner in loom.joints:
        yield f"{owner} terminal"
    else:
        yield f"{owner} {'insulation' if fault.kind in _BARE else 'strands'}"
