"""Least pull-out forces: cells typed a second time, bounds, neighbours, and the choice of a row."""

from itertools import pairwise
from math import pi

import pytest

from loomwright.loom.errors import NotFound, OutOfRange
from loomwright.standards import pull_force, pull_forces, pull_standards

# AWG and N, a terminal maker's published specification in the form of UL 486A-486B
UL = [(26, 13.4), (22, 35.6), (20, 57.9), (18, 89.0), (16, 133.5), (14, 222.5), (10, 356.0)]
# mm² and N, IEC 60352-2, from memory
IEC = [(0.05, 6), (0.22, 28), (0.5, 60), (0.75, 85), (1.0, 108), (1.5, 150), (2.5, 230), (10, 380)]
# AWG and N, NASA-STD-8739.4 Table 13-1
NASA = [(24, 36), (22, 57)]
SOFT_COPPER_MPA = 230  # strands break about there; common practice, no published source


def family(standard):
    return [row for row in pull_forces() if row.standard == standard]


@pytest.mark.parametrize(("standard", "cells"), [("ul-486a-486b", UL), ("nasa-std-8739-4", NASA)])
def test_rows_by_awg(standard, cells):
    found = {row.awg: row.pull_n for row in family(standard)}
    assert {awg: found[awg] for awg, _ in cells} == dict(cells)


def test_rows_by_section():
    found = {row.section_mm2: row.pull_n for row in family("iec-60352-2")}
    assert {mm2: found[mm2] for mm2, _ in IEC} == dict(IEC)


def test_sections_of_awg_rows_are_those_of_the_solid_wire():
    for row in pull_forces():
        if row.awg is not None:
            diameter = 0.127 * 92 ** ((36 - row.awg) / 39)  # ASTM B258
            assert row.section_mm2 == pytest.approx(pi * diameter**2 / 4, rel=5e-4)


@pytest.mark.parametrize("standard", pull_standards())
def test_forces_rise_with_the_section_and_no_wire_is_asked_for_more_than_it_bears(standard):
    for one, other in pairwise(family(standard)):
        assert one.section_mm2 < other.section_mm2
        assert 1 < other.pull_n / one.pull_n < 2
    for row in family(standard):
        assert 15 < row.pull_n / row.section_mm2 < SOFT_COPPER_MPA


def test_the_two_tables_agree_where_they_are_known_to():
    # cross-checks made elsewhere: AWG 20, 18, 16, 10 against 0.5, 0.82, 1.3, 5.3 mm²
    by_awg = {row.awg: row.pull_n for row in family("ul-486a-486b")}
    by_section = {row.section_mm2: row.pull_n for row in family("iec-60352-2")}
    for awg, mm2 in ((20, 0.5), (18, 0.82), (16, 1.3), (10, 5.3)):
        assert by_awg[awg] == pytest.approx(by_section[mm2], rel=0.04)


def test_what_was_not_seen_says_so():
    assert all(row.standing == "assumed" for row in family("iec-60352-2"))
    assert all("from memory" in row.note for row in family("iec-60352-2"))
    assert all("from memory" in row.note for row in family("ul-486a-486b"))


@pytest.mark.parametrize(
    ("section", "standard", "awg", "newton"),
    [
        (0.75, "iec-60352-2", None, 85),
        (0.82, "iec-60352-2", None, 90),
        (0.75, "ul-486a-486b", 18, 89.0),
        (0.5, "ul-486a-486b", 20, 57.9),
        (1.0, "ul-486a-486b", 16, 133.5),
        (0.205, "nasa-std-8739-4", 24, 36),
    ],
)
def test_a_section_finds_its_row_or_the_next_larger(section, standard, awg, newton):
    row = pull_force(section, standard=standard)
    assert (row.awg, row.pull_n) == (awg, newton)


def test_no_row_is_stretched():
    with pytest.raises(NotFound) as caught:
        pull_force(0.75, standard="nasa-std-8739-4")
    assert "0.75 mm²" in caught.value.what
    assert "it lists 0.2047, 0.3255 mm²" in caught.value.expected
    with pytest.raises(NotFound):
        pull_force(0.02, standard="iec-60352-2")
    with pytest.raises(NotFound):
        pull_force(16, standard="iec-60352-2")


def test_unknown_standard_and_impossible_section():
    with pytest.raises(NotFound) as caught:
        pull_force(0.75, standard="iec-60352")
    assert caught.value.expected.startswith("known, nearest first: iec-60352-2")
    with pytest.raises(OutOfRange):
        pull_force(0, standard="iec-60352-2")
