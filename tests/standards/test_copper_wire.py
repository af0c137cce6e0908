"""Each conductor row against figures typed a second time from reproductions of the standards."""

from itertools import pairwise
from math import pi

import pytest

from loomwright.loom.errors import NotFound, OutOfRange
from loomwright.standards import (
    awg_size,
    awg_sizes,
    conductor,
    conductors,
    copper,
    copper_constants,
    strand_build,
    strand_builds,
    vehicle_cable,
    vehicle_cables,
)

IACS_OHM_MM2_PER_KM = 17.241  # IEC 60028

# IEC 60228, highest resistance at 20 °C in Ω/km, plain and coated; least count of wires
CLASS_2 = [
    (0.5, 36.0, 36.7, 7),
    (0.75, 24.5, 24.8, 7),
    (1, 18.1, 18.2, 7),
    (1.5, 12.1, 12.2, 7),
    (2.5, 7.41, 7.56, 7),
    (4, 4.61, 4.70, 7),
    (6, 3.08, 3.11, 7),
    (10, 1.83, 1.84, 7),
    (16, 1.15, 1.16, 7),
]
# IEC 60228, the same for flexible conductors; thickest strand in mm (from memory)
CLASS_5 = [
    (0.5, 39.0, 40.1, 0.21),
    (0.75, 26.0, 26.7, 0.21),
    (1, 19.5, 20.0, 0.21),
    (1.5, 13.3, 13.7, 0.26),
    (2.5, 7.98, 8.21, 0.26),
    (4, 4.95, 5.09, 0.31),
    (6, 3.30, 3.39, 0.31),
    (10, 1.91, 1.95, 0.41),
    (16, 1.21, 1.24, 0.41),
]
# ISO 6722-1, highest resistance at 20 °C in mΩ/m, usual build (from memory)
VEHICLE = [
    (0.22, 84.8, 7, 0.20),
    (0.35, 54.4, 7, 0.25),
    (0.5, 37.1, 16, 0.20),
    (0.75, 24.7, 24, 0.20),
    (1, 18.5, 32, 0.20),
    (1.5, 12.7, 30, 0.25),
    (2.5, 7.60, 50, 0.25),
    (4, 4.71, 56, 0.30),
    (6, 3.14, 84, 0.30),
]
# ASTM B258 geometry; Ω/1000 ft of a published wire table
AWG = [
    (10, 2.588, 5.261, 10383, 0.9989),
    (12, 2.053, 3.309, 6530, 1.588),
    (14, 1.628, 2.081, 4107, 2.525),
    (16, 1.291, 1.309, 2583, 4.016),
    (18, 1.024, 0.8230, 1624, 6.385),
    (20, 0.812, 0.5176, 1022, 10.15),
    (22, 0.644, 0.3255, 642.4, 16.14),
    (24, 0.511, 0.2047, 404.0, 25.67),
]
# a towing-electrics supplier's cable page: strands, called mm², mΩ/m, A
TOWING = [
    (9, 0.65, 29.4, 5.75),
    (14, 1.0, 18.9, 8.75),
    (21, 1.5, 12.5, 12.75),
    (28, 2.0, 9.4, 17.5),
    (35, 2.5, 7.5, 21.75),
    (44, 3.0, 6.0, 25.5),
]
# a touring site's cable page: strands, strand mm, called mm², A
TOURING = [(26, 0.30, 1.85, 15), (41, 0.30, 2.90, 25), (65, 0.30, 4.6, 50), (57, 0.32, 4.6, 50)]


@pytest.mark.parametrize(("section", "plain", "coated", "wires"), CLASS_2)
def test_class_2_row(section, plain, coated, wires):
    row = conductor(section, conductor_class=2)
    assert (row.plain_max_ohm_per_km, row.coated_max_ohm_per_km) == (plain, coated)
    assert (row.min_wires, row.max_strand_mm) == (wires, None)


