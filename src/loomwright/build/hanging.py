"""What hangs together, pair by pair (union and find: Tarjan, Journal of the ACM 22 (1975) 215)."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import Generic, TypeVar

import attrs

Thing = TypeVar("Thing", bound=Hashable)


@attrs.define(eq=False)
class Hanging(Generic[Thing]):
    """Things, and which of them hang together; each stands for itself until it is joined."""

    _up: dict[Thing, Thing] = attrs.field(factory=dict, init=False)

    def first(self, thing: Thing) -> Thing:
        """The thing that stands for all that hangs together with this one."""
        self._up.setdefault(thing, thing)
        while self._up[thing] != thing:
            self._up[thing] = self._up[self._up[thing]]
            thing = self._up[thing]
        return thing

    def join(self, one: Thing, other: Thing) -> bool:
        """Join two; whether they were apart before."""
        first, second = self.first(one), self.first(other)
        self._up[second] = first
        return first != second

    def join_all(self, things: Iterable[Thing]) -> None:
        """Join all of these."""
        head: list[Thing] = []
        for thing in things:
            self.join(head[0] if head else thing, thing)
            head = head or [thing]

    def groups(self) -> list[list[Thing]]:
        """What hangs together, in the order of mention."""
        found: dict[Thing, list[Thing]] = {}
        for thing in tuple(self._up):
            found.setdefault(self.first(thing), []).append(thing)
        return list(found.values())
