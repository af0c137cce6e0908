"""Windings against trade figures for injectors."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.winding import (
    parallel_group,
    winding_at_reference,
    winding_resistance,
    winding_temperature,
)

ALPHA = 0.00393  # 1/K, IEC 60028


@pytest.mark.parametrize(
    ("cold", "celsius", "ohm", "digits"),
    # worked in trade notes from common-practice values at 20 °C
    [(2.4, -10, 2.12, 2), (2.4, 80, 2.97, 2), (16, 80, 19.8, 1)],
)
def test_injector_at_temperature(cold, celsius, ohm, digits):
    assert round(winding_resistance(cold, celsius, alpha_per_k=ALPHA), digits) == ohm


def test_hot_injector_is_a_quarter_above_cold():
    assert winding_resistance(1, 80, alpha_per_k=ALPHA) == pytest.approx(1.236, abs=5e-4)


@pytest.mark.parametrize(("count", "ratio"), [(2, 2), (3, 1.5), (4, 1.33), (6, 1.2)])
def test_one_open_in_a_group(count, ratio):
    # n/(n − 1), as trade notes tabulate it
    found = parallel_group(16, count - 1) / parallel_group(16, count)
    assert found == pytest.approx(ratio, abs=4e-3)


def test_six_hot_look_like_five_cold():
    hot = winding_resistance(16, 80, alpha_per_k=ALPHA)
    assert parallel_group([hot, 16], [6, 5]) == pytest.approx([3.30, 3.20], abs=5e-3)


def test_an_empty_group_is_open():
    assert parallel_group([16, 0], 0) == pytest.approx([np.inf, np.inf])


@given(ohm=st.floats(0.1, 1e4), celsius=st.floats(-60, 250), reference=st.floats(0, 40))
def test_round_trips(ohm, celsius, reference):
    how = {"alpha_per_k": ALPHA, "reference_c": reference}
    hot = winding_resistance(ohm, celsius, **how)
    assert winding_temperature(hot, ohm, **how) == pytest.approx(celsius, abs=1e-6)
    assert winding_at_reference(hot, celsius, **how) == pytest.approx(ohm)


def test_array_equals_scalar():
    temperatures = np.array([-10.0, 20, 80])
    found = winding_resistance(2.4, temperatures, alpha_per_k=ALPHA)
    assert list(found) == [winding_resistance(2.4, t, alpha_per_k=ALPHA) for t in temperatures]


@pytest.mark.parametrize(
    "call",
    [
        lambda: winding_temperature(-1, 16, alpha_per_k=ALPHA),
        lambda: winding_temperature(16, 0, alpha_per_k=ALPHA),
        lambda: winding_temperature(16, 16, alpha_per_k=0),
        lambda: winding_resistance(-16, 20, alpha_per_k=ALPHA),
        lambda: parallel_group(16, -1),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
