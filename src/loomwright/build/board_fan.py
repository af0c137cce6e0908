"""The plain fan: a layout that always goes, without a crossing, for any tree and any lengths.

Every place has a sector of directions; its branches get a share of it each, and lie in the middle
of their share. All that hangs on a branch stays in the cone of its share, put to the branch's end;
that cone lies in the cone of the place, and cones of one place meet in it alone. As long as every
share is narrower than half a turn, so that the cones are convex, no two branches meet.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

import attrs

from loomwright.build.board_boxes import Size, rows
from loomwright.build.board_layout import Layout, Run, least_gap
from loomwright.build.board_lines import Spot
from loomwright.build.board_plan import Bounds
from loomwright.build.board_raster import bounds as rect_of
from loomwright.loom import Branch

_MOST_DEG = 170.0


def fan(
    branches: Sequence[Branch],
    trunk: Sequence[str],
    boxes: Mapping[str, Sequence[Size]],
    bounds: Bounds,
) -> Layout:
    """Lay branches as a fan, the boxes in rows below.

    Parameters
    ----------
    branches : of the piece, a tree
    trunk : places along its trunk; the fan begins in the middle of it
    boxes : room that each place needs, sizes to choose from [mm]
    bounds : measures; the least distance is what the fan keeps of it
    """
    runs = tuple(_laid(branches, trunk[len(trunk) // 2]))
    rect = rect_of([spot for run in runs for spot in run.points])
    half = bounds.clear_mm / 2
    moved = tuple(
        Run(each.branch, tuple((x - rect[0] + half, y - rect[1] + half) for x, y in each.points))
        for each in runs
    )
    wide, high = rect[2] - rect[0] + 2 * half, rect[3] - rect[1] + 2 * half
    placed = tuple(rows(boxes, left=0.0, top=high + half, width=max(wide, bounds.width_mm)))
    found = Layout(
        runs=moved,
        boxes=placed,
        wide_mm=max([wide, *(box.rect[2] for box in placed)]),
        high_mm=max([high, *(box.rect[3] for box in placed)]),
        clear_mm=bounds.clear_mm,
        fork_mm=bounds.fork_mm,
        bend_mm=bounds.bend_mm,
        fan=True,
    )
    return attrs.evolve(found, clear_mm=least_gap(found))


def _laid(branches: Sequence[Branch], root: str) -> Iterator[Run]:
    near: dict[str, list[tuple[Branch, str]]] = defaultdict(list)
    for each in branches:
        near[each.from_place].append((each, each.to_place))
        near[each.to_place].append((each, each.from_place))
    leaves = _leaves(root, near)
    at: dict[str, Spot] = {root: (0.0, 0.0)}
    open_ = [(root, 0.0, 360.0)]
    while open_:
        here, low, high = open_.pop()
        after = [(branch, there) for branch, there in near[here] if there not in at]
        share = (high - low) / max(sum(leaves[there] for _, there in after), 1)
        for branch, there in after:
            wide = share * leaves[there]
            middle, half = low + wide / 2, min(wide, _MOST_DEG) / 2
            turn, long = math.radians(middle), branch.length_mm or 0.0
            at[there] = (
                at[here][0] + long * math.cos(turn), at[here][1] + long * math.sin(turn)
            )  # fmt: skip
            ends = (at[here], at[there])
            yield Run(branch, ends if branch.from_place == here else ends[::-1])
            open_.append((there, middle - half, middle + half))
            low += wide


def _leaves(root: str, near: Mapping[str, list[tuple[Branch, str]]]) -> dict[str, int]:
    """Ends that hang on each place, seen from the root; an end has itself."""
    order, above = [root], {root: root}
    for here in order:
        for _, there in near[here]:
            if there not in above:
                above[there] = here
                order.append(there)
    found: dict[str, int] = defaultdict(int)
    for here in reversed(order):
        found[here] = max(found[here], 1)
        if here != root:
            found[above[here]] += found[here]
    return found
