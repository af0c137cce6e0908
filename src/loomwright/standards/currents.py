"""What current wires bear and when fuses open: ratings, bundles of wires, opening times."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import exp, log

import attrs

from loomwright.loom.errors import OutOfRange
from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced

FREE_AIR = "abyc-e11"
"""The rule whose ratings of single wires in air are used; its bundles are held against others."""
BUNDLES = "mil-w-5088l"
"""The rule whose curves say what a bundle leaves of a single wire's current."""


@attrs.frozen(kw_only=True)
class FuseLimit(Sourced):
    """How long a fuse lasts at a multiple of its rating.

    Attributes
    ----------
    fuse_type : C, E or F of ISO 8820-3
    percent : current, of the rating [%]
    least_s, most_s : earliest and latest opening [s]; latest None where it need not open
    """

    fuse_type: str
    percent: float
    least_s: float
    most_s: float | None


@attrs.frozen(kw_only=True)
class FuseRating(Sourced):
    """A rating a fuse of some type is made with [A]."""

    fuse_type: str
    rating_a: float


@attrs.frozen(kw_only=True)
class BundleFactor(Sourced):
    """What is left of a wire's current in a bundle.

    Attributes
    ----------
    rule : whose figure it is
    wires : wires in the bundle
    loading_pct : share of the bundle's own capacity in use [%]
    factor : of the current of the same wire alone [1]
    """

    rule: str
    wires: float
    loading_pct: float
    factor: float


@attrs.frozen(kw_only=True)
class RatedCurrent(Sourced):
    """A published rating with what it holds for.

    Attributes
    ----------
    rule : whose rating it is
    awg, section_mm2 : size, and area of its copper [mm²]
    wire_class_c : temperature the conductor may reach [°C]
    ambient_c : surroundings [°C]
    wires, loading_pct : of the bundle [1], [%]
    altitude_m : above the sea [m]
    current_a : the rating [A]
    """

    rule: str
    awg: int
    section_mm2: float
    wire_class_c: float
    ambient_c: float
    wires: int
    loading_pct: float
    altitude_m: float
    current_a: float


@attrs.frozen(kw_only=True)
class RatedPoint:
    """A single wire in air at one current.

    Attributes
    ----------
    current_a, rise_k, ambient_c : current [A] that gives that rise [K] in those surroundings [°C]
    beyond : whether the section lies outside the table and the last step was carried on
    """

    current_a: float
    rise_k: float
    ambient_c: float
    beyond: bool


@cache
def fuse_limits() -> tuple[FuseLimit, ...]:
    """All opening times, by type and current."""
    return tuple(
        FuseLimit(
            fuse_type=row.text("fuse_type"),
            percent=row.number("percent"),
            least_s=row.number("least_s"),
            most_s=row.number_or_none("most_s"),
            **sourced(row),
        )
        for row in rows("fuse_limits")
    )


def fuse_limits_of(fuse_type: str) -> tuple[FuseLimit, ...]:
    """The opening times of one type, smallest current first.

    Raises
    ------
    NotFound : there is no such type
    """
    found = tuple(row for row in fuse_limits() if row.fuse_type == fuse_type.strip().upper())
    if not found:
        types = {row.fuse_type for row in fuse_limits()}
        raise not_found("fuse type", fuse_type, types, where="fuse_limits")
    return found


@cache
def fuse_ratings() -> tuple[FuseRating, ...]:
    """All ratings, by type and current."""
    return tuple(
        FuseRating(fuse_type=row.text("fuse_type"), rating_a=row.number("rating_a"), **sourced(row))
        for row in rows("fuse_ratings")
    )


@cache
def bundle_factors() -> tuple[BundleFactor, ...]:
    """All rows, in file order."""
    return tuple(
        BundleFactor(
            rule=row.text("rule"),
            wires=row.number("wires"),
            loading_pct=row.number("loading_pct"),
            factor=row.number("factor"),
            **sourced(row),
        )
        for row in rows("bundle_derating")
    )


