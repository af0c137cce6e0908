"""Telling a bad contact from bad insulation from a bad sensor."""

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import chi2, norm

from loomwright.loom.errors import OutOfRange
from loomwright.physics.separation import (
    CircuitReadings,
    expected_resistance,
    separate,
)
from loomwright.physics.thermistor import ThreeConstants, resistance_steinhart_hart

COOLANT = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)


def ohm_at(celsius):
    return resistance_steinhart_hart(celsius, COOLANT)


def readings_of(celsius, *, noise=None, kelvin=0.5, **causes):
    """Readings made by the causes, meter ±(0.5 % + 0.3 Ω); `noise` seeds errors of that size."""
    celsius = np.asarray(celsius, dtype=float)
    true = celsius.copy()
    ohm = expected_resistance(true, ohm_at=ohm_at, **causes)
    doubt = 0.3 + 0.005 * ohm
    if noise is not None:
        draw = np.random.default_rng(noise)
        true = celsius - kelvin * draw.standard_normal(celsius.size)
        ohm = expected_resistance(true, ohm_at=ohm_at, **causes)
        ohm = ohm + doubt * draw.standard_normal(celsius.size)
    return CircuitReadings.of(ohm, celsius, ohm_uncertainty=doubt, temperature_uncertainty_k=kelvin)


def explanation(found, *causes):
    return next(fit for fit in found if fit.causes == causes)


CAUSES = {
    "series": {"series_ohm": 60},
    "leak": {"leak_siemens": 1 / 15e3},
    "shift": {"shift_k": -8},
}


@pytest.mark.parametrize("cause", CAUSES)
def test_one_cold_and_one_hot_reading_name_a_single_cause(cause):
    found = separate(readings_of([0, 80], **CAUSES[cause]), ohm_at=ohm_at)
    assert found[0].causes == (cause,)
    best = found[0]
    assert best.chi_square == pytest.approx(0, abs=1e-6)
    expected = {"series_ohm": 0, "leak_siemens": 0, "shift_k": 0} | CAUSES[cause]
    assert best.series_ohm == pytest.approx(expected["series_ohm"], abs=1e-3)
    assert best.leak_siemens == pytest.approx(expected["leak_siemens"], abs=1e-9)
    assert best.shift_k == pytest.approx(expected["shift_k"], abs=1e-4)
    others = [fit for fit in found if len(fit.causes) == 1 and fit is not best]
    assert all(fit.p_value < 0.01 for fit in others)


def test_two_readings_try_no_pairs_and_three_do():
    two = separate(readings_of([0, 80]), ohm_at=ohm_at)
    three = separate(readings_of([0, 40, 80]), ohm_at=ohm_at)
    assert {fit.causes for fit in two} == {(), ("series",), ("leak",), ("shift",)}
    assert {len(fit.causes) for fit in three} == {0, 1, 2}
    assert len(three) == 7


def test_a_sound_circuit_is_called_sound():
    found = separate(readings_of([0, 80]), ohm_at=ohm_at)
    assert found[0].causes == ()
    assert found[0].chi_square == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    "pair", [("series", "leak"), ("series", "shift"), ("leak", "shift")], ids="+".join
)
def test_three_readings_separate_two_causes(pair):
    causes = CAUSES[pair[0]] | CAUSES[pair[1]]
    found = separate(readings_of([-5, 30, 85], kelvin=0.1, **causes), ohm_at=ohm_at)
    assert found[0].causes == pair
    for name, value in causes.items():
        assert getattr(found[0], name) == pytest.approx(value, rel=1e-3)


def test_no_cause_turns_negative():
    # a circuit that reads lower than sound cannot have a negative series resistance
    found = separate(readings_of([0, 80], leak_siemens=1 / 5e3), ohm_at=ohm_at)
    series = explanation(found, "series")
    assert series.series_ohm == 0
    assert series.chi_square == pytest.approx(explanation(found).chi_square)
    found = separate(readings_of([0, 80], series_ohm=100), ohm_at=ohm_at)
    assert explanation(found, "leak").leak_siemens == 0
    assert explanation(found, "leak").leak_ohm == np.inf


def test_same_temperature_twice_cannot_tell_and_says_so():
    found = separate(readings_of([20, 20, 20], series_ohm=300), ohm_at=ohm_at)
    series, leak_free = explanation(found, "series"), explanation(found, "shift")
    assert series.chi_square == pytest.approx(leak_free.chi_square, abs=1e-6)
    assert explanation(found, "series", "shift").series_sd == np.inf


