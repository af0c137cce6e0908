"""Small fits and chi-square against scipy, which is a general-purpose reference."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import least_squares
from scipy.stats import chi2

from loomwright.physics.bounded_fit import Vector, chance_of_worse, fit_within

T = np.linspace(0.0, 4.0, 7)


@given(
    level=st.floats(0.5, 3.0),  # at 0 the rate means nothing
    rate=st.floats(-1.5, 1.5),
    bound=st.floats(0.05, 2.0),
    seed=st.integers(0, 2**31),
)
def test_a_bounded_exponential_is_fitted_as_by_the_library(
    level: float, rate: float, bound: float, seed: int
) -> None:
    noise = np.random.default_rng(seed).normal(0.0, 0.05, T.size)
    read = level * np.exp(rate * T / 4.0) + noise
    lower, upper = np.array([-bound, -1.0]), np.array([bound, 1.0])

    def misfits(x: Vector) -> Vector:
        return np.asarray(x[0] * np.exp(x[1] * T / 4.0) - read)

    def cost(x: Vector) -> float:
        return float(misfits(x) @ misfits(x))

    start = np.array([0.5 * bound, 0.1])
    mine = fit_within(misfits, start, lower=lower, upper=upper)
    library = least_squares(misfits, start, bounds=(lower, upper), xtol=1e-12, ftol=1e-12)
    assert ((mine >= lower) & (mine <= upper)).all()
    assert cost(mine) <= cost(library.x) * (1.0 + 1e-6) + 1e-12


def test_a_bound_that_holds_is_met_exactly() -> None:
    def misfits(x: Vector) -> Vector:
        return np.array([x[0] + 3.0, x[1] - 1.0])

    none = np.array([np.inf, np.inf])
    found = fit_within(misfits, np.array([2.0, 0.0]), lower=np.zeros(2), upper=none)
    assert found[0] == 0.0
    assert found[1] == pytest.approx(1.0, abs=1e-9)


@given(chi_square=st.floats(0.0, 80.0), freedom=st.integers(1, 30))
def test_the_chance_of_a_worse_fit_is_the_library_s(chi_square: float, freedom: int) -> None:
    wanted = chi2.sf(chi_square, freedom)
    assert chance_of_worse(chi_square, freedom) == pytest.approx(wanted, rel=1e-10, abs=1e-14)
