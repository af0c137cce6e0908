"""What is taken on a board, in cells: a quick first look before the exact rule is asked.

Lines are looked up a little too kindly (the exact rule has the last word), room for boxes a little
too strictly (nothing looks again).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from loomwright.build.board_lines import Spot

CELL_MM = 10.0
"""Size of a cell."""
Floats = NDArray[np.float64]
Counts = NDArray[np.int16]
Rect = tuple[float, float, float, float]
"""Left, top, right, bottom [mm]."""


class Raster:
    """Cells of a board.

    Parameters
    ----------
    wide_mm, high_mm : of the board
    clear_mm : least distance of lines that are no neighbours
    """

    def __init__(self, wide_mm: float, high_mm: float, clear_mm: float) -> None:
        self.columns, self.rows = round(wide_mm / CELL_MM), round(high_mm / CELL_MM)
        shape = (self.rows, self.columns)
        # How many lie on each cell, so that one can be taken away again.
        self.lines = np.zeros(shape, dtype=np.int16)
        self.around = np.zeros(shape, dtype=np.int16)
        self.boxes = np.zeros(shape, dtype=np.int16)
        self.clear = clear_mm
        self._sums: NDArray[np.int32] | None = None
        self._kind = _disc(clear_mm - CELL_MM)
        self._strict = _disc(clear_mm / 2 + CELL_MM)

    def line_is_free(self, points: Sequence[Spot], skipped_mm: float) -> bool:
        """Whether a line keeps away from others beyond its first piece, and from boxes all along.

        Parameters
        ----------
        points : its corners
        skipped_mm : from its beginning, where it may be near those it forks from
        """
        if any(not self._inside(each) for each in points):
            return False
        # Most lines that are not free end in what is taken: one look is quicker than many.
        column, row = int(points[-1][0] / CELL_MM), int(points[-1][1] / CELL_MM)
        far = math.dist(points[0], points[-1]) > skipped_mm
        if self.boxes[row, column] or (far and self.lines[row, column]):
            return False
        x, y, at = _sampled(points)
        columns, rows = (x / CELL_MM).astype(int), (y / CELL_MM).astype(int)
        if self.boxes[rows, columns].any():
            return False
        beyond = int(np.searchsorted(at, skipped_mm))
        return not self.lines[rows[beyond:], columns[beyond:]].any()

    def crowded(self, at: Spot, half_mm: float) -> float:
        """Share of a square about a spot that is taken or beyond the board, 0 to 1.

        Parameters
        ----------
        at : its middle
        half_mm : half its side
        """
        if self._sums is None:
            self._sums = np.zeros((self.rows + 1, self.columns + 1), dtype=np.int32)
            self._sums[1:, 1:] = _sums(self.around)
        half = max(int(half_mm / CELL_MM), 1)
        column, row = int(at[0] / CELL_MM), int(at[1] / CELL_MM)
        left, right = max(column - half, 0), min(column + half, self.columns)
        top, bottom = max(row - half, 0), min(row + half, self.rows)
        sums = self._sums
        taken = sums[bottom, right] - sums[top, right] - sums[bottom, left] + sums[top, left]
        outside = 4 * half * half - (right - left) * (bottom - top)
        return float(taken + outside) / (4 * half * half)

    def _inside(self, at: Spot) -> bool:
        return 0 <= at[0] < self.columns * CELL_MM and 0 <= at[1] < self.rows * CELL_MM

    def add_line(self, points: Sequence[Spot], times: int = 1) -> None:
        """Take the cells round a line, or give them back where `times` is -1."""
        self._sums = None
        for row, column in _cells(points):
            self._stamp(self.lines, row, column, self._kind, times)
            self._stamp(self.around, row, column, self._strict, times)

    def add_around(self, points: Sequence[Spot], times: int = 1) -> None:
        """The same for boxes only: they keep off the line, other lines do not."""
        self._sums = None
        for row, column in _cells(points):
            self._stamp(self.around, row, column, self._strict, times)

    def add_box(self, rect: Rect, times: int = 1) -> None:
        """Take the cells of a box and of half the clear distance round it, or give them back."""
        self._sums = None
        half = self.clear / 2 - CELL_MM / 2
        left, top = (max(math.floor((each - half) / CELL_MM), 0) for each in rect[:2])
        right, bottom = (math.ceil((each + half) / CELL_MM) for each in rect[2:])
        self.boxes[top:bottom, left:right] += times
        self.around[top:bottom, left:right] += times

    def places_for(
        self, size: tuple[float, float], near: Spot, reach_mm: float
    ) -> tuple[Floats, Floats]:
        """Left and top of every free place for a box of a size, so near to a spot [mm].

        Parameters
        ----------
        size : of the box [mm]
        near : the spot
        reach_mm : how far the box's edge may be from it
        """
        wide, high = (math.ceil(each / CELL_MM) for each in size)
        left = max(int((near[0] - reach_mm) / CELL_MM) - wide, 0)
        top = max(int((near[1] - reach_mm) / CELL_MM) - high, 0)
        right = min(int((near[0] + reach_mm) / CELL_MM) + wide + 1, self.columns)
        bottom = min(int((near[1] + reach_mm) / CELL_MM) + high + 1, self.rows)
        if right - left < wide or bottom - top < high:
            return np.empty(0), np.empty(0)
        taken = np.zeros((bottom - top + 1, right - left + 1), dtype=np.int32)
        taken[1:, 1:] = _sums(self.around[top:bottom, left:right])
        inside = (
            taken[high:, wide:]
            - taken[:-high, wide:]
            - taken[high:, :-wide]
            + taken[:-high, :-wide]
        )
        rows, columns = np.nonzero(inside == 0)
        return _mm(columns + left), _mm(rows + top)

    def costs(
        self,
        corners: tuple[Floats, Floats],
        size: tuple[float, float],
        at: Spot,
        *,
        taken: Rect,
        per_metre: float,
        per_square: float,
    ) -> Floats:
        """What each place for a box costs.

        Parameters
        ----------
        corners : left and top of each [mm]
        size : of the box [mm]
        at : the place whose box it is
        taken : what the board holds already
        per_metre : of the way from the place to the box [1/m]
        per_square : of board that is added [1/m²]
        """
        (left, top), (wide, high) = corners, size
        dx = np.maximum(np.maximum(left - at[0], at[0] - left - wide), 0.0)
        dy = np.maximum(np.maximum(top - at[1], at[1] - top - high), 0.0)
        across = np.maximum(left + wide, taken[2]) - np.minimum(left, taken[0])
        down = np.maximum(top + high, taken[3]) - np.minimum(top, taken[1])
        added = across * down - (taken[2] - taken[0]) * (taken[3] - taken[1])
        cost: Floats = per_metre * np.hypot(dx, dy) / 1e3 + per_square * added / 1e6
        return cost

    def _stamp(self, cells: Counts, row: int, column: int, disc: Counts, times: int) -> None:
        half = disc.shape[0] // 2
        top, left = max(row - half, 0), max(column - half, 0)
        bottom, right = min(row + half + 1, self.rows), min(column + half + 1, self.columns)
        if bottom <= top or right <= left:
            return
        cut = disc[
            top - row + half : bottom - row + half, left - column + half : right - column + half
        ]
        if times > 0:
            cells[top:bottom, left:right] += cut
        else:
            cells[top:bottom, left:right] -= cut


def _mm(cells: NDArray[np.int64]) -> Floats:
    """Where cells begin [mm]."""
    return cells.astype(np.float64) * CELL_MM


def _disc(radius_mm: float) -> Counts:
    """1 for the cells whose middle lies within a radius of the middle one."""
    half = max(int(radius_mm / CELL_MM), 0)
    step = np.arange(-half, half + 1)
    far = np.hypot(step[:, None], step[None, :]) * CELL_MM
    return (far <= max(radius_mm, 0.0)).astype(np.int16)


def _sums(cells: Counts) -> NDArray[np.int32]:
    """How many cells are taken above and left of each corner."""
    sums: NDArray[np.int32] = (cells > 0).cumsum(0, dtype=np.int32).cumsum(1, dtype=np.int32)
    return sums


def _cells(points: Sequence[Spot]) -> Iterator[tuple[int, int]]:
    """Rows and columns of the cells that a line runs through."""
    x, y, _ = _sampled(points)
    cells = np.stack([(y / CELL_MM).astype(int), (x / CELL_MM).astype(int)], axis=1)
    yield from (tuple(each) for each in np.unique(cells, axis=0).tolist())


def _sampled(
    points: Sequence[Spot],
) -> tuple[Floats, Floats, Floats]:
    """x, y and the distance from the beginning [mm] at points not farther apart than a cell."""
    corners = np.array(points)
    at = np.concatenate([[0.0], np.hypot(*np.diff(corners, axis=0).T).cumsum()])
    sampled = np.linspace(0.0, at[-1], math.ceil(at[-1] / (0.7 * CELL_MM)) + 2)
    return (
        np.interp(sampled, at, corners[:, 0]), np.interp(sampled, at, corners[:, 1]), sampled
    )  # fmt: skip


def cells_along(a: Spot, b: Spot, size_mm: float) -> Iterator[tuple[int, int]]:
    """Large cells that a stretch's bounding box touches.

    Parameters
    ----------
    a, b : ends of the stretch
    size_mm : of the cells
    """
    columns, rows = (sorted((int(a[n] // size_mm), int(b[n] // size_mm))) for n in (0, 1))
    for column in range(columns[0], columns[1] + 1):
        for row in range(rows[0], rows[1] + 1):
            yield column, row


def bounds(points: Sequence[Spot]) -> Rect:
    """Left, top, right, bottom of some points [mm]."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def joined(one: Rect, other: Rect) -> Rect:
    """The rectangle round two."""
    return (
        min(one[0], other[0]),
        min(one[1], other[1]),
        max(one[2], other[2]),
        max(one[3], other[3]),
    )