def test_shift_and_uncertainty_by_hand():
    # meter perfect, thermometer ±1 K on both readings: a shift is known to 1/√2 K
    readings = CircuitReadings.of(
        ohm_at(np.array([3.0, 83.0])),
        [0, 80],
        ohm_uncertainty=1e-6,
        temperature_uncertainty_k=1,
    )
    fit = explanation(separate(readings, ohm_at=ohm_at), "shift")
    assert fit.shift_k == pytest.approx(3, abs=1e-5)
    assert fit.shift_sd == pytest.approx(1 / np.sqrt(2), rel=1e-3)


def test_series_uncertainty_by_hand():
    # thermometer perfect: the mean of two differences with ±20 and ±2 Ω, weighted
    readings = CircuitReadings.of(
        ohm_at(np.array([0.0, 80.0])) + np.array([60, 50]),
        [0, 80],
        ohm_uncertainty=[20, 2],
        temperature_uncertainty_k=0,
    )
    fit = explanation(separate(readings, ohm_at=ohm_at), "series")
    weights = np.array([1 / 400, 1 / 4])
    assert fit.series_ohm == pytest.approx((weights * [60, 50]).sum() / weights.sum())
    assert fit.series_sd == pytest.approx(1 / np.sqrt(weights.sum()), rel=1e-5)
    assert fit.chi_square == pytest.approx(10**2 / (400 + 4))
    assert fit.p_value == pytest.approx(chi2.sf(fit.chi_square, 1))
    expected = norm.logpdf(fit.misfits).sum() - np.log([20, 2]).sum()
    assert fit.log_likelihood == pytest.approx(expected)
    assert fit.information_criterion == pytest.approx(2 - 2 * expected)


def test_minimum_agrees_with_a_second_method():
    readings = readings_of([0, 40, 80], noise=3, kelvin=0, series_ohm=60, leak_siemens=1 / 8e3)
    fit = explanation(separate(readings, ohm_at=ohm_at), "series", "leak")

    def misfit(x):
        model = expected_resistance(
            readings.temperature_c,
            ohm_at=ohm_at,
            series_ohm=abs(x[0]),
            leak_siemens=abs(x[1]) * 1e-4,
        )
        return (((readings.ohm - model) / readings.ohm_uncertainty) ** 2).sum()

    simplex = minimize(
        misfit, [30, 1], method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-12}
    )
    assert fit.chi_square == pytest.approx(simplex.fun, abs=1e-6)
    assert fit.series_ohm == pytest.approx(abs(simplex.x[0]), rel=1e-4)
    assert fit.leak_siemens == pytest.approx(abs(simplex.x[1]) * 1e-4, rel=1e-4)


def test_stated_uncertainty_covers_the_truth_as_often_as_it_should():
    # 120 noisy pairs of readings with a true 60 Ω: 68 % within one standard uncertainty, give or
    # take three times the scatter of such a count
    inside = 0
    for seed in range(120):
        readings = readings_of([0, 80], noise=seed, series_ohm=60)
        fit = explanation(separate(readings, ohm_at=ohm_at), "series")
        inside += abs(fit.series_ohm - 60) <= fit.series_sd
    assert abs(inside - 0.68 * 120) < 3 * np.sqrt(120 * 0.68 * 0.32)


def test_a_whole_open_or_short_still_fits():
    found = separate(readings_of([0, 80], series_ohm=20e3), ohm_at=ohm_at)
    assert found[0].causes == ("series",)
    found = separate(readings_of([0, 80], leak_siemens=1 / 3), ohm_at=ohm_at)
    assert found[0].causes == ("leak",)
    assert found[0].leak_ohm == pytest.approx(3, rel=1e-4)


@pytest.mark.parametrize(
    ("ohm", "celsius", "doubt", "kelvin"),
    [
        ([5887], [0], 1, 1),
        ([5887, 324], [0], 1, 1),
        ([5887, np.inf], [0, 80], 1, 1),
        ([5887, 0], [0, 80], 1, 1),
        ([5887, 324], [0, -300], 1, 1),
        ([5887, 324], [0, 80], 0, 1),
        ([5887, 324], [0, 80], 1, -1),
    ],
)
def test_readings_that_cannot_be(ohm, celsius, doubt, kelvin):
    with pytest.raises(OutOfRange):
        CircuitReadings.of(ohm, celsius, ohm_uncertainty=doubt, temperature_uncertainty_k=kelvin)


def test_expected_resistance_refuses_the_impossible():
    with pytest.raises(OutOfRange):
        expected_resistance(20, ohm_at=ohm_at, leak_siemens=-1)
    with pytest.raises(OutOfRange):
        expected_resistance(20, ohm_at=ohm_at, series_ohm=-1)
