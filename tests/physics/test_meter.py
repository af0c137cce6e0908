"""Meter uncertainty against a vendor's example and the GUM."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.meter import (
    combined_uncertainty,
    half_width,
    reading_uncertainty,
    rectangular_uncertainty,
    resolution_uncertainty,
    voltmeter_reading,
)


def test_vendor_example():
    # a meter vendor's article: ±(0.08 % + 2 digits), 2.000 V with 1 mV counts: 1.9964 … 2.0036 V
    half = half_width(2.000, percent=0.08, counts=2, resolution=0.001)
    assert (2 - half, 2 + half) == pytest.approx((1.9964, 2.0036), abs=5e-5)
    assert rectangular_uncertainty(half) == pytest.approx(0.00208, abs=6e-6)


def test_gum_4_3_7_example_2():
    # JCGM 100:2008 (inputs from memory): 14e-6 of reading and 2e-6 of the 1 V range
    half = half_width(0.928571, percent=14e-4, counts=1, resolution=2e-6)
    assert 1e6 * half == pytest.approx(15.0, abs=0.05)
    specified = 1e6 * rectangular_uncertainty(half)
    assert specified == pytest.approx(8.7, abs=0.05)
    assert combined_uncertainty(12, specified) == pytest.approx(15, abs=0.5)
    assert combined_uncertainty(12, 8.66) == pytest.approx(14.8, abs=0.05)


def test_second_worked_example():
    # ±(0.5 % + 2 counts), 10 mV counts, 12.47 V: a = 0.08235 V, u = 0.04754 V
    specification = {"percent": 0.5, "counts": 2, "resolution": 0.010}
    assert half_width(12.47, **specification) == pytest.approx(0.08235, abs=6e-6)
    assert reading_uncertainty(12.47, **specification) == pytest.approx(0.04754, abs=6e-6)


def test_resolution():
    assert resolution_uncertainty(1) == pytest.approx(0.289, abs=4e-4)  # GUM F.2.2.1


def test_rectangular_uncertainty_is_the_spread_of_even_draws():
    draws = np.random.default_rng(20).uniform(-1, 1, 200_000)
    assert rectangular_uncertainty(1) == pytest.approx(draws.std(), rel=5e-3)


def test_scatter_is_added_in_squares():
    found = reading_uncertainty(100, percent=0, counts=3, resolution=1, scatter=1)
    assert found == pytest.approx(2)  # √(9/3 + 1)


def test_sign_of_the_reading_does_not_matter():
    specification = {"percent": 1, "counts": 3, "resolution": 0.01}
    assert half_width(-5, **specification) == half_width(5, **specification)


def test_voltmeter_on_a_source():
    shown = voltmeter_reading(12, [0, 10e6, np.inf], input_ohm=10e6)
    assert shown == pytest.approx([12, 6, 0])


@given(volts=st.floats(-30, 30), source=st.floats(0, 1e9), meter=st.floats(1e3, 1e9))
def test_voltmeter_obeys_ohms_law(volts, source, meter):
    shown = voltmeter_reading(volts, source, input_ohm=meter)
    current = shown / meter
    assert current * (source + meter) == pytest.approx(volts, abs=1e-9)


def test_array_equals_scalar():
    values = np.array([0.0, 1, 250])
    specification = {"percent": 1, "counts": 3, "resolution": 0.1, "scatter": 0.05}
    found = reading_uncertainty(values, **specification)
    assert list(found) == [reading_uncertainty(value, **specification) for value in values]


@pytest.mark.parametrize(
    "call",
    [
        lambda: half_width(1, percent=-1, counts=0, resolution=1),
        lambda: half_width(1, percent=1, counts=-1, resolution=1),
        lambda: half_width(1, percent=1, counts=1, resolution=-1),
        lambda: half_width(float("nan"), percent=1, counts=1, resolution=1),
        lambda: rectangular_uncertainty(-1),
        lambda: resolution_uncertainty(-1),
        lambda: combined_uncertainty(1, -1),
        lambda: voltmeter_reading(12, -1, input_ohm=1e7),
        lambda: voltmeter_reading(12, 1, input_ohm=0),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
