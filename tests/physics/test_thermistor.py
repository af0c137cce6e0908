"""Thermistor equations against published tables and coefficients."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.thermistor import (
    ThreeConstants,
    alpha_steinhart_hart,
    beta_between,
    resistance_beta,
    resistance_steinhart_hart,
    temperature_band,
    temperature_beta,
    temperature_steinhart_hart,
    three_constants_through,
)

# the usual coolant sensor, 2.5 kΩ at 20 °C, fitted in trade notes to two published tables
COOLANT = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)
# 10 kΩ interchangeable bead; coefficients printed in public instrument programs
BEAD = ThreeConstants(1.129241e-3, 2.341077e-4, 8.775468e-8)

# a sensor maker's reference guide, 10 kΩ class, B25/85 = 3977 K: °C and R/R25
RATIOS = {
    -40: 33.36,
    -30: 17.61,
    -20: 9.681,
    -10: 5.525,
    0: 3.264,
    10: 1.990,
    20: 1.249,
    25: 1,
    30: 0.8056,
    40: 0.5325,
    50: 0.3601,
    60: 0.2487,
    70: 0.1751,
    80: 0.1256,
    85: 0.1070,
    90: 0.09155,
    100: 0.06781,
    105: 0.05868,
    110: 0.05095,
    120: 0.03881,
    125: 0.03403,
    130: 0.02993,
    135: 0.02640,
    155: 0.01644,
}


def test_coolant_sensor_lies_on_one_curve():
    # points of the two published tables: within 0.13 K, as the notes state
    celsius = np.array([-20, -15, -10, -10, 20, 60, 100])
    ohm = [15462, 12002, 9397, 9376, 2500, 599, 187]
    assert np.abs(temperature_steinhart_hart(ohm, COOLANT) - celsius).max() < 0.13


def test_coolant_sensor_table():
    # tabulated in trade notes from the unrounded constants; those printed have five digits
    celsius = np.arange(-20, 101, 10)
    ohm = [15455, 9394, 5887, 3793, 2508, 1698, 1175, 829, 596, 436, 324, 245, 187]
    slope = [-5.1, -4.8, -4.5, -4.3, -4.0, -3.8, -3.6, -3.4, -3.2, -3.0, -2.9, -2.7, -2.6]
    found = resistance_steinhart_hart(celsius, COOLANT)
    assert found == pytest.approx(np.array(ohm, dtype=float), rel=5e-4, abs=0.6)
    percent = 100 * alpha_steinhart_hart(celsius, COOLANT)
    assert percent == pytest.approx(np.array(slope), abs=0.051)


@pytest.mark.parametrize(
    ("low", "high", "coolest", "warmest"),
    # published pass bands and the windows they amount to, worked in trade notes
    [(250, 390, 73.7, 89.2), (2200, 2800, 17.3, 23.3), (3250, 4150, 7.9, 13.7)],
)
def test_pass_band_as_temperature(low, high, coolest, warmest):
    middle, percent = (low + high) / 2, 100 * (high - low) / (high + low)
    found = temperature_band(
        middle, percent, temperature_of=lambda ohm: temperature_steinhart_hart(ohm, COOLANT)
    )
    assert found == pytest.approx((coolest, warmest), abs=0.06)


@pytest.mark.parametrize(
    ("celsius", "manual", "recomputed"),
    # an instrument manual's table for the bead, and the equation worked elsewhere
    [
        (-40, 336103.2, 336050),
        (-30, 176804.8, 176785),
        (-20, 97006.9, 96999),
        (-10, 55303.9, 55301),
        (0, 32650.9, 32650),
        (1, 31030.8, 31030),
        (25, None, 10000),
        (50, None, 3601),
        (85, None, 1070),
        (100, None, 678.4),
        (125, None, 340.6),
        (150, None, 184.5),
    ],
)
def test_bead(celsius, manual, recomputed):
    found = resistance_steinhart_hart(celsius, BEAD)
    assert found == pytest.approx(recomputed, rel=2e-4, abs=0.5)
    if manual is not None:
        assert found == pytest.approx(manual, rel=1.7e-4)


def test_three_constants_through_a_published_table():
    # constants and errors as worked elsewhere for the points −40, 25, 85 °C
    points = [-40, 25, 85]
    found = three_constants_through(points, [10e3 * RATIOS[t] for t in points])
    assert (found.a, found.b, found.c) == pytest.approx((1.133575e-3, 2.333183e-4, 9.15125e-8))
    for celsius, error in [(-40, 0), (0, -0.02), (25, 0), (85, 0), (125, -0.05), (155, -0.10)]:
        miss = temperature_steinhart_hart(10e3 * RATIOS[celsius], found) - celsius
        assert miss == pytest.approx(error, abs=0.006)


@pytest.mark.parametrize(("hot", "beta"), [(50, 3937), (85, 3977), (100, 3992), (125, 4013)])
def test_beta_of_the_guide(hot, beta):
    # printed in the guide; the ratios have four digits
    found = beta_between(25, 1, second_c=hot, second_ohm=RATIOS[hot])
    assert found == pytest.approx(beta, abs=1.2)


def test_beta_of_another_table():
    assert beta_between(25, 10.0, second_c=85, second_ohm=1.451) == pytest.approx(3435.4, abs=0.05)


def test_single_beta_is_three_to_four_percent_off():
    how = {"ohm_at_reference": 10e3, "beta_k": 3977}
    assert resistance_beta(0, **how) == pytest.approx(33900, abs=50)
    assert resistance_beta(125, **how) == pytest.approx(351, abs=0.5)
    assert resistance_beta(0, **how) / (1e4 * RATIOS[0]) == pytest.approx(1.039, abs=6e-4)
    assert resistance_beta(125, **how) / (1e4 * RATIOS[125]) == pytest.approx(1.031, abs=6e-4)


@pytest.mark.parametrize("constants", [COOLANT, BEAD, ThreeConstants(1e-3, 2.5e-4, 0.0)])
@given(celsius=st.floats(-60, 200))
def test_round_trip(constants, celsius):
    ohm = resistance_steinhart_hart(celsius, constants)
    assert temperature_steinhart_hart(ohm, constants) == pytest.approx(celsius, abs=1e-8)


@given(c=st.floats(-2e-7, -1e-12), celsius=st.floats(0, 100))
def test_round_trip_with_a_negative_third_constant(c, celsius):
    constants = ThreeConstants(1.2e-3, 2.7e-4, c)
    ohm = resistance_steinhart_hart(celsius, constants)
    assert temperature_steinhart_hart(ohm, constants) == pytest.approx(celsius, abs=1e-7)


def test_a_negative_third_constant_ends_the_curve():
    with pytest.raises(OutOfRange):
        resistance_steinhart_hart(-150, ThreeConstants(1.2e-3, 2.7e-4, -1e-6))


@given(celsius=st.floats(-60, 200))
def test_closed_form_meets_cardano_as_printed(celsius):
    # the textbook form: sum of two cube roots
    p = BEAD.b / BEAD.c
    q = (BEAD.a - 1 / (celsius + 273.15)) / BEAD.c
    root = np.sqrt(q * q / 4 + p**3 / 27)
    log = np.cbrt(-q / 2 + root) + np.cbrt(-q / 2 - root)
    assert resistance_steinhart_hart(celsius, BEAD) == pytest.approx(np.exp(log), rel=1e-9)


@given(celsius=st.floats(-50, 150))
def test_alpha_is_the_slope(celsius):
    step = 1e-3
    up, down = (resistance_steinhart_hart(celsius + s, COOLANT) for s in (step, -step))
    slope = (np.log(up) - np.log(down)) / (2 * step)
    assert alpha_steinhart_hart(celsius, COOLANT) == pytest.approx(slope, rel=1e-6)


@given(celsius=st.floats(-60, 200), beta=st.floats(2000, 5000))
def test_beta_round_trip(celsius, beta):
    how = {"ohm_at_reference": 2500, "beta_k": beta, "reference_c": 20}
    ohm = resistance_beta(celsius, **how)
    assert temperature_beta(ohm, **how) == pytest.approx(celsius, abs=1e-8)
    if abs(celsius - 20) > 1:
        found = beta_between(celsius, ohm, second_c=20, second_ohm=2500)
        assert found == pytest.approx(beta, rel=1e-9)


def test_short_is_endlessly_hot_and_open_is_absolute_zero():
    found = temperature_steinhart_hart([0, np.inf], COOLANT)
    assert list(found) == [np.inf, -273.15]
    found = temperature_beta([0, np.inf], ohm_at_reference=2500, beta_k=3500)
    assert list(found) == [np.inf, -273.15]


def test_array_equals_scalar():
    celsius = np.array([[-20.0, 0], [20, 100]])
    found = resistance_steinhart_hart(celsius, COOLANT)
    assert found.shape == (2, 2)
    assert found[1, 0] == resistance_steinhart_hart(20.0, COOLANT)
    assert isinstance(temperature_steinhart_hart(2500, COOLANT), float)


@pytest.mark.parametrize(
    "call",
    [
        lambda: ThreeConstants(1e-3, 0, 1e-7),
        lambda: temperature_steinhart_hart(-1, COOLANT),
        lambda: resistance_steinhart_hart(-273.15, COOLANT),
        lambda: alpha_steinhart_hart(-300, COOLANT),
        lambda: three_constants_through([0, 20], [5000, 2500]),
        lambda: three_constants_through([0, 20, 20], [5000, 2500, 2400]),
        lambda: three_constants_through([0, 20, 80], [5000, 2500, 0]),
        lambda: three_constants_through([0, 20, 80], [300, 2500, 5000]),
        lambda: resistance_beta(20, ohm_at_reference=0, beta_k=3500),
        lambda: temperature_beta(20, ohm_at_reference=2500, beta_k=0),
        lambda: beta_between(20, 2500, second_c=20, second_ohm=2400),
        lambda: temperature_band(2500, -1, temperature_of=float),
        lambda: temperature_band(2500, 100, temperature_of=float),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
