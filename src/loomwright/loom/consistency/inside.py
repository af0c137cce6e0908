"""What is inside devices: elements, thermistor curves, fuelling curves."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.errors import Problem, Where
from loomwright.loom.records import CurvePoint, FuellingPoint

NEEDED: tuple[tuple[str, str, bool, str], ...] = (
    ("resistor", "ohm", False, "give its resistance at 20 °C"),
    ("winding", "ohm", True, "give its resistance at 20 °C, if it is known"),
    ("thermistor", "curve", False, "name its curve, with rows in curves"),
    ("contact", "closed_when", True, "say when it is closed, such as throttle=shut"),
)
"""Kind of element, the column it needs, whether that is only a warning, and what to write."""


def incomplete_elements(evidence: Evidence) -> Iterator[Problem]:
    """An element without the number or curve that its kind lives by."""
    for element in evidence.job.elements:
        for kind, column, warning, cure in NEEDED:
            if element.kind == kind and getattr(element, column) is None:
                what = f'{kind} "{element.element}" has no {column}'
                where = Where("elements", element.row, column)
                yield Problem(where, what, cure, warning=warning)


def looped_elements(evidence: Evidence) -> Iterator[Problem]:
    """An element with both ends on one pin."""
    for element in evidence.job.elements:
        if element.from_pin == element.to_pin:
            yield Problem(
                Where("elements", element.row, "to_pin"),
                f'"{element.to_pin}" is the pin at both ends of "{element.element}"',
                "write the pin at its other end",
            )


def half_pull_ups(evidence: Evidence) -> Iterator[Problem]:
    """A pull-up with its resistance or its supply alone."""
    for element in evidence.job.elements:
        given = (element.pull_up_ohm is not None, element.pull_up_v is not None)
        if given[0] != given[1]:
            here, lacking = ("pull_up_ohm", "pull_up_v")[:: 1 if given[0] else -1]
            yield Problem(
                Where("elements", element.row, lacking),
                f'"{element.element}" has {here} but no {lacking}',
                "give both or neither",
            )


def curve_on_another_kind(evidence: Evidence) -> Iterator[Problem]:
    """A curve given for something that is no thermistor, where it is not looked at."""
    for element in evidence.job.elements:
        if element.curve and element.kind != "thermistor":
            yield Problem(
                Where("elements", element.row, "curve"),
                f'"{element.element}" is a {element.kind}, so its curve is not used',
                "leave it blank, or write thermistor as its kind",
                warning=True,
            )


def fuse_on_another_kind(evidence: Evidence) -> Iterator[Problem]:
    """A fuse's rating on what is no fuse, or its type without a rating."""
    for element in evidence.job.elements:
        if element.fuse_a is not None and element.kind != "link":
            yield Problem(
                Where("elements", element.row, "fuse_a"),
                f'"{element.element}" is of kind {element.kind}, and a fuse is a link',
                "leave it blank, or write link as its kind",
            )
        if element.fuse_type and element.fuse_a is None:
            yield Problem(
                Where("elements", element.row, "fuse_type"),
                f'fuse "{element.element}" has a type and no rating',
                "write its rating in A under fuse_a; it stands on the fuse",
                warning=True,
            )


def short_curves(evidence: Evidence) -> Iterator[Problem]:
    """A thermistor or fuelling curve of a single point."""
    for table in ("curves", "fuelling"):
        for name, points in _points(evidence, table).items():
            if len(points) == 1:
                yield Problem(
                    Where(table, points[0].row, "curve"),
                    f'curve "{name}" has one point only',
                    "give at least two, at different temperatures",
                )


def repeated_temperatures(evidence: Evidence) -> Iterator[Problem]:
    """Two points of one curve at one temperature."""
    for table in ("curves", "fuelling"):
        for name, points in _points(evidence, table).items():
            seen: set[float] = set()
            for point in points:
                if point.temperature_c in seen:
                    yield Problem(
                        Where(table, point.row, "temperature_c"),
                        f'"{point.temperature_c:g}" °C is there twice in curve "{name}"',
                        "keep one of the two rows",
                    )
                seen.add(point.temperature_c)


def rising_curves(evidence: Evidence) -> Iterator[Problem]:
    """A thermistor curve along which the resistance does not fall as it gets warmer."""
    curves: dict[str, list[CurvePoint]] = defaultdict(list)
    for row in evidence.job.curves:
        curves[row.curve].append(row)
    for name, points in curves.items():
        ordered = sorted(points, key=lambda point: point.temperature_c)
        for cooler, warmer in pairwise(ordered):
            if warmer.temperature_c > cooler.temperature_c and warmer.ohm >= cooler.ohm:
                yield Problem(
                    Where("curves", warmer.row, "ohm"),
                    f'"{warmer.ohm:g}" Ω at {warmer.temperature_c:g} °C is not below '
                    f'{cooler.ohm:g} Ω at {cooler.temperature_c:g} °C in curve "{name}"',
                    "the resistance of these sensors falls as they get warmer; check both rows",
                )


def unused_curves(evidence: Evidence) -> Iterator[Problem]:
    """A curve that no element uses."""
    used = {element.curve for element in evidence.job.elements}
    for name, points in _points(evidence, "curves").items():
        if name not in used and name not in evidence.mentioned:
            yield Problem(
                Where("curves", points[0].row, "curve"),
                f'no element uses curve "{name}"',
                "name it at its thermistor",
                warning=True,
            )


def _points(evidence: Evidence, table: str) -> dict[str, list[CurvePoint | FuellingPoint]]:
    job = evidence.job
    rows: Sequence[CurvePoint | FuellingPoint] = job.curves if table == "curves" else job.fuelling
    found: dict[str, list[CurvePoint | FuellingPoint]] = defaultdict(list)
    for point in rows:
        found[point.curve].append(point)
    return found
