"""What a person says must be done: a plug, wire, joint or device, one part of it, or a branch."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

import attrs

from loomwright.loom import Job, NotFound
from loomwright.loom.cells import nearest
from loomwright.loom.schema.work_tables import WHOLE_LOOM
from loomwright.repair.candidates import Candidates
from loomwright.repair.large_cures import covered

__all__ = ["with_must"]

_SHOWN = 4
"""Branches, and items, that are named for a choice; the rest are counted."""


def with_must(
    could: Candidates, must: Collection[str], *, job: Job, value: Mapping[str, float]
) -> Candidates:
    """The candidates with the person's own musts.

    A branch stands for all that a new branch there would renew and that something puts right.

    Parameters
    ----------
    could : everything that could be done
    must : names of plugs, wires, joints, devices and branches, or single aspects (`TE boot`)
    job, value : the loom, and defaults by name, for what a branch covers

    Raises
    ------
    NotFound
        when a name stands for nothing that could be done; the whole loom is none.
    """
    if not must:
        return could
    wanted = set(could.failed)
    branches = covered(job, value)
    curable = {item for cure in could.cures for item in cure.items}
    for each in must:
        here = {item.item for item in could.items if _of(item.item) == each or item.item == each}
        found = (here or branches.get(each, frozenset())) & curable
        if not found:
            raise _refused(each, curable, branches)
        wanted |= found
    items = tuple(attrs.evolve(item, must=item.item in wanted) for item in could.items)
    return attrs.evolve(could, items=items, failed=frozenset(wanted))


def _of(item: str) -> str:
    """`TE` of `TE boot`."""
    return item.rpartition(" ")[0]


def _refused(
    name: str, curable: Collection[str], branches: Mapping[str, frozenset[str]]
) -> NotFound:
    """Why a name is none that can be given, and what could be given."""
    here = [each for each, items in branches.items() if not items.isdisjoint(curable)]
    names = sorted({_of(item) for item in curable})
    what = f'nothing could be done at "{name}"'
    near = None if name in branches else nearest(name, [*names, *here])
    if name.casefold() == WHOLE_LOOM:
        what, near = f'"{name}" is all of it, and what must be done is told by its parts', None
    choices = " or ".join((*_choice("a branch", here), *_choice("an item", names)))
    cure = f"name {choices}" if choices else "leave it out: nothing on this job could be done"
    return NotFound(what, where="must", expected=f'did you mean "{near}"?' if near else cure)


def _choice(lead: str, names: list[str]) -> Iterator[str]:
    """`a branch (B2, B8)`; what is beyond the most is counted."""
    if names:
        more = len(names) - _SHOWN
        yield f"{lead} ({', '.join(names[:_SHOWN])}{f' and {more} more' if more > 0 else ''})"