@pytest.mark.parametrize(("section", "plain", "coated", "strand"), CLASS_5)
def test_class_5_row(section, plain, coated, strand):
    row = conductor(section)
    assert (row.plain_max_ohm_per_km, row.coated_max_ohm_per_km) == (plain, coated)
    assert (row.min_wires, row.max_strand_mm) == (None, strand)
    assert "memory" in row.note


def test_iec_60228_holds_no_other_rows():
    assert len(conductors()) == len(CLASS_2) + len(CLASS_5)


@pytest.mark.parametrize("number", [2, 5])
def test_iec_60228_falls_with_section_and_stays_in_its_family(number):
    family = [row for row in conductors() if row.conductor_class == number]
    for small, big in pairwise(family):
        assert big.section_mm2 > small.section_mm2
        assert big.plain_max_ohm_per_km < small.plain_max_ohm_per_km
    for row in family:
        assert 1.0 < row.coated_max_ohm_per_km / row.plain_max_ohm_per_km < 1.035
        # resistance times nominal section against IACS: 1.04 to 1.16 for every row
        ratio = row.plain_max_ohm_per_km * row.section_mm2 / IACS_OHM_MM2_PER_KM
        assert 1.03 < ratio < 1.17


@pytest.mark.parametrize(
    ("section", "ratio"),
    [(0.5, 1.131), (1, 1.131), (1.5, 1.157), (4, 1.148), (10, 1.108), (16, 1.123)],
)
def test_class_5_behaves_smaller_than_its_name(section, ratio):
    # ratio computed from the same published rows by others
    row = conductor(section)
    assert row.plain_max_ohm_per_km * section / IACS_OHM_MM2_PER_KM == pytest.approx(
        ratio, abs=6e-4
    )


@pytest.mark.parametrize(("section", "resistance", "strands", "strand"), VEHICLE)
def test_vehicle_cable_row(section, resistance, strands, strand):
    row = vehicle_cable(section)
    assert (row.max_mohm_per_m, row.strands, row.strand_mm) == (resistance, strands, strand)
    assert row.standing == "assumed"


def test_vehicle_cables_grow_outside_with_their_section():
    # values from memory, so only what geometry says: copper of the usual build fits in the thin
    # wall, the thick wall is thicker by 0.4 to 0.8 mm, both rise with the section
    rows = vehicle_cables()
    for row in rows:
        copper_mm = row.strand_mm * row.strands**0.5
        assert 1.2 * copper_mm < row.thin_outside_max_mm < 2.4 * copper_mm
    thick = [row for row in rows if row.thick_outside_max_mm is not None]
    for row in thick:
        assert 0.39 < row.thick_outside_max_mm - row.thin_outside_max_mm < 0.81
    for smaller, larger in pairwise(rows):
        assert smaller.thin_outside_max_mm < larger.thin_outside_max_mm
    for smaller, larger in pairwise(thick):
        assert smaller.thick_outside_max_mm < larger.thick_outside_max_mm


def test_vehicle_cables_lie_7_to_9_percent_above_their_copper():
    assert len(vehicle_cables()) == len(VEHICLE)
    for row in vehicle_cables():
        area = row.strands * pi * row.strand_mm**2 / 4
        assert 1.07 < row.max_mohm_per_m * area / IACS_OHM_MM2_PER_KM < 1.09


@pytest.mark.parametrize(("awg", "diameter", "area", "cmil", "ohm"), AWG)
def test_awg_row(awg, diameter, area, cmil, ohm):
    row = awg_size(awg)
    assert (row.diameter_mm, row.area_mm2, row.circular_mils) == (diameter, area, cmil)
    assert row.ohm_per_1000ft == ohm


def test_awg_two_numbers_apart_differ_by_one_ratio():
    assert len(awg_sizes()) == len(AWG)
    step = 92 ** (4 / 39)  # ASTM B258: area ratio of two sizes
    for thick, thin in pairwise(awg_sizes().values()):
        assert thin.ohm_per_1000ft / thick.ohm_per_1000ft == pytest.approx(step, rel=1e-3)
        assert thick.area_mm2 / thin.area_mm2 == pytest.approx(step, rel=1e-3)


