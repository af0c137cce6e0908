"""What lies on the board so far: whether a line or a box fits, and what is in its way."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import attrs

from loomwright.build.board_boxes import Size, rows
from loomwright.build.board_layout import Box, Layout, Run, Stretch, stretches
from loomwright.build.board_lines import Spot, crosses, drawn, meets, rect_gap
from loomwright.build.board_plan import Plan, Step
from loomwright.build.board_raster import Raster, Rect, bounds, cells_along, joined
from loomwright.build.board_shapes import LEAST_DEG

_CELL_MM = 200.0
_TRIED = 40  # places for a box whose leader is looked at
_KEPT_MM = 300.0
_REACHES_MM = (150.0, 400.0, 900.0)
_LEADER = 1.2  # what a metre of leader costs


@attrs.frozen
class _Line:
    step: Step
    points: tuple[Spot, ...]
    towards: float
    rect: Rect


class Laid:
    """What lies on the board so far.

    Parameters
    ----------
    plan : what is laid
    area : what a square metre of board costs, an unwelcome turn costing up to 1
    start : where the first place lies [mm]
    """

    def __init__(self, plan: Plan, area: float, start: Spot) -> None:
        self.plan, self.area, self.start = plan, area, start
        self.raster = Raster(plan.bounds.width_mm, plan.deep_mm, plan.bounds.clear_mm)
        self.lines: dict[str, _Line] = {}
        self.runs: dict[str, Run] = {}
        self.boxes: dict[str, Box] = {}
        first = plan.orders[0][0].start
        self.at: dict[str, Spot] = {first: self.start}
        self.came: dict[str, float] = {first: 0.0}
        self.left: dict[str, list[float]] = defaultdict(list)
        self.cells: dict[tuple[int, int], list[Stretch]] = defaultdict(list)
        self.taken: Rect | None = None

    def behind(self, y: float, down: int) -> float:
        """How far a height lies behind the trunk as far as it is laid [mm].

        Parameters
        ----------
        y : the height [mm]
        down : 1 where it goes down the board, -1 where it goes up
        """
        trunk = [line.points[-1][1] for line in self.lines.values() if line.step.trunk]
        if not trunk:
            return 0.0
        return max(max(trunk) - y, 0.0) if down > 0 else max(y - min(trunk), 0.0)

    def on_board(self, rect: Rect) -> bool:
        """Whether a rectangle lies on the board, with half the clear distance to its edge."""
        half, bounds_ = self.plan.bounds.clear_mm / 2, self.plan.bounds
        if rect[0] < half or rect[1] < half:
            return False
        return rect[2] <= bounds_.width_mm - half and rect[3] <= self.plan.deep_mm - half

    def remove(self, branches: Iterable[str], places: Iterable[str]) -> None:
        """Take back some branches, each after all that hangs on it, and the boxes of places."""
        for place in places:
            if place in self.boxes:
                self.raster.add_box(self.boxes.pop(place).rect, -1)
        for name in branches:
            line, run = self.lines.pop(name), self.runs.pop(name)
            self.raster.add_line(line.points, -1)
            for each in stretches(run):
                for cell in cells_along(*each.ends, _CELL_MM):
                    self.cells[cell] = [x for x in self.cells[cell] if x.branch is not run.branch]
            self.left[line.step.start].remove(line.towards)
            self.left.pop(line.step.end, None)
            del self.at[line.step.end], self.came[line.step.end]
        rects = [line.rect for line in self.lines.values()]
        self.taken = None
        for rect in (*rects, *(box.rect for box in self.boxes.values())):
            self._grow(rect)

    def conflicts(self, step: Step, points: tuple[Spot, ...]) -> tuple[set[str], set[str]] | None:
        """Branches, and places whose boxes are in the way of a branch; None where it cannot lie."""
        if not self.on_board(bounds(points)):
            return None
        half = self.plan.bounds.clear_mm / 2
        mine = list(stretches(_run(step, points)))
        branches: set[str] = set()
        for n, one in enumerate(mine):
            if any(self.plan.rule.clash(other, one) for other in mine[:n]):
                return None
            branches |= {
                str(other.branch.branch)
                for other in self._near(one, 2 * half)
                if str(other.branch.branch) not in branches and self.plan.rule.clash(other, one)
            }
        places = {
            place
            for place, box in self.boxes.items()
            if not self._leader_clear(box, mine) or any(_touches(each, box, half) for each in mine)
        }
        return branches, places

    def growth(self, rect: Rect) -> float:
        """How much larger the board becomes [m²]."""
        if self.taken is None:
            return _area(rect)
        return _area(joined(self.taken, rect)) - _area(self.taken)

    def is_open(self, place: str, heading: float) -> bool:
        """Whether no branch leaves a place too near to a heading."""
        return all(
            abs((heading - other + 180) % 360 - 180) >= LEAST_DEG - 1e-9
            for other in self.left[place]
        )

    def room(self, at: Spot, heading: float) -> float:
        """Straight on to the edge of the board [mm]."""
        half = self.plan.bounds.clear_mm / 2
        dx, dy = math.cos(math.radians(heading)), math.sin(math.radians(heading))
        limits = (
            (at[0], dx, self.plan.bounds.width_mm - half), (at[1], dy, self.plan.deep_mm - half)
        )  # fmt: skip
        found = math.inf
        for here, step, far in limits:
            if abs(step) > 1e-9:
                found = min(found, ((far if step > 0 else half) - here) / step)
        return max(found - 1e-6, 0.0)

    def fits(self, step: Step, points: tuple[Spot, ...]) -> bool:
        """Whether there is room for a branch laid like this."""
        if not self.on_board(bounds(points)):
            return False
        if not self.raster.line_is_free(points, self.plan.bounds.fork_mm / 2 + 10.0):
            return False
        clear = self.plan.bounds.clear_mm
        mine = list(stretches(_run(step, points)))
        for n, one in enumerate(mine):
            others = [*mine[:n], *self._near(one, clear)]
            if any(self.plan.rule.clash(other, one) for other in others):
                return False
        return all(self._leader_clear(box, mine) for box in self.boxes.values())

    def _near(self, one: Stretch, clear: float) -> Iterator[Stretch]:
        left, top, right, bottom = one.rect
        corners = (left - clear, top - clear), (right + clear, bottom + clear)
        seen: set[int] = set()
        for cell in cells_along(*corners, _CELL_MM):
            for other in self.cells.get(cell, ()):
                if id(other) not in seen:
                    seen.add(id(other))
                    yield other

    def _leader_clear(self, box: Box, mine: Sequence[Stretch]) -> bool:
        leader = box.leader
        return leader is None or not any(
            crosses(*leader, *each.ends) for each in mine if leader[0] not in each.ends
        )

    def take(self, step: Step, points: tuple[Spot, ...], heading: float) -> None:
        """Lay a branch like this; it comes to its end with a heading [°]."""
        run = _run(step, points)
        self.runs[str(step.branch.branch)] = run
        self.raster.add_line(points)
        for each in stretches(run):
            for cell in cells_along(*each.ends, _CELL_MM):
                self.cells[cell].append(each)
        self.at[step.end], self.came[step.end] = points[-1], heading
        (ax, ay), (bx, by) = points[:2]
        towards, rect = math.degrees(math.atan2(by - ay, bx - ax)), bounds(points)
        self.left[step.start].append(towards)
        self.left[step.end].append(heading + 180.0)
        self.lines[str(step.branch.branch)] = _Line(step, points, towards, rect)
        self._grow(rect)

    def _grow(self, rect: Rect) -> None:
        self.taken = rect if self.taken is None else joined(self.taken, rect)

    # Boxes

    def boxed(self, place: str) -> bool:
        """Whether a place has its box, now if not before."""
        if place not in self.plan.boxes or place in self.boxes:
            return True
        ahead: tuple[Spot, ...] = ()
        if len(self.left[place]) < 2 and place not in self.plan.leaves:
            # The way on is kept free.
            ahead = tuple(drawn(self.at[place], self.came[place], ((_KEPT_MM, 0.0),), 1.0))
        box = self.box_for(place, self.at[place], ahead, ())
        if box is not None:
            self.take_box(box)
        return box is not None

    def box_for(
        self, place: str, at: Spot, free: Sequence[Spot], more: Sequence[Spot]
    ) -> Box | None:
        """The best place for a box, off a line that is kept free; `more` as in `_box_free`."""
        if free:
            self.raster.add_around(free)
        found: list[tuple[float, Box]] = []
        for reach in _REACHES_MM:
            for size in self.plan.boxes[place]:
                best = self._best(place, size, at, more, reach)
                if best is not None:
                    found.append(best)
            if found:
                break
        if free:
            self.raster.add_around(free, -1)
        return min(found, key=lambda each: each[0])[1] if found else None

    def _best(
        self, place: str, size: Size, at: Spot, more: Sequence[Spot], reach: float
    ) -> tuple[float, Box] | None:
        lefts, tops = self.raster.places_for(size, at, reach)
        if not len(lefts):
            return None
        costs = self.raster.costs(
            (lefts, tops), size, at, taken=self.taken or (*at, *at), per_metre=_LEADER,
            per_square=self.area,
        )  # fmt: skip
        for n in costs.argsort(kind="stable")[:_TRIED]:
            box = _box_at(place, size, (float(lefts[n]), float(tops[n])), at)
            if self._box_free(box, more):
                return float(costs[n]), box
        return None

    def _box_free(self, box: Box, more: Sequence[Spot]) -> bool:
        """Whether a box and its leader cross no other leader, and the leader nothing else.

        `more` is the branch that would lead to its place.
        """
        leader = box.leader
        if leader is None:
            return True
        left, top, right, bottom = bounds(leader)
        for cell in cells_along((left, top), (right, bottom), _CELL_MM):
            for each in self.cells.get(cell, ()):
                if leader[0] not in each.ends and crosses(*leader, *each.ends):
                    return False
        if any(crosses(*leader, a, b) for a, b in pairwise(more[:-1])):
            return False
        return all(_apart(box, leader, other) for other in self.boxes.values())

    def take_box(self, box: Box) -> None:
        """Put a box there."""
        self.boxes[box.place] = box
        self.raster.add_box(box.rect)
        self._grow(box.rect)

    def finished(self, missed: Sequence[str]) -> Layout:
        """The layout, moved so that its corner is at 0, 0."""
        half = self.plan.bounds.clear_mm / 2
        lines = bounds([spot for run in self.runs.values() for spot in run.points])
        rect = (lines[0] - half, lines[1] - half, lines[2] + half, lines[3] + half)
        for box in self.boxes.values():
            rect = joined(rect, box.rect)
        sizes = {place: self.plan.boxes[place] for place in missed}
        for box in rows(sizes, left=rect[0], top=rect[3] + half, width=rect[2] - rect[0]):
            self.take_box(box)
            rect = joined(rect, box.rect)
        return Layout(
            runs=tuple(_moved(run, rect) for run in self.runs.values()),
            boxes=tuple(_moved_box(box, rect) for box in self.boxes.values()),
            wide_mm=rect[2] - rect[0], high_mm=rect[3] - rect[1],
            clear_mm=self.plan.bounds.clear_mm, fork_mm=self.plan.bounds.fork_mm,
            bend_mm=self.plan.bounds.bend_mm,
        )  # fmt: skip


def _run(step: Step, points: Sequence[Spot]) -> Run:
    forth = step.start == step.branch.from_place
    return Run(step.branch, tuple(points) if forth else tuple(reversed(points)))


def _touches(each: Stretch, box: Box, gap: float) -> bool:
    """Whether a stretch comes nearer to a box than a gap."""
    (a, b, c, d), (left, top, right, bottom) = each.rect, box.rect
    if c + gap < left or right + gap < a or d + gap < top or bottom + gap < b:
        return False
    return rect_gap(*each.ends, box.rect) < gap


def _area(rect: Rect) -> float:
    return (rect[2] - rect[0]) * (rect[3] - rect[1]) / 1e6


def _box_at(place: str, size: Size, corner: Spot, at: Spot) -> Box:
    (left, top), (wide, high) = corner, size
    foot = (min(max(at[0], left), left + wide), min(max(at[1], top), top + high))
    return Box(place, left, top, wide, high, (at, foot))


def _apart(box: Box, leader: tuple[Spot, Spot], other: Box) -> bool:
    """Whether two boxes and their leaders keep out of each other's way."""
    if meets(*leader, other.rect):
        return False
    if other.leader is None:
        return True
    return not crosses(*leader, *other.leader) and not meets(*other.leader, box.rect)


def _moved(run: Run, rect: Rect) -> Run:
    return Run(run.branch, tuple((x - rect[0], y - rect[1]) for x, y in run.points))


def _moved_box(box: Box, rect: Rect) -> Box:
    (a, b), (c, d) = box.leader or ((0.0, 0.0), (0.0, 0.0))
    leader = ((a - rect[0], b - rect[1]), (c - rect[0], d - rect[1])) if box.leader else None
    return attrs.evolve(box, left=box.left - rect[0], top=box.top - rect[1], leader=leader)
