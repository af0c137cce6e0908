"""One try to lay a piece of loom, branch by branch, each the cheapest way that there is room for.

What is cheap is shaken by a seed per branch, so that tries differ, and a good one can be tried
again with some branches shaken anew. Where a branch finds no room, it is laid where least is in its
way; what was there is taken up and laid anew, as often as a budget allows. What was taken up before
is dearer to take up again, so that branches do not chase each other in a ring.
"""

from __future__ import annotations

import math
import random
from collections import Counter, deque
from collections.abc import Iterator, Mapping, Sequence

import attrs

from loomwright.build.board_boxes import Size
from loomwright.build.board_laid import Laid
from loomwright.build.board_layout import Layout
from loomwright.build.board_lines import Spot, drawn, outline
from loomwright.build.board_plan import Plan, Step
from loomwright.build.board_raster import Rect, bounds, joined
from loomwright.build.board_shapes import TURNS, Shape, shapes

BESIDE_MM = 1200.0
"""Room beyond each end of a trunk that runs straight on."""
_TRIED_BOXES = 6
_SHAKE = 0.5
_CROWDED = 2.0  # what it costs to lead all that hangs on a branch to where all is taken
_AROUND_MM = 80.0
_SLANT = 0.05  # eighths of a turn are easier to draw and to read
_TRUNK = 3.0  # times as unwelcome is a turn of the trunk
_BACKWARDS = 2.0  # what a metre costs that the trunk comes back over its own runs
_LEAST_TAKEN, _TAKEN_EACH = 10, 0.7  # times that something is taken up for a branch, at most
_FORCED = 25  # ways looked at for it, of each sort
_UP, _AGAIN = 0.4, 1.5  # what a box costs that is taken up; a branch for each time it was before
_FORCE = 3
_MOST_LOOKS = 350  # in one try, for each branch
_LAY = 20  # looks that finding the ways of a branch takes, about


@attrs.frozen
class Genes:
    """What makes one try differ from another.

    Attributes
    ----------
    seeds : of each branch; a branch without one is not shaken
    early : whether a place gets its box as soon as a branch leads there, or once one leads on
    order : which of the orders of the plan
    area : what a square metre of board costs, an unwelcome turn costing up to 1
    down : 1 where a folded trunk goes down the board, -1 where it goes up
    urgent : branches that found no room before, and are laid as soon as can be
    """

    seeds: Mapping[str, int]
    early: bool
    order: int
    area: float
    down: int
    urgent: tuple[str, ...] = ()


@attrs.define
class _Choice:
    """A way for a branch: where it goes first, its shape, what it costs."""

    towards: float
    shape: Shape
    cost: float

    @property
    def heading(self) -> float:
        return self.towards + self.shape.turned


