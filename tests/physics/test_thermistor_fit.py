"""Fits against the NIST reference data set for thermistors and against published tables."""

import numpy as np
import pytest

from loomwright.loom.errors import OutOfRange
from loomwright.physics.thermistor import temperature_steinhart_hart
from loomwright.physics.thermistor_fit import fit_exponential, fit_three_constants

# NIST Statistical Reference Datasets, MGH10 (Meyer 1970): data, starts, certified values
X = np.arange(50.0, 126, 5)
Y = [34780, 28610, 23650, 19630, 16370, 13720, 11540, 9744]
Y += [8261, 7030, 6005, 5147, 4427, 3820, 3307, 2872]
STARTS = {"far": (2, 400_000, 25_000), "near": (0.02, 4_000, 250)}
CERTIFIED = (5.6096364710e-3, 6.1813463463e3, 3.4522363462e2)
CERTIFIED_SD = (1.5687892471e-4, 2.3309021107e1, 7.8486103508e-1)
CERTIFIED_RESIDUAL_SUM = 87.945855171
CERTIFIED_RESIDUAL_SD = 2.6009740065


@pytest.mark.parametrize("start", STARTS)
def test_nist_mgh10(start):
    fit = fit_exponential(X, Y, start=STARTS[start])
    assert (fit.b1, fit.b2, fit.b3) == pytest.approx(CERTIFIED, rel=1e-7)
    assert (fit.b1_sd, fit.b2_sd, fit.b3_sd) == pytest.approx(CERTIFIED_SD, rel=1e-6)
    assert fit.residual_sum == pytest.approx(CERTIFIED_RESIDUAL_SUM, rel=1e-10)
    assert fit.residual_sd == pytest.approx(CERTIFIED_RESIDUAL_SD, rel=1e-10)
    assert fit.range_c == (50, 125)


def test_the_fit_predicts_both_ways():
    fit = fit_exponential(X, Y, start=STARTS["near"])
    assert fit.ohm(X) == pytest.approx(np.array(Y, dtype=float), abs=8)
    assert fit.temperature(fit.ohm(X)) == pytest.approx(X, abs=1e-9)
    with pytest.raises(OutOfRange):
        fit.ohm(-346)
    with pytest.raises(OutOfRange):
        fit.temperature(0.005)


def test_three_constants_of_the_same_points():
    # worked elsewhere: 8.30020e-4, 2.03760e-4, 1.17064e-7, largest error 0.010 K
    found = fit_three_constants(X, Y)
    assert found.a == pytest.approx(8.30020e-4, abs=6e-9)
    assert found.b == pytest.approx(2.03760e-4, abs=6e-10)
    assert found.c == pytest.approx(1.17064e-7, abs=6e-13)
    miss = np.abs(temperature_steinhart_hart(Y, found) - X).max()
    assert miss == pytest.approx(0.010, abs=6e-4)


def test_three_constants_of_a_published_table():
    # 10 kΩ, B25/85 = 3435 K; worked elsewhere: best equation within 0.12 K over −50 … 110 °C
    celsius = np.array([-40, -30, -20, -10, 0, 10, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100, 110])
    kilo_ohm = [188.5, 111.3, 67.77, 42.47, 27.28, 17.96, 12.09, 10, 8.313, 5.827, 4.160]
    kilo_ohm += [3.020, 2.228, 1.668, 1.266, 0.9731, 0.7576]
    found = fit_three_constants(celsius, 1e3 * np.array(kilo_ohm))
    miss = temperature_steinhart_hart(1e3 * np.array(kilo_ohm), found) - celsius
    assert np.abs(miss).max() < 0.16


def test_three_constants_of_two_workshop_tables():
    # two published tables of the usual coolant sensor lie on one curve within 0.13 K
    celsius = np.array([-20, -15, -10, -10, 20, 60, 100])
    ohm = [15462, 12002, 9397, 9376, 2500, 599, 187]
    found = fit_three_constants(celsius, ohm)
    assert np.abs(temperature_steinhart_hart(ohm, found) - celsius).max() < 0.14
    assert found.b == pytest.approx(2.6310e-4, rel=1e-3)


def test_points_on_a_curve_give_back_its_parameters():
    x = np.linspace(-20, 100, 9)
    y = 0.02 * np.exp(4200 / (x + 320))
    fit = fit_exponential(x, y, start=(0.1, 3000, 250))
    assert (fit.b1, fit.b2, fit.b3) == pytest.approx((0.02, 4200, 320), rel=1e-6)


@pytest.mark.parametrize(
    "call",
    [
        lambda: fit_three_constants([0, 20], [5887, 2508]),
        lambda: fit_three_constants([0, 20, 20], [5887, 2508, 2500]),
        lambda: fit_three_constants([0, 20, 80], [5887, 2508]),
        lambda: fit_three_constants([0, 20, 80], [5887, 2508, -1]),
        lambda: fit_exponential([0, 20, 80], [5887, 2508, 324], start=(0.02, 4000, 250)),
        lambda: fit_exponential(X, Y, start=(0, 4000, 250)),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
