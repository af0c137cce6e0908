"""Least number of reels that any way of cutting takes: where a plan meets a bound, it is proved.

Three bounds, each stronger and dearer than the one before: by length together, by sizes
(Martello and Toth, Discrete Appl. Math. 28 (1990) 59, bound L2), and by shares: the linear
program over all ways to cut one length, its ways made when they pay (Gilmore and Gomory,
Operations Research 9 (1961) 849). Whole millimetres.
"""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Mapping, Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.build.cut_fill import fullest_mm, reachable
from loomwright.repair.cutting import Pattern

_SLACK = 1e-6
"""What is rounded up must be so much above a whole number, so that no proof rests on rounding."""
_MOST_STEPS = 400


def by_length(pieces: Sequence[int], reel_mm: int, drawer_mm: Sequence[int] = ()) -> int:
    """Reels by length together, each length holding at most what can be cut from it.

    Parameters
    ----------
    pieces : to be cut [mm]
    reel_mm : of every new reel
    drawer_mm : lengths that lie in the drawer

    Examples
    --------
    Of four pieces of 6 only one goes into 10.

    >>> by_length([6, 6, 6, 6], 10)
    4
    """
    if not pieces:
        return 0
    reach = reachable(pieces, max((reel_mm, *drawer_mm)))
    left = sum(pieces) - sum(fullest_mm(reach, each) for each in drawer_mm)
    return max(0, -(-left // max(1, fullest_mm(reach, reel_mm))))


def by_sizes(pieces: Sequence[int], reel_mm: int) -> int:
    """Reels by sizes: pieces above half a reel share none, and small ones fill what they leave.

    Examples
    --------
    Lengths of 6, 6, 6 and 3 from 10: the 3 goes beside a 6.

    >>> by_sizes([6, 6, 6, 3], 10)
    3
    """
    best = 0
    for small in {0, *(piece for piece in pieces if 2 * piece <= reel_mm)}:
        large = [piece for piece in pieces if 2 * piece > reel_mm]
        beside = [piece for piece in large if piece <= reel_mm - small]
        filling = sum(piece for piece in pieces if small <= piece and 2 * piece <= reel_mm)
        beyond = filling - (len(beside) * reel_mm - sum(beside))
        best = max(best, len(large) + max(0, -(-beyond // reel_mm)))
    return best


@attrs.frozen(kw_only=True)
class Shares:
    """What the linear program says.

    Attributes
    ----------
    least : reels that any way of cutting takes
    ways : how each length may be cut that the program took into account, by its length
    """

    least: int
    ways: Mapping[int, tuple[Pattern, ...]]


def by_shares(
    pieces: Sequence[int], reel_mm: int, drawer_mm: Sequence[int] = (), *, seconds: float
) -> Shares:
    """Reels where a way to cut may be used in part.

    With u the worth of each length that the program finds, no reel holding more worth than 1, and
    z the most worth that a length of the drawer holds,

        reels >= Σ u (of all pieces) - Σ z (of all lengths in the drawer)

    which holds for any u (weak duality), so also where time ran out.

    Parameters
    ----------
    pieces : to be cut, none longer than a reel [mm]
    reel_mm : of every new reel
    drawer_mm : lengths that lie in the drawer
    seconds : most that it may take
    """
    return _Program(Counter(pieces), reel_mm, Counter(drawer_mm)).solved(seconds)


@attrs.define(eq=False)
class _Program:
    """The linear program, its columns made one after another."""

    wanted: Mapping[int, int]
    reel: int
    drawer: Mapping[int, int]
    lengths: list[int] = attrs.field(init=False)
    columns: dict[tuple[int, Pattern], None] = attrs.field(factory=dict, init=False)

    def __attrs_post_init__(self) -> None:
        self.lengths = sorted(self.wanted, reverse=True)
        for length in self.lengths:
            most = min(self.wanted[length], self.reel // length)
            self.columns[-1, ((length, most),)] = None

    def solved(self, seconds: float) -> Shares:
        ends, best = time.monotonic() + seconds, 0.0
        for _ in range(_MOST_STEPS):
            worth, rent = self.worths()
            filled = _Filled(self.wanted, self.lengths, worth, max((self.reel, *self.drawer)))
            best = max(best, self.bound(worth, filled))
            before = len(self.columns)
            if filled.most(self.reel) > 1.0 + _SLACK:
                self.columns[-1, filled.way(self.reel)] = None
            for length, cost in zip(self.drawer, rent, strict=True):
                if filled.most(length) > cost + _SLACK:
                    self.columns[length, filled.way(length)] = None
            if len(self.columns) == before or time.monotonic() > ends:
                break
        return Shares(least=math.ceil(best - _SLACK), ways=self.ways())

    def worths(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Worth of a piece of each length, and of a length of the drawer."""
        # late: a second of loading for a few milliseconds of work
        from scipy.optimize import linprog

        place = {length: row for row, length in enumerate(self.lengths)}
        kept = {length: len(place) + row for row, length in enumerate(self.drawer)}
        matrix = np.zeros((len(place) + len(kept), len(self.columns)))
        for column, (key, way) in enumerate(self.columns):
            for length, count in way:
                matrix[place[length], column] = -count
            if key >= 0:
                matrix[kept[key], column] = 1.0
        most = [*(-self.wanted[each] for each in self.lengths), *self.drawer.values()]
        cost = [1.0 if key < 0 else 0.0 for key, _ in self.columns]
        done = linprog(cost, A_ub=matrix, b_ub=np.array(most, float), method="highs")
        worth = np.maximum(0.0, -np.asarray(done.ineqlin.marginals, float))
        return worth[: len(place)], worth[len(place) :]

    def bound(self, worth: NDArray[np.float64], filled: _Filled) -> float:
        """What these worths prove."""
        scale = max(1.0, filled.most(self.reel))
        told = sum(
            self.wanted[each] * float(u) for each, u in zip(self.lengths, worth, strict=True)
        )
        held = sum(count * filled.most(each) for each, count in self.drawer.items())
        return (told - held) / scale

    def ways(self) -> dict[int, tuple[Pattern, ...]]:
        found: dict[int, list[Pattern]] = {}
        for key, way in self.columns:
            found.setdefault(self.reel if key < 0 else key, []).append(way)
        return {length: tuple(dict.fromkeys(ways)) for length, ways in found.items()}


class _Filled:
    """The most worth that each length can hold, no piece more often than it is wanted."""

    def __init__(
        self, wanted: Mapping[int, int], lengths: Sequence[int], worth: NDArray[np.float64],
        most_mm: int,
    ) -> None:  # fmt: skip
        self.step = math.gcd(*lengths)
        self.best = np.zeros(most_mm // self.step + 1)
        self.taken: list[tuple[int, int, NDArray[np.bool_]]] = []
        for length, each in zip(lengths, worth, strict=True):
            if each > 0.0:
                for times in _doubling(min(wanted[length], most_mm // length)):
                    self._take(length, times, float(each))

    def _take(self, length: int, times: int, worth: float) -> None:
        size = length * times // self.step
        if size >= len(self.best):
            return
        other = self.best[:-size] + times * worth
        better = other > self.best[size:] + 1e-12
        self.best[size:] = np.where(better, other, self.best[size:])
        self.taken.append((length, times, better))

    def most(self, length_mm: int) -> float:
        """The most worth in a length."""
        return float(self.best[length_mm // self.step])

    def way(self, length_mm: int) -> Pattern:
        """How to cut a length for the most worth, the longest piece first."""
        room, counts = length_mm // self.step, Counter[int]()
        for length, times, better in reversed(self.taken):
            size = length * times // self.step
            if room >= size and better[room - size]:
                counts[length] += times
                room -= size
        return tuple(sorted(counts.items(), reverse=True))


def _doubling(count: int) -> list[int]:
    """1, 2, 4 … and a rest, so that their sums are every number up to the count."""
    found, step = [], 1
    while count > 0:
        found.append(min(step, count))
        count -= found[-1]
        step *= 2
    return found
