"""Search for tight arrangements of circles in a circle: many at once, pressed together and moved.

Each arrangement is pressed by springs. With an unknown outer radius R it seeks the least of

    R + k/2 · (Σ overlap of two circles² + Σ excess over the outer circle²)

in centres and R, so that outer circles of different arrangements can be compared before any is
made exact. Between presses two unlike circles change places, the inner ones turn against the
outer, or one jumps into the largest gap; what is tighter is kept, and the worst are given up for
copies of the best.

Sources: elastic discs: Wang, Huang, Zhang and Xu, Eur. J. Oper. Res. 141 (2002) 440, quoted from
memory; steps by Barzilai and Borwein, IMA J. Numer. Anal. 8 (1988) 141. Lengths are in units of the
root of the sum of squared radii.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs
import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]

_SPRING = 30.0
"""k: overlaps are then about a fiftieth of a radius, whatever the number of circles."""
_FIRST_ITERATIONS = 120
_RELISTED = 12
"""Iterations between two lists of neighbours."""
_WORK = 1_600_000
"""Circles pressed, times iterations, in one search: about half a second; few circles need less."""
_LEAST_ROUNDS = 8
_COPIED, _COPIED_OF_MANY = 30, 12
"""Rounds between two replacements of the worst quarter by the best; up to, above `_SMALL`."""
_SMALL = 24
_SWAPS = 0.6
"""Share of swaps among the moves where circles are unlike."""
_TURNS = 0.3
"""Share of turns among the other moves."""
_SPOTS = 60
"""Spots looked at for the largest gap."""
_FEW = 64
"""Circles up to which four arrangements are made exact, else two: the programs take long."""
_TINY = 1e-12


def arrangements(radii: Reals, *, seed: int, effort: float) -> Iterator[tuple[Reals, Reals]]:
    """Arrangements worth making exact: of few circles one early, at the end the tightest.

    Parameters
    ----------
    radii : largest first, in units of the root of the sum of their squares, shape (n,), n >= 2
    seed : of the random draws
    effort : share of the usual work

    Yields
    ------
    x, y : centres that may overlap a little, each shape (n,)
    """
    draw = np.random.default_rng(seed)
    many, rounds, iterations = _effort(len(radii), effort)
    crowd = _Crowd(radii, many, draw)
    crowd.press(_FIRST_ITERATIONS)
    if len(radii) <= _FEW:
        yield crowd.best(1)[0]
    for number in range(1, rounds + 1):
        crowd.try_moves(iterations)
        if number % (_COPIED if len(radii) <= _SMALL else _COPIED_OF_MANY) == 0:
            crowd.copy_best()
    yield from crowd.best(4 if len(radii) <= _FEW and effort >= 1.0 else 2)


def _effort(count: int, effort: float) -> tuple[int, int, int]:
    """Arrangements side by side, rounds of moves, and iterations of each press."""
    many = max(4, min(48, (700 if count <= _SMALL else 400) // count))
    iterations = 25 if count <= _FEW else 40
    rounds = min(count * count, _WORK // (many * iterations * count))
    return many, max(_LEAST_ROUNDS, round(effort * rounds)), iterations


@attrs.define(eq=False)
class _Crowd:
    """Arrangements side by side, one a row: n times x, n times y, the outer radius."""

    radii: Reals
    many: int
    draw: np.random.Generator
    rows: Reals = attrs.field(init=False)
    energy: Reals = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        self.rows = np.stack([self.start(row) for row in range(self.many)])
        self.energy = np.full(self.many, np.inf)

    @property
    def count(self) -> int:
        """Number of circles."""
        return len(self.radii)

    def start(self, number: int) -> Reals:
        """An arrangement anywhere; else on rings about one circle, about more, or on a lattice."""
        if number % 2 == 0:
            x, y = self.spots(self.count, 1.0)
            return np.concatenate([x, y, [1.3]])
        if number % 8 == 7:
            places = _lattice(self.count, self.draw, centred=number == 7)
        else:
            inmost = 1 if number % 4 == 1 else int(self.draw.integers(2, 6))
            places = _rings(self.count, inmost, self.draw)
        self.draw.shuffle(places)
        x, y = places.T / math.sqrt(self.count)
        return np.concatenate([x, y, [1.2]])

    def spots(self, count: int, radius: float) -> tuple[Reals, Reals]:
        """Random places within a radius."""
        out = radius * np.sqrt(self.draw.uniform(0.0, 1.0, count))
        turn = self.draw.uniform(0.0, 2.0 * math.pi, count)
        return out * np.cos(turn), out * np.sin(turn)

    def press(self, iterations: int) -> None:
        """Press what there is."""
        self.rows, self.energy = _pressed(self.rows, self.radii, iterations)

    def try_moves(self, iterations: int) -> None:
        """Move every arrangement, press it, and keep what became tighter."""
        moved = self.rows.copy()
        for row in moved:
            self.move(row)
        moved, energy = _pressed(moved, self.radii, iterations)
        better = energy < self.energy
        self.rows[better] = moved[better]
        self.energy[better] = energy[better]

    def move(self, row: Reals) -> None:
        """Swap two unlike circles, turn the inner ones, or put one into a gap; in place."""
        n, one = self.count, int(self.draw.integers(self.count))
        unlike = np.flatnonzero(np.abs(self.radii - self.radii[one]) > 1e-9)
        if len(unlike) and self.draw.random() < _SWAPS:
            other = int(self.draw.choice(unlike))
            row[[one, n + one, other, n + other]] = row[[other, n + other, one, n + one]]
        elif self.draw.random() < _TURNS:
            self.turn(row)
        else:
            row[one], row[n + one] = self.gap(row, without=one)

    def turn(self, row: Reals) -> None:
        """Turn what lies within a random radius against the rest; in place."""
        n = self.count
        inner = np.hypot(row[:n], row[n : 2 * n]) < self.draw.uniform(0.3, 0.9) * row[-1]
        turned = np.append(inner, inner)
        way = np.exp(1j * self.draw.uniform(0.0, 2.0 * math.pi))
        places = (row[:n] + 1j * row[n : 2 * n])[inner] * way
        row[: 2 * n][turned] = np.concatenate([places.real, places.imag])

    def gap(self, row: Reals, *, without: int) -> tuple[float, float]:
        """The roomiest of some random places."""
        n, outer = self.count, float(row[-1])
        x, y = self.spots(_SPOTS, 0.95 * outer)
        free = np.hypot(x[:, None] - row[:n], y[:, None] - row[n : 2 * n]) - self.radii
        free[:, without] = np.inf
        room = np.minimum(free.min(axis=1), outer - np.hypot(x, y))
        place = int(np.argmax(room))
        return float(x[place]), float(y[place])

    def copy_best(self) -> None:
        """The worst quarter becomes the best quarter."""
        order, part = np.argsort(self.energy, kind="stable"), self.many // 4
        if part:
            self.rows[order[-part:]] = self.rows[order[:part]]
            self.energy[order[-part:]] = self.energy[order[:part]]

    def best(self, most: int) -> list[tuple[Reals, Reals]]:
        """The tightest that are not alike, the tightest first."""
        n, seen = self.count, -np.inf
        found: list[tuple[Reals, Reals]] = []
        for number in np.argsort(self.energy, kind="stable"):
            if self.energy[number] - seen > 1e-5 and len(found) < most:
                seen = float(self.energy[number])
                found.append((self.rows[number, :n].copy(), self.rows[number, n : 2 * n].copy()))
        return found


def _rings(count: int, inmost: int, draw: np.random.Generator) -> Reals:
    """Places on rings of `inmost`, six more, and so on, for circles of radius 1; shape (n, 2).

    One in the middle and the rings turned against one another give the curved hexagonal packings
    that are best for 19, 37, 61 and 91: Lubachevsky and Graham, Discrete Comput. Geom. 18 (1997)
    179, quoted from memory.
    """
    places: list[Reals] = []
    ring, left, radius = inmost, count, 0.0 if inmost == 1 else 1.0 / math.sin(math.pi / inmost)
    while left > 0:
        taken = min(ring, left)
        turn = draw.uniform(0.0, 2.0 * math.pi) + 2.0 * math.pi * np.arange(taken) / ring
        places.append(radius * np.column_stack([np.cos(turn), np.sin(turn)]))
        left, radius = left - taken, radius + 2.0
        ring = 6 if ring == 1 else ring + 6
    return np.concatenate(places)


def _lattice(count: int, draw: np.random.Generator, *, centred: bool) -> Reals:
    """Places of circles of radius 1 packed as in a honeycomb, the nearest to a centre; (n, 2).

    The centre is one of them, which suits 7, 13, 19 and 31, or anywhere.
    """
    wide = math.ceil(math.sqrt(count)) + 2
    i, j = (each.ravel() for each in np.mgrid[-wide : wide + 1, -wide : wide + 1])
    places = np.column_stack([2.0 * i + j, math.sqrt(3.0) * j])
    if not centred:
        places -= draw.uniform(-1.0, 1.0, 2)
    return places[np.argsort(np.hypot(*places.T).round(9), kind="stable")[:count]]


@attrs.frozen(eq=False)
class _Neighbours:
    """Pairs that touch or may soon: places of both x in the flat rows, sums of radii, row."""

    first: NDArray[np.int64]
    second: NDArray[np.int64]
    touch: Reals
    row: NDArray[np.int64]
    all_places: NDArray[np.int64]

    @classmethod
    def of(cls, rows: Reals, radii: Reals) -> _Neighbours:
        """Of these arrangements."""
        n, wide = len(radii), rows.shape[1]
        i, j = np.triu_indices(n, 1)
        apart = (rows[:, i] - rows[:, j]) ** 2 + (rows[:, n + i] - rows[:, n + j]) ** 2
        reach = radii[i] + radii[j] + 0.35 * float(radii.mean())
        row, pair = np.nonzero(apart < reach**2)
        first, second = row * wide + i[pair], row * wide + j[pair]
        places = np.concatenate([first, second, first + n, second + n])
        return cls(first, second, (radii[i] + radii[j])[pair], row, places)


def _pressed(rows: Reals, radii: Reals, iterations: int) -> tuple[Reals, Reals]:
    """The arrangements after some downhill steps, and their energies."""
    longest = 0.4 * float(radii.mean())
    step, before = np.zeros_like(rows), np.zeros_like(rows)
    near = _Neighbours.of(rows, radii)
    for number in range(iterations):
        if number and number % _RELISTED == 0:
            near = _Neighbours.of(rows, radii)
        slope = _energy(rows, radii, near)[1]
        step = -_lengths(step, slope - before, long=number % 2 == 1)[:, None] * slope
        step *= np.minimum(1.0, longest / np.maximum(np.abs(step).max(axis=1), _TINY))[:, None]
        rows, before = rows + step, slope
    return rows, _energy(rows, radii, _Neighbours.of(rows, radii))[0]


def _lengths(step: Reals, change: Reals, *, long: bool) -> Reals:
    """How far down the slope next, from the last steps and what they changed of the slope."""
    along = np.einsum("bi,bi->b", step, change)
    over = np.einsum("bi,bi->b", step, step) if long else along
    under = along if long else np.einsum("bi,bi->b", change, change)
    length = np.full(len(step), 0.3 / _SPRING)
    good = (along > 0.0) & (under > 0.0)
    length[good] = np.clip(over[good] / under[good], 0.05 / _SPRING, 10.0 / _SPRING)
    return length


def _energy(rows: Reals, radii: Reals, near: _Neighbours) -> tuple[Reals, Reals]:
    """Energy of each arrangement, shape (many,), and its slope, shaped as the rows."""
    n, flat = len(radii), rows.ravel()
    dx = flat[near.first] - flat[near.second]
    dy = flat[near.first + n] - flat[near.second + n]
    apart = np.sqrt(dx * dx + dy * dy) + _TINY
    overlap = np.maximum(near.touch - apart, 0.0)
    push = _SPRING * overlap / apart
    dx, dy = push * dx, push * dy
    weights = np.concatenate([-dx, dx, -dy, dy])
    slope = _added(near.all_places, weights, flat.size).reshape(rows.shape)
    x, y = rows[:, :n], rows[:, n : 2 * n]
    out = np.sqrt(x * x + y * y) + _TINY
    excess = np.maximum(out + radii - rows[:, -1:], 0.0)
    inward = _SPRING * excess / out
    slope[:, :n] += inward * x
    slope[:, n : 2 * n] += inward * y
    slope[:, -1] = 1.0 - _SPRING * excess.sum(axis=1)
    squares = _added(near.row, overlap**2, len(rows)) + (excess**2).sum(axis=1)
    return rows[:, -1] + 0.5 * _SPRING * squares, slope


def _added(places: NDArray[np.int64], values: Reals, count: int) -> Reals:
    """Sums of the values at each place."""
    return np.asarray(np.bincount(places, values, minlength=count), dtype=np.float64)
