"""Copper conductors: IEC 60228, ISO 6722-1, AWG check rows, strand builds, copper itself."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from math import isclose
from types import MappingProxyType
from typing import TypeVar

import attrs

from loomwright.loom.errors import NotFound, OutOfRange
from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced

Found = TypeVar("Found")


@attrs.frozen(kw_only=True)
class Conductor(Sourced):
    """A conductor of IEC 60228, resistances at 20 °C.

    Attributes
    ----------
    conductor_class : 2 (stranded) or 5 (flexible)
    section_mm2 : nominal section, not the area of the copper
    plain_max_ohm_per_km, coated_max_ohm_per_km : highest resistance of plain and coated wires
    min_wires : least count of wires, class 2 only
    max_strand_mm : thickest wire, class 5 only
    """

    conductor_class: int
    section_mm2: float
    plain_max_ohm_per_km: float
    coated_max_ohm_per_km: float
    min_wires: int | None
    max_strand_mm: float | None


@attrs.frozen(kw_only=True)
class VehicleCable(Sourced):
    """A road-vehicle cable of ISO 6722-1.

    Attributes
    ----------
    section_mm2 : nominal section
    max_mohm_per_m : highest resistance at 20 °C
    strands, strand_mm : the usual build
    thin_outside_max_mm, thick_outside_max_mm : largest outside diameter with thin and with thick
        wall; None where there is no such cable
    """

    section_mm2: float
    max_mohm_per_m: float
    strands: int
    strand_mm: float
    thin_outside_max_mm: float | None
    thick_outside_max_mm: float | None


@attrs.frozen(kw_only=True)
class AwgSize(Sourced):
    """A published AWG row of solid copper at 20 °C, to hold the formula against."""

    awg: int
    diameter_mm: float
    area_mm2: float
    circular_mils: float
    ohm_per_1000ft: float


@attrs.frozen(kw_only=True)
class StrandBuild(Sourced):
    """A published build "number/diameter"; None where the page gives no figure."""

    strands: int
    strand_mm: float
    called_mm2: float
    max_mohm_per_m: float | None
    current_a: float | None


@attrs.frozen(kw_only=True)
class CopperConstant(Sourced):
    """A property of annealed copper with its unit and the temperature it holds at."""

    quantity: str
    value: float
    unit: str
    reference_c: float | None


@cache
def conductors() -> tuple[Conductor, ...]:
    """All rows of IEC 60228, by class and section."""
    return tuple(
        Conductor(
            conductor_class=row.whole("conductor_class"),
            section_mm2=row.number("section_mm2"),
            plain_max_ohm_per_km=row.number("plain_max_ohm_per_km_20c"),
            coated_max_ohm_per_km=row.number("coated_max_ohm_per_km_20c"),
            min_wires=row.whole("min_wires") if row.text("min_wires") else None,
            max_strand_mm=row.number_or_none("max_strand_mm"),
            **sourced(row),
        )
        for row in rows("iec60228")
    )


def conductor(section_mm2: float, *, conductor_class: int = 5) -> Conductor:
    """The IEC 60228 row of a nominal section [mm²].

    Raises
    ------
    OutOfRange : the section is not above 0
    NotFound : the class or the section is not in the table
    """
    family = [row for row in conductors() if row.conductor_class == conductor_class]
    if not family:
        raise not_found("conductor class", str(conductor_class), ("2", "5"), where="iec60228")
    return _by_section({row.section_mm2: row for row in family}, section_mm2, "iec60228")


@cache
def vehicle_cables() -> tuple[VehicleCable, ...]:
    """All rows of the ISO 6722-1 table, by section."""
    return tuple(
        VehicleCable(
            section_mm2=row.number("section_mm2"),
            max_mohm_per_m=row.number("max_mohm_per_m_20c"),
            strands=row.whole("strands"),
            strand_mm=row.number("strand_mm"),
            thin_outside_max_mm=row.number_or_none("thin_outside_max_mm"),
            thick_outside_max_mm=row.number_or_none("thick_outside_max_mm"),
            **sourced(row),
        )
        for row in rows("iso6722")
    )


def vehicle_cable(section_mm2: float) -> VehicleCable:
    """The ISO 6722-1 row of a nominal section [mm²].

    Raises
    ------
    OutOfRange : the section is not above 0
    NotFound : the section is not in the table
    """
    return _by_section({row.section_mm2: row for row in vehicle_cables()}, section_mm2, "iso6722")


@cache
def awg_sizes() -> Mapping[int, AwgSize]:
    """The published AWG rows by number."""
    found = {
        row.whole("awg"): AwgSize(
            awg=row.whole("awg"),
            diameter_mm=row.number("diameter_mm"),
            area_mm2=row.number("area_mm2"),
            circular_mils=row.number("circular_mils"),
            ohm_per_1000ft=row.number("ohm_per_1000ft_20c"),
            **sourced(row),
        )
        for row in rows("awg")
    }
    return MappingProxyType(found)


def awg_size(awg: int) -> AwgSize:
    """The published row of an AWG number.

    Raises
    ------
    NotFound : the number is not in the table
    """
    if awg not in awg_sizes():
        raise not_found("AWG size", str(awg), map(str, awg_sizes()), where="awg")
    return awg_sizes()[awg]


@cache
def strand_builds() -> tuple[StrandBuild, ...]:
    """All published builds, in file order."""
    return tuple(
        StrandBuild(
            strands=row.whole("strands"),
            strand_mm=row.number("strand_mm"),
            called_mm2=row.number("called_mm2"),
            max_mohm_per_m=row.number_or_none("max_mohm_per_m_20c"),
            current_a=row.number_or_none("current_a"),
            **sourced(row),
        )
        for row in rows("strand_builds")
    )


def strand_build(strands: int, strand_mm: float) -> StrandBuild:
    """The published row of a build: number of strands and diameter of one [mm].

    Raises
    ------
    NotFound : the build is not in the table
    """
    for build in strand_builds():
        if build.strands == strands and isclose(build.strand_mm, strand_mm):
            return build
    known = (f"{build.strands}/{build.strand_mm:.2f}" for build in strand_builds())
    raise not_found("strand build", f"{strands}/{strand_mm:.2f}", known, where="strand_builds")


@cache
def copper_constants() -> Mapping[str, CopperConstant]:
    """Constants of annealed copper by quantity."""
    found = {
        row.text("quantity"): CopperConstant(
            quantity=row.text("quantity"),
            value=row.number("value"),
            unit=row.text("unit"),
            reference_c=row.number_or_none("reference_c"),
            **sourced(row),
        )
        for row in rows("copper")
    }
    return MappingProxyType(found)


def copper(quantity: str) -> CopperConstant:
    """A constant of annealed copper, `resistivity` or `temperature_coefficient` for example.

    Raises
    ------
    NotFound : the quantity is not in the table
    """
    if quantity not in copper_constants():
        raise not_found("copper constant", quantity, copper_constants(), where="copper")
    return copper_constants()[quantity]


def _by_section(family: Mapping[float, Found], section_mm2: float, table: str) -> Found:
    if not section_mm2 > 0:
        raise OutOfRange(
            f"section {section_mm2:g} mm² is not possible",
            where=table,
            expected="give a section above 0",
        )
    for section, row in family.items():
        if isclose(section, section_mm2, rel_tol=1e-9):
            return row
    raise NotFound(
        f"there is no section {section_mm2:g} mm²",
        where=table,
        expected=f"known, nearest first: {_nearest(family, section_mm2)} mm²",
    )


def _nearest(sections: Iterable[float], section_mm2: float) -> str:
    ordered = sorted(sections, key=lambda section: abs(section / section_mm2 - 1))
    return ", ".join(f"{section:g}" for section in ordered[:4])
