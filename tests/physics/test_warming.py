"""Fits of warming curves: made curves come back, intervals hold what they promise."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from loomwright.loom.errors import OutOfRange
from loomwright.physics.warming import Warming, fit_pair, fit_warming

HIGHEST = 700.0


def made(constant, *, times, lag=0.0, air=120.0, start=23.0, known=True, noise=None):
    """A run by the law itself."""
    times = np.asarray(times, float)
    read = air - (air - start) * np.exp(-np.maximum(times - lag, 0) / constant)
    if noise is not None:
        read = read + noise.normal(0, 0.4, len(times))
    return Warming(times_s=times, temperatures_c=read, air_c=air if known else None)


def fitted(*runs, reading=0.3):
    return fit_warming(runs, reading_k=reading, highest_air_c=HIGHEST)


@settings(max_examples=25, deadline=None)
@given(constant=st.floats(20, 300), lag=st.floats(0, 25), air=st.floats(60, 300))
def test_a_made_curve_comes_back(constant, lag, air):
    run = made(constant, times=np.arange(0, 130, 10), lag=lag, air=air)
    found = fitted(run).time_constant_s
    assert found.value == pytest.approx(constant, rel=1e-3)
    assert found.low < constant < found.high


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_an_independent_fit_with_the_lag_at_nothing_agrees(seed):
    # scipy's least squares of the same law with a free start; the lag is 0 at its bound
    noise = np.random.default_rng(seed)
    run = made(40.0, times=np.linspace(0, 100, 14), noise=noise)

    def misfits(unknowns):
        start, log_constant, lag = unknowns
        since = np.maximum(run.times_s - lag, 0)
        return 120 - (120 - start) * np.exp(-since / np.exp(log_constant)) - run.temperatures_c

    starts = [(23.0, np.log(40.0), lag) for lag in (0.0, 2.0, 9.0)]
    theirs = min(
        (least_squares(misfits, each, bounds=([-50, 0, 0], [100, 8, 60])) for each in starts),
        key=lambda each: each.cost,
    )
    ours = fitted(run)
    assert ours.residual_sd**2 * ours.freedom <= 2 * theirs.cost * (1 + 1e-6)
    assert ours.time_constant_s.value == pytest.approx(np.exp(theirs.x[1]), rel=0.02)


@pytest.mark.parametrize("lag", [0.0, 6.0])
def test_the_interval_holds_the_truth_nineteen_times_in_twenty(lag):
    noise = np.random.default_rng(20)
    hits = 0
    for _ in range(300):
        run = made(100.0, times=np.arange(0, 130, 10), lag=lag, noise=noise)
        found = fitted(run, reading=0.1).time_constant_s
        hits += found.low <= 100.0 <= found.high
    assert 0.90 <= hits / 300 <= 0.99


def test_the_ratio_holds_the_truth_nineteen_times_in_twenty():
    noise = np.random.default_rng(21)
    hits = 0
    for _ in range(200):
        bare = made(15.0, times=np.arange(0, 22, 2), noise=noise)
        boot = made(150.0, times=np.arange(0, 130, 10), lag=6.0, noise=noise)
        found = fit_pair([bare], [boot], reading_k=0.1, highest_air_c=HIGHEST).slower
        hits += found.low <= 10.0 <= found.high
    assert 0.90 <= hits / 200 <= 0.99


def test_air_that_was_not_measured_is_found_from_curves_that_bend():
    bare = made(15.0, times=np.arange(0, 40, 3), known=False)
    boot = made(150.0, times=np.arange(0, 130, 10), known=False)
    found = fit_pair([bare], [boot], reading_k=0.3, highest_air_c=HIGHEST)
    assert found.slower.value == pytest.approx(10.0, rel=0.01)
    assert found.slower.low < 10.0 < found.slower.high
    assert found.shielded.time_constant_s.value == pytest.approx(150, rel=0.02)


def test_a_nearly_straight_curve_is_open_upward():
    rising = np.linspace(23, 25, 8)
    run = Warming(times_s=np.arange(8) * 10.0, temperatures_c=rising, air_c=120)
    assert fitted(run, reading=1.0).time_constant_s.high == np.inf


def test_without_the_air_a_straight_curve_tells_far_less():
    times = np.arange(0, 70, 10)
    with_air = fitted(made(300.0, times=times)).time_constant_s
    without = fitted(made(300.0, times=times, known=False)).time_constant_s
    assert without.high / without.low > 5 * with_air.high / with_air.low


@pytest.mark.parametrize("times", [[0, 60], [0, 30, 60]])
def test_too_few_readings_tell_nothing(times):
    run = made(100.0, times=times)
    assert fitted(run) is None
    assert fit_pair([run], [run], reading_k=0.3, highest_air_c=HIGHEST) is None


def test_a_second_run_narrows_the_interval():
    noise = np.random.default_rng(5)
    runs = [made(100.0, times=np.arange(0, 90, 15), noise=noise) for _ in range(2)]
    both = fitted(*runs, reading=0.4).time_constant_s
    one = fitted(runs[0], reading=0.4).time_constant_s
    assert both.high / both.low < one.high / one.low


def test_a_coarser_thermometer_is_less_sure():
    run = made(100.0, times=np.arange(0, 130, 10))
    fine, coarse = (fitted(run, reading=each).time_constant_s for each in (0.2, 2.0))
    assert coarse.high / coarse.low > fine.high / fine.low


@pytest.mark.parametrize(
    "call",
    [
        lambda: Warming(times_s=[0, 10], temperatures_c=[20]),
        lambda: Warming(times_s=[0, 10, 5], temperatures_c=[20, 21, 22]),
        lambda: Warming(times_s=[-1, 10], temperatures_c=[20, 21]),
        lambda: fitted(made(10, times=range(5)), reading=0),
        lambda: fit_warming([], reading_k=0.1, highest_air_c=HIGHEST, confidence=1),
        lambda: fit_warming(
            [made(10, times=range(8), known=False)], reading_k=0.1, highest_air_c=20
        ),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
