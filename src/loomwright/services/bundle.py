"""How thick some wires are as a bundle, where each lies, and what goes round them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from typing import Any

import attrs

from loomwright import standards
from loomwright.build.bundle import met_mm, packed
from loomwright.build.covering_sizes import Coverings, SleeveChoice, coverings
from loomwright.loom import InputProblems, Problem, Where
from loomwright.physics.packing import MOST
from loomwright.repair.needs import Span
from loomwright.services.counting import counted
from loomwright.services.numbers import plain

__all__ = ["MOST", "BundleReport", "PlacedWire", "SleeveChoice", "bundle", "read_bundle"]

LEAST_MM, MOST_MM = 0.1, 100.0
"""Outside diameters that a wire can have, from a hair to the thickest battery cable and beyond."""
MOST_WALL_MM = 5.0
_TALLY = re.compile(r"([1-9]\d*)\s*[x×*]\s*(.+)")
_WALL = "tape_wall"


@attrs.frozen(kw_only=True)
class PlacedWire:
    """A wire in the section.

    Attributes
    ----------
    number : as it was given, from 1
    outside_mm : its diameter
    x_mm, y_mm : of its middle, from the middle of the bundle
    """

    number: int
    outside_mm: float
    x_mm: float
    y_mm: float


@attrs.frozen(kw_only=True)
class BundleReport:
    """A bundle with what goes round it.

    Attributes
    ----------
    wires : in the order they were given
    diameter_mm : packed as tightly as was found
    bound_mm : no arrangement can be below it
    met_mm : as such a bundle is usually met
    tape_wall_mm : what tape adds on each side
    covers : tape, sleeves and heat-shrink for a bundle between packed and usual
    """

    wires: tuple[PlacedWire, ...]
    diameter_mm: float
    bound_mm: float
    met_mm: float
    tape_wall_mm: float
    covers: Coverings

    @property
    def gap_pct(self) -> float:
        """How far the diameter may at most lie above the least possible [%]."""
        return 100.0 * (self.diameter_mm / self.bound_mm - 1.0)

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON; places in full, so that they can be checked."""
        taped, tube = self.covers.taped_mm, self.covers.tube.tube
        return {
            "diameter_mm": self.diameter_mm,
            "bound_mm": self.bound_mm,
            "gap_pct": plain(self.gap_pct, 3),
            "met_mm": plain(self.met_mm),
            "wires": [
                {"outside_mm": each.outside_mm, "x_mm": each.x_mm, "y_mm": each.y_mm}
                for each in self.wires
            ],
            "tape_wall_mm": self.tape_wall_mm,
            "taped_mm": [plain(taped.low), plain(taped.high)],
            "tape_m_per_m": plain(self.covers.tape_m_per_m, 3),
            "sleeves": [_sleeve(each) for each in self.covers.sleeves],
            "tube": {
                "supplied_mm": None if tube is None else tube.supplied_mm,
                "recovered_mm": None if tube is None else tube.recovered_mm,
                "missing": self.covers.tube.missing,
            },
        }


def bundle(diameters_mm: Sequence[float], *, tape_wall_mm: float | None = None) -> BundleReport:
    """Pack wires by their outside diameters, and choose what goes round them.

    Parameters
    ----------
    diameters_mm : outside diameters [mm], 1 to 300 of them
    tape_wall_mm : what tape wound half over itself adds on each side [mm]; None for the default

    Raises
    ------
    OutOfRange : none, too many, or a diameter that is not above 0
    """
    value = dict(standards.values())
    if tape_wall_mm is not None:
        value[_WALL] = tape_wall_mm
    packing = packed(tuple(diameters_mm), effort=1.0)
    met = met_mm(packing, most=value["bundle_most"])
    return BundleReport(
        wires=tuple(
            PlacedWire(number=number, outside_mm=outside, x_mm=x, y_mm=y)
            for number, (outside, (x, y)) in enumerate(
                zip(packing.diameters, packing.centres, strict=True), start=1
            )
        ),
        diameter_mm=packing.diameter,
        bound_mm=packing.bound,
        met_mm=met,
        tape_wall_mm=value[_WALL],
        covers=coverings(Span(low=packing.diameter, high=met), value=value),
    )


def read_bundle(typed: Sequence[str], *, tape_wall: str = "") -> BundleReport:
    """The same from what a person typed.

    Parameters
    ----------
    typed : outside diameters [mm] as `2.0` or `2,0`, or several alike as `8x2.0`
    tape_wall : likewise; empty for the default

    Raises
    ------
    InputProblems : everything that cannot be a diameter, at once
    """
    problems: list[Problem] = []
    found: list[float] = []
    for number, text in enumerate(typed, start=1):
        times, size = _tally(text)
        try:
            found += [_millimetres(f"wire {number}", size, text, LEAST_MM, MOST_MM)] * times
        except InputProblems as wrong:
            problems += wrong.problems
    wall = None
    if tape_wall:
        try:
            wall = _millimetres("tape wall", tape_wall, tape_wall, 0.0, MOST_WALL_MM)
        except InputProblems as wrong:
            problems += wrong.problems
    problems += _wrong_number(sum(_tally(text)[0] for text in typed))
    if problems:
        raise InputProblems(problems)
    return bundle(found, tape_wall_mm=wall)


def _tally(text: str) -> tuple[int, str]:
    """How many, and the size of one: `8x2.0`; never so many that they could not be held."""
    several = _TALLY.fullmatch(text.strip())
    if several is None or len(several[1]) > 9:
        return 1, text
    return min(int(several[1]), MOST + 1), several[2]


def _millimetres(where: str, text: str, typed: str, low: float, high: float) -> float:
    try:
        value = float(text.strip().replace(",", ".", 1))
    except ValueError:
        what = f'"{typed}" is not a number'
        raise InputProblems([_problem(where, what, low, high)]) from None
    if not (math.isfinite(value) and low <= value <= high):
        raise InputProblems([_problem(where, f'"{typed}" mm is not possible', low, high)])
    return value


def _problem(where: str, what: str, low: float, high: float) -> Problem:
    expected = f"give millimetres from {low:g} to {high:g}, such as {2.0 if low else 0.3:g}"
    return Problem(where=Where(where), what=what, expected=expected)


def _wrong_number(count: int) -> Iterator[Problem]:
    where = Where("wires")
    if count < 1:
        expected = "give the outside diameter of each [mm], such as 2.0 2.0 1.6"
        yield Problem(where=where, what="no wire is given", expected=expected)
    if count > MOST:
        what = f"more than {MOST} wires" if count > 2 * MOST else counted(count, "wire")
        expected = f"give {MOST} at most: split the bundle"
        yield Problem(where=where, what=f"{what} take too long to pack", expected=expected)


def _sleeve(each: SleeveChoice) -> dict[str, Any]:
    sleeve = each.sleeve
    return {
        "kind": each.kind,
        "bore_mm": None if sleeve is None else sleeve.bore_mm,
        "bore_max_mm": None if sleeve is None else sleeve.bore_max_mm,
        "missing": each.missing,
    }