@cache
def bundle_factor(wires: int, loading_pct: float) -> float:
    """What a bundle leaves of the current of the same wire alone, by the curves of `BUNDLES`.

    Between rows in proportion, over the logarithm of the number of wires. A bundle loaded below
    20 % counts as loaded 20 %, the lowest curve there is; 33 wires and more count as 33, as
    AC 43.13-1B has it in Note 1 of Table 11-9.

    Parameters
    ----------
    wires : wires in the bundle, 1 or more
    loading_pct : share of the bundle's capacity in use, 0 to 100 [%]

    Raises
    ------
    OutOfRange : fewer than 1 wire, loading not from 0 to 100 %
    """
    if wires < 1:
        raise OutOfRange(f"{wires} wires are not possible", where="bundle",
                         expected="give 1 wire or more")  # fmt: skip
    if not 0 <= loading_pct <= 100:
        raise OutOfRange(f"{loading_pct:g} % is not possible", where="loading of a bundle",
                         expected="give 0 to 100 %")  # fmt: skip
    curves = _curves()
    loads = sorted(curves)
    load = max(loading_pct, loads[0])
    low = max(each for each in loads if each <= load)
    high = min(each for each in loads if each >= load)
    left, right = (_on_curve(curves[each], wires) for each in (low, high))
    return left if high == low else left + (right - left) * (load - low) / (high - low)


@cache
def rated_currents() -> tuple[RatedCurrent, ...]:
    """All published ratings, in file order."""
    return tuple(
        RatedCurrent(
            rule=row.text("rule"),
            awg=row.whole("awg"),
            section_mm2=row.number("section_mm2"),
            wire_class_c=row.number("wire_class_c"),
            ambient_c=row.number("ambient_c"),
            wires=row.whole("wires"),
            loading_pct=row.number("loading_pct"),
            altitude_m=row.number("altitude_m"),
            current_a=row.number("current_a"),
            **sourced(row),
        )
        for row in rows("current_capacity")
    )


@cache
def free_air(section_mm2: float) -> RatedPoint:
    """The rating of a single wire in air, by the area of its copper [mm²].

    Between the rows of `FREE_AIR` along straight lines on log paper. The table begins at
    0.78 mm²; below it, and above 18.9 mm², the nearest line is carried on and `beyond` says so.

    Raises
    ------
    OutOfRange : the section is not above 0
    """
    if not section_mm2 > 0:
        raise OutOfRange(f"{section_mm2:g} mm² is not possible", where="section",
                         expected="give a section above 0")  # fmt: skip
    family = sorted(
        (row for row in rated_currents() if row.rule == FREE_AIR), key=lambda row: row.section_mm2
    )
    later = next((n for n, row in enumerate(family) if row.section_mm2 >= section_mm2), None)
    last = len(family) - 1 if later is None else max(later, 1)
    one, other = family[last - 1], family[last]
    step = log(other.current_a / one.current_a) / log(other.section_mm2 / one.section_mm2)
    return RatedPoint(
        current_a=one.current_a * exp(step * log(section_mm2 / one.section_mm2)),
        rise_k=one.wire_class_c - one.ambient_c,
        ambient_c=one.ambient_c,
        beyond=not family[0].section_mm2 <= section_mm2 <= family[-1].section_mm2,
    )


@cache
def _curves() -> dict[float, list[tuple[float, float]]]:
    """By loading: logarithm of the number of wires, and factor."""
    found: dict[float, list[tuple[float, float]]] = {}
    for row in bundle_factors():
        if row.rule == BUNDLES:
            found.setdefault(row.loading_pct, []).append((log(row.wires), row.factor))
    return {load: sorted(points) for load, points in found.items()}


def _on_curve(points: list[tuple[float, float]], wires: int) -> float:
    at = min(log(wires), points[-1][0])
    for (low, left), (high, right) in pairwise(points):
        if at <= high:
            return left + (right - left) * (at - low) / (high - low)
    return points[-1][1]
