"""Lay a piece of loom flat on a board at true length, without a crossing."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence

import attrs

from loomwright.build.board_attempt import BESIDE_MM, Attempt, Genes
from loomwright.build.board_boxes import Size
from loomwright.build.board_fan import fan
from loomwright.build.board_layout import Layout, faults
from loomwright.build.board_plan import Bounds, Plan, plan_of, trunk_of
from loomwright.loom import Branch

_PLAIN, _FRESH = 4, 5
_URGENT = 8
_AREAS = (4.0, 1.5, 0.5)
_LOOKS, _LOOKS_EACH, _LOOKS_LONG = 4000, 200, 450  # in all tries, and more for each branch
_TRIES = 40
_SHAKEN = 0.2  # of the branches, when a good try is tried again
_MANY, _WIDER = 60, 1.5


def lay_out(
    branches: Sequence[Branch],
    *,
    copper: Mapping[str, float],
    boxes: Mapping[str, Sequence[Size]],
    bounds: Bounds,
    effort: float = 1.0,
) -> Layout:
    """Lay a piece of loom flat.

    The trunk is laid first; then tries differ from one another by chance with fixed seeds, and the
    smallest board is kept, the lower one of two alike. Where no try finds room, the table is taken
    wider, then as long as the trunk, then the least distance is halved; at last the branches are
    laid as a fan, which always goes.

    Parameters
    ----------
    branches : of the piece, a tree
    copper : section of all wires in each branch, by its name [mm²]
    boxes : room that each place needs, sizes to choose from [mm]
    bounds : width of the table and least distances
    effort : how much is tried against what is usual; at least one try each time

    Returns
    -------
    the layout, its branches in the order given; the same for the same input
    """
    ordered = sorted(branches, key=lambda each: str(each.branch))
    trunk = trunk_of(ordered, copper)
    for tried in _tables(ordered, trunk, bounds):
        found = _best(plan_of(ordered, copper, boxes, tried), effort)
        if found is not None:
            return _in_order(found, branches)
    return _in_order(fan(ordered, trunk, boxes, bounds), branches)


def _tables(branches: Sequence[Branch], trunk: Sequence[str], bounds: Bounds) -> Iterator[Bounds]:
    """The table as it is, then wider, then as long as the trunk, then with less room between.

    With very many branches a folded trunk leaves the sides no room; only the long table is tried.
    """
    onward = set(trunk)
    long = sum(
        each.length_mm or 0.0 for each in branches if {each.from_place, each.to_place} <= onward
    )
    straight = attrs.evolve(bounds, width_mm=max(long + 2 * BESIDE_MM, bounds.width_mm), long=True)
    if len(branches) <= _MANY:
        yield bounds
        yield attrs.evolve(bounds, width_mm=_WIDER * bounds.width_mm)
    yield straight
    yield attrs.evolve(straight, clear_mm=bounds.clear_mm / 2, fork_mm=bounds.fork_mm / 2)


@attrs.frozen
class _Try:
    """How good a try is, the less the better: branches without room, boxes apart, area, height."""

    size: tuple[int, int, float, float]
    layout: Layout | None
    genes: Genes
    missed: tuple[str, ...]
    looks: int


def _best(plan: Plan, effort: float) -> Layout | None:
    """The smallest board of all tries."""
    names = [str(step.branch.branch) for step in plan.orders[0]]
    best: _Try | None = None
    urgent: tuple[str, ...] = ()
    each = _LOOKS_LONG if plan.bounds.long else _LOOKS_EACH
    looks, number = effort * (_LOOKS + each * len(names)), 0
    while looks > 0 and number < _TRIES:
        genes = _genes(number, names, best.genes if best and best.layout else None)
        found = _tried(plan, genes if best and best.layout else attrs.evolve(genes, urgent=urgent))
        if found.missed:
            urgent = (*dict.fromkeys((found.missed[0], *urgent)),)[:_URGENT]
        if best is None or found.size < best.size:
            best = found
        looks, number = looks - found.looks, number + 1
    return best.layout if best else None


def _tried(plan: Plan, genes: Genes) -> _Try:
    attempt = Attempt(plan, genes)
    layout = attempt.layout()
    if layout is None or faults(layout):
        return _Try(
            (max(len(attempt.missed), 1), 0, 0.0, 0.0), None, genes, attempt.missed, attempt.looks
        )
    area = round(layout.wide_mm * layout.high_mm, 3)
    apart = sum(box.leader is None for box in layout.boxes)
    return _Try((0, apart, area, round(layout.high_mm, 3)), layout, genes, (), attempt.looks)


def _genes(number: int, names: Sequence[str], best: Genes | None) -> Genes:
    """Those of a try: four unshaken, some all shaken, then the best one shaken here and there."""
    chance = random.Random(number)
    early, order = number % 2 == 0, (number // 2 + 1) % 2
    area, down = _AREAS[number % len(_AREAS)], 1 if number % 5 < 3 else -1
    if number < _PLAIN:
        return Genes({}, early=early, order=order, area=area, down=down)
    if best is None or number % _FRESH == 0:
        fresh = {name: chance.randrange(1, 1 << 30) for name in names}
        return Genes(fresh, early=early, order=order, area=area, down=down)
    seeds = dict(best.seeds)
    for name in chance.sample(list(names), min(len(names), max(2, round(_SHAKEN * len(names))))):
        seeds[name] = chance.randrange(1, 1 << 30)
    return attrs.evolve(best, seeds=seeds, area=area if number % 2 else best.area)


def _in_order(layout: Layout, branches: Sequence[Branch]) -> Layout:
    by_name = {str(run.branch.branch): run for run in layout.runs}
    return attrs.evolve(layout, runs=tuple(by_name[str(each.branch)] for each in branches))