class Attempt:
    """One try.

    Parameters
    ----------
    plan : what is laid
    genes : what makes it differ

    Attributes
    ----------
    looks : how much was looked at, a measure of time that is the same on every machine
    """

    def __init__(self, plan: Plan, genes: Genes) -> None:
        self.plan, self.genes = plan, genes
        self.steps = tuple(_urgent_first(plan, genes))
        self.laid = Laid(plan, genes.area, _start(plan, genes))
        self.looks = 0
        self.to = {step.end: step for step in self.steps}
        self.by_depth = plan.orders[1]
        self.taken_up: Counter[str] = Counter()

    def layout(self) -> Layout | None:
        """The layout; None where a branch found no room. Boxes without room stand below it all."""
        waiting = deque(self.steps)
        budget = _LEAST_TAKEN + round(_TAKEN_EACH * len(self.steps))
        while waiting:
            step = waiting.popleft()
            if not self._lay(step):
                able = budget and self.looks < _MOST_LOOKS * len(self.steps)
                taken = self._forced(step) if able else None
                if taken is None:
                    return None
                budget -= 1
                waiting.extendleft(reversed(taken))
            self._give_boxes(step)
        # Those for which there was no room nearby yet, too.
        missed = [place for place in self.plan.boxes if not self.laid.boxed(place)]
        return self.laid.finished(missed)

    @property
    def missed(self) -> tuple[str, ...]:
        """Branches that found no room; the first one stopped the try."""
        names = (str(step.branch.branch) for step in self.steps)
        return tuple(name for name in names if name not in self.laid.runs)

    def _give_boxes(self, step: Step) -> None:
        """Boxes to the places that are ready for one."""
        trunk_done = self.genes.order or all(
            str(each.branch.branch) in self.laid.runs for each in self.steps if each.trunk
        )
        if self.genes.early:
            self.laid.boxed(step.end)
        elif trunk_done:
            for place in (
                tuple(self.laid.at) if step.trunk and not self.genes.order else (step.start,)
            ):
                self.laid.boxed(place)

    def _lay(self, step: Step) -> bool:
        """Lay a branch, and its box where it ends there; whether there was room."""
        self.looks += _LAY
        return any(self._lay_one(step, every=every) for every in (False, True))

    def _lay_one(self, step: Step, *, every: bool) -> bool:
        leaf = step.end in self.plan.leaves and step.end in self.plan.boxes
        tried = 0
        for choice in self._choices(step, every):
            self.looks += 1
            points = self._points(step, choice)
            if not self.laid.fits(step, points):
                continue
            box = self.laid.box_for(step.end, points[-1], points, points) if leaf else None
            if leaf and box is None and tried < _TRIED_BOXES:
                tried += 1
                continue
            self.laid.take(step, points, choice.heading)
            if box is not None:
                self.laid.take_box(box)
            return True
        return False

    def _forced(self, step: Step) -> list[Step] | None:
        """Lay a branch where least is in its way; the steps taken up for it, to be laid anew."""
        found: tuple[float, tuple[Spot, ...], float, list[Step], set[str]] | None = None
        kept = self._before(step)
        for choice in (*self._choices(step, False)[:_FORCED], *self._choices(step, True)[:_FORCED]):
            self.looks += _FORCE
            points = self._points(step, choice)
            way = self.laid.conflicts(step, points)
            if way is None or way[0] & kept:
                continue
            taken = self._hanging(way[0])
            cost = choice.cost + _UP * len(way[1]) + sum(
                1.0 + _AGAIN * self.taken_up[str(each.branch.branch)] for each in taken
            )  # fmt: skip
            if found is None or cost < found[0]:
                found = (cost, points, choice.heading, taken, way[1])
        if found is None:
            return None
        _, points, heading, taken, places = found
        names = [str(each.branch.branch) for each in taken]
        self.taken_up.update(names)
        self.laid.remove(reversed(names), places | {each.end for each in taken})
        self.laid.take(step, points, heading)
        for place in places - {each.end for each in taken}:
            self.laid.boxed(place)
        return taken

    def _before(self, step: Step) -> set[str]:
        """Branches that lead to the one of a step."""
        names, start = set(), step.start
        while start in self.to:
            names.add(str(self.to[start].branch.branch))
            start = self.to[start].start
        return names

    def _hanging(self, names: set[str]) -> list[Step]:
        """The steps of some branches that are laid, and of all that hangs on them, in order."""
        ends: set[str] = set()
        found = []
        for step in self.by_depth:
            name = str(step.branch.branch)
            if name in self.laid.runs and (name in names or step.start in ends):
                ends.add(step.end)
                found.append(step)
        return found

    def _choices(self, step: Step, every: bool) -> list[_Choice]:
        """Ways for a branch that stay on the board, cheapest first."""
        seed = self.genes.seeds.get(str(step.branch.branch), 0)
        shaken = random.Random(seed) if seed else None
        at, bend_mm, found = self.laid.at[step.start], self.plan.bounds.bend_mm, []
        for turn, unwelcome in TURNS.items():
            heading = self.laid.came[step.start] + turn
            if not self.laid.is_open(step.start, heading):
                continue
            if turn and step.trunk and self.plan.bounds.long and not self.genes.order:
                continue
            base = unwelcome * (_TRUNK if step.trunk else 1.0) + (_SLANT if heading % 45 else 0.0)
            ways = shapes(
                step.branch.length_mm or 0.0, bend_mm=bend_mm, room_mm=self.laid.room(at, heading),
                trunk=step.trunk, every=every,
            )  # fmt: skip
            for shape in ways:
                shake = _SHAKE * shaken.random() if shaken else 0.0
                cost = self._cost(step, outline(at, heading, shape.moves, bend_mm), heading, shape)
                if cost is not None:
                    found.append(_Choice(heading, shape, cost + base + shake))
        return sorted(found, key=lambda each: each.cost)

    def _cost(
        self, step: Step, points: Sequence[Spot], heading: float, shape: Shape
    ) -> float | None:
        """What a way costs; None where it leaves the board."""
        rect, end = bounds(points), points[-1]
        if not self.laid.on_board(rect):
            return None
        if step.end in self.plan.boxes and step.end in self.plan.leaves:
            size = self.plan.boxes[step.end][0]
            rect = joined(rect, self._ahead(end, heading + shape.turned, size))
        if step.trunk and self.plan.bounds.long:
            return shape.unwelcome
        cost = shape.unwelcome + self.genes.area * self.laid.growth(rect)
        if (need := self.plan.needs[step.end]) > 0:
            half = math.sqrt(need) / 2 + _AROUND_MM
            cost += _CROWDED * self.laid.raster.crowded(end, min(half, self.plan.deep_mm / 8))
        if step.trunk:
            cost += _BACKWARDS / 1e3 * self.laid.behind(end[1], self.genes.down)
        return cost

    def _points(self, step: Step, choice: _Choice) -> tuple[Spot, ...]:
        start = self.laid.at[step.start]
        return tuple(drawn(start, choice.towards, choice.shape.moves, self.plan.bounds.bend_mm))

    def _ahead(self, at: Spot, heading: float, size: Size) -> Rect:
        """About where the box of an end will come to stand."""
        turn, gap = math.radians(heading), self.plan.bounds.clear_mm / 2
        x = at[0] + math.cos(turn) * (gap + size[0] / 2)
        y = at[1] + math.sin(turn) * (gap + size[1] / 2)
        return x - size[0] / 2, y - size[1] / 2, x + size[0] / 2, y + size[1] / 2


def _start(plan: Plan, genes: Genes) -> Spot:
    """Where the trunk begins: at the left, with room for its box, and room to fold."""
    first = plan.orders[0][0].start
    wide = max((size[0] for size in plan.boxes.get(first, ())), default=0.0)
    if plan.bounds.long:
        return max(wide, BESIDE_MM), plan.deep_mm / 2
    x = min(wide + 2 * plan.bounds.clear_mm, 0.4 * plan.bounds.width_mm)
    return x, plan.deep_mm * (0.5 - 0.2 * genes.down)


def _urgent_first(plan: Plan, genes: Genes) -> Iterator[Step]:
    """Urgent branches with those that lead there, then the others; where it is first, the trunk."""
    steps = plan.orders[genes.order]
    to = {step.end: step for step in steps}
    named = {str(step.branch.branch): step for step in steps}
    first = [] if genes.order else [step for step in steps if step.trunk]
    yield from first
    done = {step.end for step in first}
    for name in genes.urgent:
        chain, step = [], named.get(name)
        while step is not None and step.end not in done:
            chain.append(step)
            step = to.get(step.start)
        done |= {each.end for each in chain}
        yield from reversed(chain)
    yield from (step for step in steps if step.end not in done)
