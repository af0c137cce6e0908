"""Interpolation in published resistance tables."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.thermistor import (
    ThreeConstants,
    resistance_beta,
    resistance_steinhart_hart,
)
from loomwright.physics.thermistor_table import TableCurve, interpolate_alpha

# published 10 kΩ table, B25/85 = 3435 K: °C and kΩ
TABLE = {
    -40: 188.5,
    -30: 111.3,
    -20: 67.77,
    -10: 42.47,
    0: 27.28,
    10: 17.96,
    20: 12.09,
    25: 10,
    30: 8.313,
    40: 5.827,
    50: 4.160,
    60: 3.020,
    70: 2.228,
    80: 1.668,
    85: 1.451,
    90: 1.266,
    100: 0.9731,
    110: 0.7576,
}
CURVE = TableCurve(tuple(TABLE), tuple(1e3 * ohm for ohm in TABLE.values()))
METAL = TableCurve((0, 50, 100), (1000, 1194, 1385))  # a rising curve, invented


@pytest.mark.parametrize("celsius", TABLE)
def test_exact_at_the_points(celsius):
    assert CURVE.ohm(celsius) == pytest.approx(1e3 * TABLE[celsius], rel=1e-14)
    assert CURVE.temperature(1e3 * TABLE[celsius]) == pytest.approx(celsius, abs=1e-11)


@pytest.mark.parametrize("left_out", [-30, -10, 10, 30, 50, 70, 90])
def test_a_point_left_out_is_met_within_a_quarter_kelvin(left_out):
    kept = [celsius for celsius in TABLE if celsius != left_out]
    curve = TableCurve(kept, [1e3 * TABLE[celsius] for celsius in kept])
    assert curve.temperature(1e3 * TABLE[left_out]) == pytest.approx(left_out, abs=0.25)


def test_coarse_points_stay_close_to_the_equation():
    # the usual coolant sensor every 20 K, against its own three constants between
    coolant = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)
    knots = np.arange(-20, 101, 20)
    curve = TableCurve(knots, resistance_steinhart_hart(knots, coolant))
    between = np.linspace(-20, 100, 241)
    miss = curve.temperature(resistance_steinhart_hart(between, coolant)) - between
    assert np.abs(miss).max() < 0.25


def test_two_points_are_the_beta_model():
    curve = TableCurve((25, 85), (10e3, resistance_beta(85, ohm_at_reference=10e3, beta_k=3435)))
    celsius = np.array([-40.0, 0, 50, 150])  # beyond both ends too
    expected = resistance_beta(celsius, ohm_at_reference=10e3, beta_k=3435)
    assert curve.ohm(celsius) == pytest.approx(expected)
    assert curve.alpha(50) == pytest.approx(-3435 / 323.15**2)


@given(first=st.floats(-80, 200), second=st.floats(-80, 200))
def test_falls_all_along(first, second):
    low, high = sorted((first, second))
    if high - low > 1e-6:
        assert CURVE.ohm(low) > CURVE.ohm(high)
        assert METAL.ohm(low) < METAL.ohm(high)


@pytest.mark.parametrize("curve", [CURVE, METAL])
@given(celsius=st.floats(-80, 200))
def test_round_trip(curve, celsius):
    assert curve.temperature(curve.ohm(celsius)) == pytest.approx(celsius, abs=1e-8)


@given(celsius=st.floats(-60, 150))
def test_alpha_is_the_slope(celsius):
    step = 1e-4
    if min(abs(celsius - knot) for knot in TABLE) < 2 * step:
        return
    slope = np.log(CURVE.ohm(celsius + step) / CURVE.ohm(celsius - step)) / (2 * step)
    assert CURVE.alpha(celsius) == pytest.approx(slope, rel=1e-5)


def test_alpha_at_a_point_is_that_of_its_warm_side():
    assert CURVE.alpha(20) == pytest.approx(CURVE.alpha(20 + 1e-9), rel=1e-9)


def test_the_range_is_told():
    assert CURVE.range_c == (-40, 110)
    assert CURVE.range_ohm == (757.6, 188_500)
    assert METAL.range_ohm == (1000, 1385)


def test_short_and_open():
    assert list(CURVE.temperature([0, np.inf])) == [np.inf, -273.15]


def test_array_equals_scalar():
    celsius = np.array([-50.0, -40, 7, 25, 110, 130])
    assert list(CURVE.ohm(celsius)) == [CURVE.ohm(t) for t in celsius]
    ohms = CURVE.ohm(celsius)
    assert list(CURVE.temperature(ohms)) == [CURVE.temperature(ohm) for ohm in ohms]


def test_a_makers_interpolation_example():
    # a maker's standardized R/T text: R(5) = 10.6873 kΩ, 4.4 %/K, R(7) printed 9.7932 kΩ
    kilo_ohm = 2.2739 * 4.7
    assert kilo_ohm == pytest.approx(10.6873, abs=6e-5)
    found = interpolate_alpha(7, point_c=5, point_ohm=kilo_ohm, alpha_per_k=-0.044)
    assert found == pytest.approx(9.793, abs=6e-4)


@pytest.mark.parametrize(
    "call",
    [
        lambda: TableCurve((20,), (2500,)),
        lambda: TableCurve((0, 20), (5887,)),
        lambda: TableCurve((20, 0), (2508, 5887)),
        lambda: TableCurve((0, 0), (5887, 2508)),
        lambda: TableCurve((0, 20), (5887, 0)),
        lambda: TableCurve((0, 20, 40), (5887, 2508, 2600)),
        lambda: TableCurve((0, 20), (5887, 5887)),
        lambda: TableCurve((-300, 20), (5887, 2508)),
        lambda: CURVE.ohm(-273.15),
        lambda: CURVE.temperature(-1),
        lambda: interpolate_alpha(7, point_c=5, point_ohm=0, alpha_per_k=-0.044),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
