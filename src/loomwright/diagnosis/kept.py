"""A store of solutions that lets the oldest go when it grows too large."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

import attrs

Key = TypeVar("Key")
Solution = TypeVar("Solution")


@attrs.define(eq=False)
class Kept(Generic[Key, Solution]):
    """Solutions by key, made when first asked for.

    Parameters
    ----------
    most : numbers kept; beyond it the oldest solutions go before a new one is made
    size : how many numbers a solution holds
    """

    most: int
    size: Callable[[Solution], int]
    _solutions: dict[Key, Solution] = attrs.field(factory=dict, init=False)
    _total: int = attrs.field(default=0, init=False)

    def __len__(self) -> int:
        return len(self._solutions)

    def get(self, key: Key, make: Callable[[], Solution]) -> Solution:
        """The solution of a key, made by `make` unless it is here."""
        found = self._solutions.get(key)
        if found is not None:
            return found
        while self._solutions and self._total > self.most:
            oldest = next(iter(self._solutions))
            self._total -= self.size(self._solutions.pop(oldest))
        made = self._solutions[key] = make()
        self._total += self.size(made)
        return made
