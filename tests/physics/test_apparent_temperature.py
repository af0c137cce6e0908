"""The believed temperature against the table of trade notes for the usual coolant sensor."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.apparent_temperature import (
    apparent_temperature,
    circuit_resistance,
    leak_for_error,
    series_for_error,
    temperature_error,
)
from loomwright.physics.thermistor import (
    ThreeConstants,
    resistance_steinhart_hart,
    temperature_steinhart_hart,
)
from loomwright.physics.thermistor_table import TableCurve

COOLANT = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)


def ohm_at(celsius):
    return resistance_steinhart_hart(celsius, COOLANT)


def temperature_of(ohm):
    return temperature_steinhart_hart(ohm, COOLANT)


CURVE = {"ohm_at": ohm_at, "temperature_of": temperature_of}


@pytest.mark.parametrize(
    ("series", "errors"),
    [  # at −10, 20, 60, 80, 95 °C, worked in trade notes
        (20, [0.0, -0.2, -1.0, -2.1, -3.3]),
        (50, [-0.1, -0.5, -2.5, -4.9, -7.7]),
        (100, [-0.2, -1.0, -4.8, -9.1, -13.8]),
        (200, [-0.4, -1.9, -8.8, -15.9, -23.2]),
        (500, [-1.1, -4.5, -18.1, -29.8, -40.5]),
    ],
)
def test_series_resistance_matters_hot(series, errors):
    found = temperature_error(np.array([-10, 20, 60, 80, 95]), series_ohm=series, **CURVE)
    assert found == pytest.approx(np.array(errors), abs=0.06)


@pytest.mark.parametrize(
    ("leak", "errors"),
    [  # at −10, 0, 20, 80 °C, worked in trade notes
        (100e3, [1.9, 1.3, 0.6, 0.1]),
        (20e3, [8.2, 5.8, 3.0, 0.6]),
        (10e3, [14.4, 10.6, 5.7, 1.1]),
        (5e3, [23.6, 18.1, 10.4, 2.2]),
    ],
)
def test_leak_matters_cold(leak, errors):
    found = temperature_error(np.array([-10, 0, 20, 80]), leak_ohm=leak, **CURVE)
    assert found == pytest.approx(np.array(errors), abs=0.06)


def test_what_a_thermometer_error_hides():
    # trade notes: 1.5 K hides about 14 Ω in series at 80 °C and leaks above some 40 kΩ at 20 °C
    assert series_for_error(80, 1.5, ohm_at=ohm_at) == pytest.approx(14, abs=0.5)
    assert leak_for_error(20, 1.5, ohm_at=ohm_at) == pytest.approx(40e3, rel=0.03)
    assert leak_for_error(20, 0, ohm_at=ohm_at) == np.inf


def test_a_rotten_contact_passes_the_published_band():
    # trade notes: 250–390 Ω at 80 °C lets about 66 Ω through
    assert 390 - ohm_at(80) == pytest.approx(66, abs=1)


def test_open_and_shorted_circuits():
    believed = apparent_temperature(20, series_ohm=np.inf, **CURVE)
    assert believed == -273.15
    assert apparent_temperature(20, leak_ohm=0, **CURVE) == np.inf
    assert circuit_resistance(np.inf) == np.inf
    assert circuit_resistance(np.inf, leak_ohm=5e3) == pytest.approx(5e3)


@given(celsius=st.floats(-30, 110), series=st.floats(0, 1e5), leak=st.floats(100, 1e9))
def test_signs(celsius, series, leak):
    assert temperature_error(celsius, series_ohm=series, **CURVE) <= 1e-9
    assert temperature_error(celsius, leak_ohm=leak, **CURVE) >= -1e-9


@given(celsius=st.floats(-20, 100), error=st.floats(0.01, 30))
def test_the_inverses_give_the_error_back(celsius, error):
    series = series_for_error(celsius, error, ohm_at=ohm_at)
    assert temperature_error(celsius, series_ohm=series, **CURVE) == pytest.approx(-error, abs=1e-6)
    leak = leak_for_error(celsius, error, ohm_at=ohm_at)
    assert temperature_error(celsius, leak_ohm=leak, **CURVE) == pytest.approx(error, abs=1e-6)


def test_a_table_serves_as_well_as_an_equation():
    knots = np.arange(-20, 101, 10)
    table = TableCurve(knots, ohm_at(knots))
    found = temperature_error(
        80, ohm_at=table.ohm, temperature_of=table.temperature, series_ohm=100
    )
    assert found == pytest.approx(-9.1, abs=0.1)


def test_array_equals_scalar():
    celsius = np.array([-10.0, 20, 80])
    found = apparent_temperature(celsius, series_ohm=50, leak_ohm=1e4, **CURVE)
    one_by_one = [apparent_temperature(t, series_ohm=50, leak_ohm=1e4, **CURVE) for t in celsius]
    assert list(found) == one_by_one


@pytest.mark.parametrize(
    "call",
    [
        lambda: circuit_resistance(-1),
        lambda: circuit_resistance(1, series_ohm=-1),
        lambda: circuit_resistance(1, leak_ohm=-1),
        lambda: apparent_temperature(-300, **CURVE),
        lambda: series_for_error(20, -1, ohm_at=ohm_at),
        lambda: leak_for_error(20, -1, ohm_at=ohm_at),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
