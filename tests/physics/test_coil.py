"""Current rise against textbook RL examples."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from loomwright.loom.errors import OutOfRange
from loomwright.physics.coil import coil_current, current_loss, opening_delay, time_to_current

# RL storage example of an introductory circuit analysis text (inputs from memory)
TEXTBOOK = {"supply_v": 50, "ohm": 2000, "inductance_h": 4}
# a solenoid worked elsewhere from the same equation
SOLENOID = {"supply_v": 14, "ohm": 12, "inductance_h": 0.010}


def test_textbook_rise_at_one_to_five_time_constants():
    milliamps = 1e3 * coil_current(np.arange(1, 6) * 2e-3, **TEXTBOOK)
    assert milliamps == pytest.approx([15.80, 21.62, 23.76, 24.54, 24.83], abs=6e-3)


def test_fractions_at_one_to_five_time_constants():
    found = coil_current(np.arange(1, 6), supply_v=1, ohm=1, inductance_h=1)
    assert found == pytest.approx([0.6321, 0.8647, 0.9502, 0.9817, 0.9933], abs=6e-5)


def test_solenoid():
    assert coil_current(1e-3, **SOLENOID) == pytest.approx(0.8153, abs=6e-5)
    assert coil_current(0.010 / 12, **SOLENOID) == pytest.approx(0.7375, abs=6e-5)
    assert coil_current(1, **SOLENOID) == pytest.approx(1.1667, abs=6e-5)
    assert 1e3 * time_to_current(0.7, **SOLENOID) == pytest.approx(0.7636, abs=6e-5)
    assert 1e3 * time_to_current(0.9 * 14 / 12, **SOLENOID) == pytest.approx(1.9188, abs=6e-5)


def test_rise_solves_the_differential_equation():
    # L·di/dt = V − R·i, integrated by an independent solver
    steps = solve_ivp(lambda _t, i: (14 - 12 * i) / 0.010, (0, 2e-3), [0], rtol=1e-10, atol=1e-12)
    assert coil_current(steps.t, **SOLENOID) == pytest.approx(steps.y[0], abs=1e-8)


def test_current_never_reached_takes_for_ever():
    found = time_to_current([0, 1, 14 / 12, 2], **SOLENOID)
    assert found[0] == 0
    assert np.isfinite(found[1])
    assert list(found[2:]) == [np.inf, np.inf]
    assert time_to_current(0.1, supply_v=0, ohm=12, inductance_h=0.01) == np.inf
    assert time_to_current(0, supply_v=0, ohm=12, inductance_h=0.01) == 0


def test_added_resistance_opens_later_and_at_last_not_at_all():
    delay = opening_delay([0, 1, 4, 8, 9], pull_in_a=0.7, **SOLENOID)
    assert delay[0] == 0
    assert delay[1] == pytest.approx(0.0440e-3, abs=6e-8)  # by hand: 0.8076 − 0.7636 ms
    assert delay[1] < delay[2] < np.inf
    assert list(delay[3:]) == [np.inf, np.inf]  # 14 V over 20 Ω is 0.7 A: never above it


def test_current_loss():
    # trade figures: 0.5 Ω costs 5.6 %, 1.0 Ω 10.6 % in a loop of 8.4 Ω
    assert 100 * current_loss([0.5, 1.0], 8.4) == pytest.approx([5.6, 10.6], abs=0.05)


@given(
    share=st.floats(0, 0.999),
    supply=st.floats(1, 30),
    ohm=st.floats(0.1, 1e3),
    inductance=st.floats(1e-5, 10),
)
def test_time_and_current_round_trip(share, supply, ohm, inductance):
    loop = {"supply_v": supply, "ohm": ohm, "inductance_h": inductance}
    current = share * supply / ohm
    time = time_to_current(current, **loop)
    assert coil_current(time, **loop) == pytest.approx(current, rel=1e-9, abs=1e-15)


def test_array_equals_scalar():
    times = np.array([0, 1e-4, 1e-3])
    assert list(coil_current(times, **SOLENOID)) == [coil_current(t, **SOLENOID) for t in times]


@pytest.mark.parametrize(
    "call",
    [
        lambda: coil_current(-1, **SOLENOID),
        lambda: coil_current(1, supply_v=-1, ohm=1, inductance_h=1),
        lambda: coil_current(1, supply_v=1, ohm=0, inductance_h=1),
        lambda: coil_current(1, supply_v=1, ohm=1, inductance_h=0),
        lambda: time_to_current(-1, **SOLENOID),
        lambda: opening_delay(-1, pull_in_a=0.7, **SOLENOID),
        lambda: opening_delay(1, pull_in_a=1.2, **SOLENOID),
        lambda: current_loss(-1, 8),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
