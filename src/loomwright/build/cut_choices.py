"""Which lengths of a drawer to open: choices, the shortest together first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

import numpy as np

_MOST = 12

Choice = tuple[int, tuple[int, ...]]
"""How long some lengths are together, and which they are [mm]."""


def every_choice(drawer: Sequence[int]) -> bool:
    """Whether the drawer is small enough that every choice is gone through."""
    return len(drawer) <= _MOST


def choices(
    drawer: Sequence[int], held_mm: Mapping[int, int], *, need_mm: int, most_mm: int
) -> Iterator[Choice]:
    """Lengths that can hold so much, the shortest together first.

    Every choice where they are few (`every_choice`); else, of those alike in length together, one
    that holds the most, so that the first is always the shortest that can do.

    Parameters
    ----------
    drawer : lengths there are
    held_mm : the most that can be cut from each length
    need_mm : what they must hold together
    most_mm : how long they may be together
    """
    if not every_choice(drawer):
        yield from _fullest(drawer, held_mm, need_mm, most_mm)
        return
    for total, some in sorted(_every(drawer)):
        if total <= most_mm and sum(held_mm[each] for each in some) >= need_mm:
            yield total, some


def _every(drawer: Sequence[int]) -> set[Choice]:
    ordered = sorted(drawer)
    return {
        (sum(some), some)
        for count in range(len(ordered) + 1)
        for some in combinations(ordered, count)
    }


def _fullest(
    drawer: Sequence[int], held_mm: Mapping[int, int], need_mm: int, most_mm: int
) -> Iterator[Choice]:
    """For each length that some have together, some that hold the most (a knapsack)."""
    best = np.full(most_mm + 1, -1)
    best[0] = 0
    taken = []
    for each in drawer:
        before = best[: max(0, most_mm + 1 - each)]
        other = np.where(before >= 0, before + held_mm[each], -1)
        better = other > best[each:]
        best[each:] = np.where(better, other, best[each:])
        taken.append((each, better))
    for total in np.flatnonzero(best >= max(0, need_mm)):
        left, some = int(total), []
        for each, better in reversed(taken):
            if left >= each and better[left - each]:
                some.append(each)
                left -= each
        yield int(total), tuple(sorted(some))
