"""Shares, calibration and breakdowns over finished jobs."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence

import numpy as np

import report
from simulated_jobs import Row, Step

LARGE_OHM = 100.0  # an added series resistance above it is plain to see


def calibration_error(steps: Sequence[Step], bins: int = 10) -> float:
    """Expected calibration error: mean over bins of |mean confidence - share right|, by number.

    Source: Naeini, Cooper and Hauskrecht, AAAI 2015, with bins of equal width.
    """
    if not steps:
        return math.nan
    confidence = np.array([step.confidence for step in steps])
    right = np.array([step.right for step in steps], dtype=float)
    place = np.minimum((confidence * bins).astype(int), bins - 1)
    gap = np.zeros(bins)
    np.add.at(gap, place, confidence - right)
    return float(np.abs(gap).sum() / len(steps))


def calibration_rows(steps: Sequence[Step], bins: int = 10) -> list[tuple[object, ...]]:
    """A row a bin: range, steps, mean confidence, share right."""
    rows: list[tuple[object, ...]] = []
    for number in range(bins):
        some = [s for s in steps if min(int(s.confidence * bins), bins - 1) == number]
        if some:
            mean = sum(s.confidence for s in some) / len(some)
            right = sum(s.right for s in some) / len(some)
            span = f"{number / bins:.1f}-{(number + 1) / bins:.1f}"
            rows.append((span, len(some), f"{mean:.3f}", f"{right:.3f}"))
    return rows


def is_large(row: Row) -> bool:
    """Whether the job has an added resistance above 100 ohm."""
    return any(
        kind == "high" and size > LARGE_OHM for kind, size in zip(row.kinds, row.sizes, strict=True)
    )


def group_of(row: Row) -> str:
    """Kind and size of a single fault; "two faults" or "sound" for the others."""
    if len(row.kinds) != 1:
        return "two faults" if row.kinds else "sound"
    kind, size = row.kinds[0], row.sizes[0]
    if kind != "high":
        return kind
    return (
        "high "
        + next(
            name
            for limit, name in ((3, "1-3"), (10, "3-10"), (100, "10-100"), (math.inf, "above 100"))
            if size < limit
        )
        + " ohm"
    )


def breakdown(rows: Iterable[Row], key: Callable[[Row], str]) -> list[tuple[object, ...]]:
    """A row a group: jobs, top place right, claims, right claims, readings, minutes."""
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        groups[key(row)].append(row)
    table: list[tuple[object, ...]] = []
    for name in sorted(groups):
        some = groups[name]
        claims = [row for row in some if row.claimed]
        table.append(
            (
                name,
                len(some),
                f"{sum(row.right for row in some)}",
                len(claims),
                sum(row.right for row in claims),
                f"{np.median([row.readings for row in some]):.0f}",
                f"{np.median([row.minutes for row in some]):.0f}",
            )
        )
    return table


BREAKDOWN_HEADS = (
    "group", "jobs", "top right", "claims", "right claims", "median readings", "median minutes",
)  # fmt: skip


def verdicts(rows: Sequence[Row], sound: Sequence[Row], *, judge: bool) -> list[report.Figure]:
    """The targets: `rows` of the mix, `sound` of the extra batch of sound looms."""
    faulty = [row for row in rows if not row.is_sound]
    claims = [row for row in rows if row.claimed]
    healthy = [*sound, *(row for row in rows if row.is_sound)]
    quiet = sum(not row.claimed for row in healthy)
    found = [
        _share("faulty item in the top place", faulty, 0.92),
        _share("  jobs with an open", [r for r in faulty if "open" in r.kinds], 0.97),
        _share("  jobs with more than 100 ohm in series", [r for r in faulty if is_large(r)], 0.97),
        report.share("claims (looms of the mix)", len(claims), len(rows)),
        _share("claims that are right, sound looms included", claims, 0.98),
        report.share("sound looms without false alarm", quiet, len(healthy), 0.98),
    ]
    # Of all jobs of the mix: without the sound ones more confidence than is due would look right.
    every = [step for row in rows for step in row.steps]
    last = [row.steps[-1] for row in rows if row.steps]
    if every:
        found.append(
            report.at_most("calibration error, every reading", calibration_error(every), 0.03)
        )
        found.append(report.at_most("calibration error, at the end", calibration_error(last), 0.03))
    located = [row for row in faulty if row.claimed]
    if located:
        readings = [row.readings for row in located]
        found += [
            report.at_most("readings to a claim, median", float(np.median(readings)), 8),
            report.at_most("readings to a claim, 90 %", float(np.percentile(readings, 90)), 15),
            _plain(
                "minutes to a claim, median", float(np.median([r.minutes for r in located])), "min"
            ),
        ]
    if faulty:
        found += [
            _plain(
                "readings, all faulty looms, mean", float(np.mean([r.readings for r in faulty])), ""
            ),
            _plain(
                "minutes, all faulty looms, mean",
                float(np.mean([r.minutes for r in faulty])),
                "min",
            ),
        ]
    return found if judge else [report.unjudged(figure) for figure in found]


def _share(name: str, rows: Sequence[Row], target: float) -> report.Figure:
    return report.share(name, sum(row.right for row in rows), len(rows), target)


def _plain(name: str, value: float, unit: str) -> report.Figure:
    return report.Figure(name, f"{report.number(float(value))} {unit}".rstrip())