@pytest.mark.parametrize(("strands", "called", "resistance", "current"), TOWING)
def test_strand_build_with_resistance(strands, called, resistance, current):
    row = strand_build(strands, 0.30)
    assert (row.called_mm2, row.max_mohm_per_m, row.current_a) == (called, resistance, current)
    area = strands * pi * 0.30**2 / 4
    assert 1.07 < resistance * area / IACS_OHM_MM2_PER_KM < 1.09


@pytest.mark.parametrize(
    ("strands", "drop"),
    [(9, 0.845), (14, 0.827), (21, 0.797), (28, 0.823), (35, 0.816), (44, 0.765)],
)
def test_strand_build_gives_the_volt_drop_its_page_prints(strands, drop):
    # the page tabulates the drop over 5 m at the stated current
    row = strand_build(strands, 0.30)
    assert 5 * row.max_mohm_per_m * row.current_a / 1000 == pytest.approx(drop, abs=6e-4)


@pytest.mark.parametrize(("strands", "strand", "called", "current"), TOURING)
def test_strand_build_with_current_only(strands, strand, called, current):
    row = strand_build(strands, strand)
    assert (row.called_mm2, row.max_mohm_per_m, row.current_a) == (called, None, current)


def test_strand_builds_are_called_by_their_area():
    assert len(strand_builds()) == len(TOWING) + len(TOURING)
    for row in strand_builds():
        area = row.strands * pi * row.strand_mm**2 / 4
        assert row.called_mm2 / area == pytest.approx(1, abs=0.04)


@pytest.mark.parametrize(
    ("quantity", "value", "unit"),
    [
        ("resistivity", 1.7241e-8, "Ω·m"),  # IEC 60028
        ("temperature_coefficient", 0.00393, "1/K"),  # IEC 60028
        ("zero_resistance_temperature", -234.5, "°C"),  # AC 43.13-1B, par. 11-66
        ("density", 8890, "kg/m³"),  # IEC 60028, from memory
        ("specific_heat", 385, "J/(kg·K)"),  # handbooks, from memory
        ("thermal_conductivity", 390, "W/(m·K)"),  # handbooks, from memory
        ("melting_point", 1083, "°C"),  # handbooks
    ],
)
def test_copper_constant(quantity, value, unit):
    row = copper(quantity)
    assert (row.value, row.unit) == (value, unit)


def test_copper_constants_agree_with_each_other():
    assert len(copper_constants()) == 7
    # 1/58 Ω·mm²/m is the exact form of the resistivity
    assert copper("resistivity").value == pytest.approx(1e-6 / 58, rel=5e-5)
    # a straight line through 20 °C reaches nothing at −234.5 °C
    zero = copper("zero_resistance_temperature").value
    assert copper("temperature_coefficient").value == pytest.approx(1 / (20 - zero), rel=3e-4)


def test_unknown_rows_name_what_is_known():
    with pytest.raises(NotFound) as section:
        conductor(1.2)
    assert section.value.where == "iec60228"
    assert "1, 1.5" in section.value.expected
    with pytest.raises(NotFound):
        conductor(1, conductor_class=4)
    with pytest.raises(NotFound):
        vehicle_cable(0.6)
    with pytest.raises(NotFound):
        awg_size(11)
    with pytest.raises(NotFound) as build:
        strand_build(30, 0.30)
    assert "28/0.30" in build.value.expected
    with pytest.raises(NotFound) as constant:
        copper("resistivty")
    assert constant.value.expected.startswith("known, nearest first: resistivity")


@pytest.mark.parametrize("section", [0, -1, float("nan")])
def test_impossible_section(section):
    with pytest.raises(OutOfRange):
        conductor(section)
    with pytest.raises(OutOfRange):
        vehicle_cable(section)
