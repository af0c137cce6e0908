"""Currents and fuses: cells typed a second time, laws of the curves, and the choice of rows."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import NotFound, OutOfRange
from loomwright.standards import (
    bundle_factor,
    bundle_factors,
    free_air,
    fuse_limits,
    fuse_limits_of,
    fuse_ratings,
    rated_currents,
)

# FAA AC 43.13-1B Table 11-9, amperes for 105, 150 and 200 °C wire by AWG
FAA = {24: (2.5, 4, 5), 20: (4, 7, 9), 18: (6, 9, 12), 14: (10, 14, 18), 10: (17, 26, 32)}
# boat-cable pages after ABYC E-11, single wire outside the engine space: A by AWG
BOAT = {18: 20, 16: 25, 14: 35, 12: 45, 10: 60, 4: 160}
# opening times of blade fuses, from memory: type, percent, least and most seconds
FUSES = [("C", 135, 0.75, 600), ("C", 200, 0.15, 5), ("F", 350, 0.04, 0.5), ("C", 600, 0.02, 0.1),
         ("E", 135, 60, 1800), ("E", 200, 2, 60), ("E", 600, 0.04, 1)]  # fmt: skip
# a public worksheet of the curves: wires, loading, factor
WORKSHEET = [(2, 20, 0.9675), (3, 100, 0.725), (8, 60, 0.595), (10, 40, 0.6225), (19, 80, 0.38)]
WIRES = st.integers(1, 60)
LOADING = st.floats(0, 100)


def test_rows_of_the_circular():
    rows = [row for row in rated_currents() if row.rule == "ac-43-13-1b" and row.wires > 1]
    for awg, cells in FAA.items():
        found = {row.wire_class_c: row.current_a for row in rows if row.awg == awg}
        assert tuple(found[celsius] for celsius in (105, 150, 200)) == cells


def test_rows_of_boat_cable():
    rows = {row.awg: row.current_a for row in rated_currents() if row.rule == "abyc-e11"}
    assert {awg: rows[awg] for awg in BOAT} == BOAT


def test_rows_of_fuses():
    rows = {(row.fuse_type, row.percent): (row.least_s, row.most_s) for row in fuse_limits()}
    for kind, percent, least, most in FUSES:
        assert rows[kind, percent] == (least, most)


def test_rows_of_the_worksheet_and_the_circulars_own_reading():
    for wires, loading, factor in WORKSHEET:
        assert bundle_factor(wires, loading) == pytest.approx(factor)
    assert bundle_factor(8, 60) == pytest.approx(0.6, abs=0.01)  # AC 43.13-1B, p. 11-27
    assert bundle_factor(33, 20) == pytest.approx(0.52)  # a worked example, from memory
    assert bundle_factor(35, 20) == bundle_factor(33, 20)  # Note 1: 33 or more


def test_the_circulars_example_from_chart_to_bundle():
    chart = next(row for row in rated_currents() if row.awg == 14 and row.ambient_c == 50)
    at_height = chart.current_a * 0.91  # 20 000 ft, printed
    assert at_height * bundle_factor(8, 60) == pytest.approx(26, abs=0.6)  # printed as 26 A


def test_two_rules_for_bundles_agree_roughly():
    boat = {row.wires: row.factor for row in bundle_factors() if row.rule == "abyc-e11"}
    for wires in (3, 4, 6, 7):
        assert boat[wires] == pytest.approx(bundle_factor(int(wires), 100), abs=0.07)


def test_ratings_of_the_circular_follow_from_a_single_wire_and_a_bundle():
    # 150 °C wire in 70 °C surroundings, 33 wires loaded 20 %, less at 60 000 ft: a little below
    for awg, section in ((20, 0.616), (18, 0.963), (16, 1.229), (14, 1.941), (12, 2.976)):
        point = free_air(section)
        alone = point.current_a * (80 / point.rise_k) ** 0.5
        printed = FAA.get(awg, {16: (7, 11, 14), 12: (13, 19, 25)}.get(awg))[1]
        assert 0.6 < printed / (alone * bundle_factor(33, 20)) < 1.0


def test_every_fuse_opens_later_at_less_current_and_least_before_most():
    for kind in ("C", "E", "F"):
        rows = fuse_limits_of(kind)
        assert [row.percent for row in rows] == sorted(row.percent for row in rows)
        for one, other in pairwise(rows):
            assert one.least_s >= other.least_s
            assert one.most_s is None or one.most_s > other.most_s
        for row in rows:
            assert row.most_s is None or row.least_s < row.most_s
            assert row.percent > 110 or (row.least_s, row.most_s) == (360_000, None)
        assert any(row.fuse_type == kind for row in fuse_ratings())


def test_what_was_not_seen_says_so():
    assert all("from memory" in row.note for row in (*fuse_limits(), *fuse_ratings()))
    assumed = [row for row in bundle_factors() if row.standing == "assumed"]
    assert {row.wires for row in assumed} == {33}
    assert all("not seen" in row.note or "from memory" in row.note for row in assumed)


@given(WIRES, WIRES, LOADING, LOADING)
def test_more_wires_and_more_loading_never_leave_more(one, other, low, high):
    (few, many), (light, heavy) = sorted((one, other)), sorted((low, high))
    best, worst = bundle_factor(few, light), bundle_factor(many, heavy)
    assert 0 < worst <= best <= 1


@given(LOADING)
def test_a_wire_alone_keeps_its_current(loading):
    assert bundle_factor(1, loading) == 1


@given(st.floats(0.1, 25), st.floats(0.1, 25))
def test_thicker_wires_bear_more_but_less_for_each_square_millimetre(one, other):
    thin, thick = sorted((one, other))
    low, high = free_air(thin).current_a, free_air(thick).current_a
    assert low <= high
    assert high / thick <= low / thin * (1 + 1e-9)


def test_a_rating_outside_the_table_says_so():
    assert free_air(0.5).beyond
    assert free_air(30).beyond
    assert not free_air(1.5).beyond
    assert free_air(1.876).current_a == pytest.approx(35, rel=1e-3)


def test_a_thin_wire_carried_on_agrees_with_another_rule():
    # single AWG 20 of 200 °C at 60 °C bears 21.5 A in a worked example, from memory
    alone = 21.5 * (75 / 140 * (1 + 0.00393 * 180) / (1 + 0.00393 * 85)) ** 0.5
    assert free_air(0.616).current_a == pytest.approx(alone, rel=0.1)


def test_impossible_bundles_sections_and_types():
    with pytest.raises(OutOfRange):
        bundle_factor(0, 20)
    with pytest.raises(OutOfRange):
        bundle_factor(5, 101)
    with pytest.raises(OutOfRange):
        free_air(0)
    with pytest.raises(NotFound) as caught:
        fuse_limits_of("G")
    assert caught.value.expected.startswith("known, nearest first:")
