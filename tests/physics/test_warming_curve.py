"""The curve drawn through a warming run: made runs are met, whatever is not known of them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.warming import Warming
from loomwright.physics.warming_curve import warming_curve

TIMES = np.linspace(0.0, 100.0, 21)


def made(constant: float, *, start: float, air: float, lag: float, told: bool) -> Warming:
    """A run by the law of lumped capacity, T = T_air − (T_air − T_0) exp(−(t − lag)/τ)."""
    read = air - (air - start) * np.exp(-np.maximum(TIMES - lag, 0.0) / constant)
    return Warming(times_s=TIMES, temperatures_c=read, air_c=air if told else None)


@given(
    constant=st.floats(10.0, 300.0),
    start=st.floats(0.0, 40.0),
    air=st.floats(80.0, 200.0),
    told=st.booleans(),
)
def test_a_run_without_a_lag_is_met_at_every_reading(
    constant: float, start: float, air: float, told: bool
) -> None:
    run = made(constant, start=start, air=air, lag=0.0, told=told)
    drawn = warming_curve(run, time_constant_s=constant, times_s=TIMES)
    assert drawn == pytest.approx(run.temperatures_c, abs=1e-6)


@pytest.mark.parametrize("lag", [0.0, 7.0, 22.0, 40.0])
def test_a_lag_is_found_to_a_step_of_the_search(lag: float) -> None:
    run = made(60.0, start=20.0, air=120.0, lag=lag, told=True)
    drawn = warming_curve(run, time_constant_s=60.0, times_s=TIMES)
    # Half of the run in sixty steps: 0.85 s at 100 K in 60 s is 1.4 K at most.
    assert np.abs(drawn - run.temperatures_c).max() < 1.4


def test_between_readings_it_follows_the_law() -> None:
    run = made(60.0, start=20.0, air=120.0, lag=0.0, told=True)
    # 120 − 100 / e after one time constant.
    assert warming_curve(run, time_constant_s=60.0, times_s=60.0) == pytest.approx(83.2, abs=0.05)


def test_a_time_constant_that_is_none_is_refused() -> None:
    run = made(60.0, start=20.0, air=120.0, lag=0.0, told=True)
    with pytest.raises(OutOfRange):
        warming_curve(run, time_constant_s=0.0, times_s=TIMES)
