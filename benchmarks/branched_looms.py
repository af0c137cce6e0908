"""Random looms with branches: what a board is laid by.

A trunk, side branches on it, and some on those, as a loom has them. Shares and lengths are invented
(assumed).
"""

from __future__ import annotations

import attrs
import numpy as np

from loomwright.loom import Branch, Job
from loomwright.loom.identity import BranchId
from reference.looms import make_job

TRUNK_MM, SIDE_MM = (150, 500), (100, 700)
TRUNK_SHARE, SIDE_ON_SIDE = 0.35, 0.3
MOST_AT_PLACE = 4
"""Branches that end at one place, at most."""


def branched_job(wires: int, branches: int, seed: int = 1) -> Job:
    """A loom of so many wires on so many branches; every plug and joint has a place.

    Parameters
    ----------
    wires, branches : how many
    seed : of every draw
    """
    job = make_job(wires, seed)
    rng = np.random.default_rng([wires, branches, seed, 7])
    rows = tree(branches, rng)
    ends = [row.to_place for row in rows]
    places = (ends[int(n)] for n in rng.integers(len(ends), size=2 * wires + 200))
    return attrs.evolve(
        job,
        branches=rows,
        plugs=tuple(attrs.evolve(plug, place=next(places)) for plug in job.plugs),
        joints=tuple(attrs.evolve(joint, place=next(places)) for joint in job.joints),
    )


def tree(branches: int, rng: np.random.Generator) -> tuple[Branch, ...]:
    """Rows of the table branches that form a tree: a trunk, sides on it, some sides on those."""
    trunk = max(2, round(TRUNK_SHARE * branches))
    rows = [_row(n, n, n + 1, rng, TRUNK_MM) for n in range(trunk)]
    taken = dict.fromkeys(range(trunk + 1), 2)
    while len(rows) < branches:
        side = len(rows) > trunk and rng.random() < SIDE_ON_SIDE
        low, high = (trunk + 1, len(rows) + 1) if side else (0, trunk + 1)
        start = int(rng.integers(low, high))
        if taken[start] < MOST_AT_PLACE:
            end = len(rows) + 1
            rows.append(_row(end - 1, start, end, rng, SIDE_MM))
            taken[start], taken[end] = taken[start] + 1, 1
    return tuple(rows)


def _row(
    number: int, start: int, end: int, rng: np.random.Generator, lengths: tuple[int, int]
) -> Branch:
    return Branch(
        branch=BranchId(f"B{number + 1}"), from_place=f"place {start}", to_place=f"place {end}",
        length_mm=float(rng.integers(lengths[0] // 10, lengths[1] // 10) * 10),
    )  # fmt: skip
