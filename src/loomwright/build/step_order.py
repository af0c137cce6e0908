"""Steps of making a loom, and their order: each after those it waits for."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Sequence

import attrs

SPLICE, CHECK, BOOT, CRIMP, LAY, TRIM, TEST = (
    "splice", "check", "boot", "crimp", "lay", "trim", "test",
)  # fmt: skip
"""Kinds of steps."""
HOLDS = (CHECK, BOOT, TEST)
"""Kinds that must pass before the work goes on: what follows cannot be undone."""


@attrs.frozen(kw_only=True)
class LayStep:
    """One step.

    Attributes
    ----------
    number : in the order of work, from 1
    kind : one of `SPLICE`, `CHECK`, `BOOT`, `CRIMP`, `LAY`, `TRIM`, `TEST`
    item : the splice, plug, joint, branch or place it is about; may be empty
    what, why : the step, and the reason for its place in the order
    wires : those it is about
    after : numbers of the steps it waits for
    """

    number: int
    kind: str
    item: str
    what: str
    wires: tuple[str, ...]
    after: tuple[int, ...]
    why: str

    @property
    def hold(self) -> bool:
        """Whether it must pass before the work goes on."""
        return self.kind in HOLDS


@attrs.frozen(kw_only=True)
class Asked:
    """A step before it has its number.

    Attributes
    ----------
    key : kind and item, one step each
    order : where it stands among those that could come next, the least first
    after : keys of the steps before it
    """

    key: tuple[str, str]
    order: tuple[float, ...]
    what: str
    wires: tuple[str, ...]
    after: frozenset[tuple[str, str]]
    why: str


def sorted_steps(asked: Sequence[Asked]) -> tuple[LayStep, ...]:
    """Steps so that each comes after those it waits for, and otherwise by their order.

    What waits for itself by a ring is put last, in its order; no ring comes of a loom.
    """
    left = {each.key: set(each.after) & {other.key for other in asked} for each in asked}
    by_key = {each.key: each for each in asked}
    followers: dict[tuple[str, str], list[tuple[str, str]]] = defaultdict(list)
    for key, before in left.items():
        for other in before:
            followers[other].append(key)
    ready = [(by_key[key].order, key) for key, before in left.items() if not before]
    heapq.heapify(ready)
    done: list[tuple[str, str]] = []
    while ready:
        _, key = heapq.heappop(ready)
        done.append(key)
        for other in followers[key]:
            left[other].discard(key)
            if not left[other]:
                heapq.heappush(ready, (by_key[other].order, other))
    done += sorted(set(by_key) - set(done), key=lambda key: by_key[key].order)
    number = {key: i for i, key in enumerate(done, 1)}
    return tuple(
        LayStep(
            number=number[key], kind=key[0], item=key[1], what=by_key[key].what,
            wires=by_key[key].wires, why=by_key[key].why,
            after=tuple(sorted(number[k] for k in by_key[key].after if k in number)),
        )
        for key in done
    )  # fmt: skip
