"""Whether pieces come out of given lengths that leave little over, by trying every way.

What is left over of all lengths together is known beforehand. So each length in turn, the shortest
first, is only cut in ways that leave no more than that; the last one holds the rest by itself. The
less is left over, the fewer ways there are, just where quick ways fail.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from loomwright.build.cut_fill import Cuts

_MOST_STEPS = 4_000
"""Ways to cut one length that are looked at before the search gives up."""


@attrs.frozen(kw_only=True)
class Tried:
    """What was found.

    Attributes
    ----------
    cuts : of each length, in their order; None where there is no way, or none was found
    every : whether every way was tried
    """

    cuts: tuple[Cuts, ...] | None
    every: bool


def tried(pieces: Sequence[int], lengths_mm: Sequence[int], *, most: int = _MOST_STEPS) -> Tried:
    """Try every way in which all pieces come out of these lengths.

    Parameters
    ----------
    pieces : to be cut [mm]
    lengths_mm : there are [mm]
    most : ways to cut one length that may be looked at

    Examples
    --------
    >>> tried([6, 5, 5, 4], [10, 10]).cuts
    ((6, 4), (5, 5))
    >>> tried([6, 6, 5, 3], [10, 10])
    Tried(cuts=None, every=True)
    """
    over = sum(lengths_mm) - sum(pieces)
    if over < 0 or not lengths_mm:
        return Tried(cuts=None, every=True)
    order = sorted(range(len(lengths_mm)), key=lambda place: lengths_mm[place])
    search = _Search([lengths_mm[place] for place in order], most)
    found = search.below(0, tuple(sorted(pieces, reverse=True)), over)
    if found is None:
        return Tried(cuts=None, every=search.steps_left > 0)
    cuts = dict(zip(order, found, strict=True))
    return Tried(cuts=tuple(cuts[place] for place in range(len(lengths_mm))), every=True)


@attrs.define(eq=False)
class _Search:
    """Lengths the shortest first, and how many steps may still be taken."""

    lengths: list[int]
    steps_left: int
    in_vain: set[tuple[int, Cuts]] = attrs.field(factory=set, init=False)

    def below(self, place: int, pieces: Cuts, over: int) -> list[Cuts] | None:
        """Cuts of the lengths from a place on, or None."""
        if place == len(self.lengths) - 1:
            return [pieces]
        if (place, pieces) in self.in_vain:
            return None
        length = self.lengths[place]
        for cuts in _fillings(pieces, length, length - over):
            self.steps_left -= 1
            if self.steps_left <= 0:
                return None
            rest = self.below(place + 1, _without(pieces, cuts), over - length + sum(cuts))
            if rest is not None:
                return [cuts, *rest]
        if self.steps_left > 0:
            self.in_vain.add((place, pieces))
        return None


def _fillings(pieces: Cuts, length: int, least: int) -> Iterator[Cuts]:
    """Every choice of pieces between two lengths together, each once, the longest pieces first."""
    mask, reach = (1 << (length + 1)) - 1, [1]
    for piece in reversed(pieces):
        reach.append((reach[-1] | reach[-1] << piece) & mask)
    reach.reverse()  # reach[n]: what the pieces from n on can be together
    low = max(0, least)

    def chosen(start: int, room: int, need: int, taken: Cuts) -> Iterator[Cuts]:
        if not reach[start] >> need & ((1 << (room - need + 1)) - 1):
            return
        if start == len(pieces):
            yield taken
            return
        piece, after = pieces[start], start + 1
        if piece <= room:
            yield from chosen(after, room - piece, max(0, need - piece), (*taken, piece))
        while after < len(pieces) and pieces[after] == piece:  # alike: leave them all
            after += 1
        yield from chosen(after, room, need, taken)

    yield from chosen(0, length, low, ())


def _without(pieces: Cuts, cuts: Cuts) -> Cuts:
    left = list(pieces)
    for cut in cuts:
        left.remove(cut)
    return tuple(left)
