"""Plugs warmed by a blower: a run is one plug, one state of its boot, and time that goes on."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.loom.cells import cell_text
from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.errors import Problem, Where
from loomwright.loom.records import WarmingPoint

ONE_RUN = ("plug", "boot")
"""Columns that are the same at all points of a run."""


def mixed_runs(evidence: Evidence) -> Iterator[Problem]:
    """Points of one run at different plugs, or with the boot on and off."""
    first: dict[tuple[str, str], tuple[object, WarmingPoint]] = {}
    for point in evidence.job.warmings:
        for column in ONE_RUN:
            value = getattr(point, column)
            before, row = first.setdefault((point.run, column), (value, point))
            if before != value:
                yield Problem(
                    Where("warmings", point.row, column),
                    f'"{cell_text(value)}" differs from "{cell_text(before)}" in row {row.row} '
                    f'of the same run "{point.run}"',
                    "give another plug, or the boot on and off, a run of its own",
                )


def repeated_moments(evidence: Evidence) -> Iterator[Problem]:
    """Two points of one run at the same time."""
    first: dict[tuple[str, float], WarmingPoint] = {}
    for point in evidence.job.warmings:
        before = first.setdefault((point.run, point.seconds), point)
        if before is not point:
            yield Problem(
                Where("warmings", point.row, "seconds"),
                f'"{point.seconds:g}" s stands in row {before.row} of run "{point.run}" already',
                "correct the time, or give the other run a name of its own",
            )


def hotter_than_the_air(evidence: Evidence) -> Iterator[Problem]:
    """A plug hotter than the air that warms it."""
    for point in evidence.job.warmings:
        if point.air_c is not None and point.temperature_c > point.air_c:
            yield Problem(
                Where("warmings", point.row, "temperature_c"),
                f'"{point.temperature_c:g}" °C is more than the air of {point.air_c:g} °C '
                "that warms it",
                "look whether the two were swapped; measure the air where it meets the plug",
                warning=True,
            )
