"""A cut plan with its figures, each against the least that any plan takes."""

from __future__ import annotations

from collections.abc import Iterable

import attrs

from loomwright.build.cut_exact import Opened

BY_LENGTH, BY_SIZES, BY_SEARCH = "length", "sizes", "search"
"""What proves a figure: the lengths together, the sizes of the pieces, or every way tried."""


@attrs.frozen(kw_only=True)
class Proof:
    """A figure of a plan, against the least it could be.

    Attributes
    ----------
    got : of the plan
    least : what no plan goes below
    by : what proves the least: `length`, `sizes` or `search`
    """

    got: int
    least: int
    by: str = BY_LENGTH

    @property
    def proved(self) -> bool:
        """Whether no plan does better."""
        return self.got == self.least


@attrs.frozen(kw_only=True)
class CutLengths:
    """The lengths that are opened, and what is cut from each.

    Attributes
    ----------
    opened : the drawer first, then reels; pieces the longest first
    reels : new reels
    bought_mm : length of them together
    drawer_mm : length of what is opened in the drawer
    """

    opened: tuple[Opened, ...]
    reels: Proof
    bought_mm: Proof
    drawer_mm: Proof

    @property
    def proved(self) -> bool:
        """Whether no plan does better in any of the three."""
        return self.reels.proved and self.bought_mm.proved and self.drawer_mm.proved


def drawer_mm(opened: Iterable[Opened]) -> int:
    """Length of what is opened in the drawer."""
    return sum(length.length_mm for length, _ in opened if not length.new)
