"""Tolerance bounds, counts and charts against the e-Handbook, published tables and scipy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from loomwright.loom.errors import OutOfRange
from loomwright.physics.tolerance import (
    binomial_bounds,
    capability,
    chart_limits,
    lower_bound,
    proven_share,
    tolerance_factor,
    trials_for_factor,
    trials_needed,
)

SHARES = (0.90, 0.95, 0.99)


def test_the_handbooks_one_sided_factor():
    # NIST/SEMATECH e-Handbook 7.2.6.3: 43 values, 90 % with 99 %; 1.8740 from memory, recomputed.
    # Its approximation by Natrella, 1.8751896, was read on a page that reproduces the example.
    found = tolerance_factor(43, coverage=0.90, confidence=0.99)
    assert found == pytest.approx(1.8740, abs=5e-5)
    assert found == pytest.approx(1.8751896, rel=1e-3)


@pytest.mark.parametrize(
    ("trials", "factors"),
    [  # exact one-sided factors at 95 % confidence, worked elsewhere by the non-central t
        (5, (3.407, 4.203, 5.741)),
        (10, (2.355, 2.911, 3.981)),
        (20, (1.926, 2.396, 3.295)),
        (30, (1.777, 2.220, 3.064)),
    ],
)
def test_exact_factors(trials, factors):
    assert tolerance_factor(trials, coverage=SHARES, confidence=0.95) == pytest.approx(
        factors, abs=6e-4
    )


@given(trials=st.integers(2, 300), coverage=st.floats(0.5, 0.999), confidence=st.floats(0.5, 0.999))
def test_the_factor_is_a_quantile_of_the_non_central_t(trials, coverage, confidence):
    shift = stats.norm.ppf(coverage) * trials**0.5
    told = stats.nct.cdf(
        tolerance_factor(trials, coverage=coverage, confidence=confidence) * trials**0.5,
        trials - 1, shift,
    )  # fmt: skip
    assert told == pytest.approx(confidence, abs=1e-6)


def test_the_bound_holds_as_often_as_it_says():
    rng = np.random.default_rng(11)
    true = stats.norm.ppf(0.05, loc=100, scale=8)  # 95 % of all pieces bear more
    bounds = [
        lower_bound(rng.normal(100, 8, size=5), coverage=0.95, confidence=0.9) for _ in range(2000)
    ]
    assert np.mean(np.array(bounds) <= true) == pytest.approx(0.9, abs=0.025)


def test_the_handbooks_lower_limit():
    # the same example: mean 97.07, s 0.0268; lower limit 97.019745 by the approximate factor
    spread = np.array([-1.0, 1.0] * 21 + [0.0])
    values = 97.07 + spread * 0.0268 / spread.std(ddof=1)
    assert lower_bound(values, coverage=0.90, confidence=0.99) == pytest.approx(97.01975, abs=1e-4)


@pytest.mark.parametrize(("failures", "trials"), [(0, 59), (1, 93), (2, 124)])
def test_trials_for_95_with_95(failures, trials):
    # well-known sample sizes of order statistics after Wilks; from memory
    assert trials_needed(coverage=0.95, confidence=0.95, failures=failures) == trials
    assert proven_share(trials, failures=failures, confidence=0.95) >= 0.95
    assert proven_share(trials - 1, failures=failures, confidence=0.95) < 0.95


def test_what_good_trials_prove():
    # trade figures: five good ones show that fewer than 45 % fail, thirty show below 9.5 %
    assert 1 - proven_share(5, confidence=0.95) == pytest.approx(0.45, abs=0.001)
    assert 1 - proven_share(30, confidence=0.95) == pytest.approx(0.095, abs=0.0005)
    assert proven_share(5, confidence=0.95) == pytest.approx(0.05 ** (1 / 5))


@pytest.mark.parametrize(
    ("failures", "trials", "confidence", "low", "high"),
    [  # Clopper-Pearson, from calculator pages
        (3, 20, 0.95, 0.0321, 0.3789),
        (12, 30, 0.90, 0.2495, 0.5661),
        (42, 100, 0.95, 0.3220, 0.5229),
        (85, 120, 0.99, 0.5904, 0.8092),
        # R. G. Newcombe, Stat. Med. 17 (1998) 857, from memory
        (81, 263, 0.95, 0.2527, 0.3676),
        (0, 20, 0.95, 0, 0.1684),
        (1, 29, 0.95, 0.0009, 0.1776),
    ],
)
def test_binomial_bounds(failures, trials, confidence, low, high):
    assert binomial_bounds(failures, trials, confidence=confidence) == pytest.approx(
        (low, high), abs=6e-5
    )
    exact = stats.binomtest(failures, trials).proportion_ci(confidence, method="exact")
    assert binomial_bounds(failures, trials, confidence=confidence) == pytest.approx(
        (exact.low, exact.high)
    )


def test_every_trial_failed():
    assert binomial_bounds(4, 4, confidence=0.95)[1] == 1
    assert proven_share(4, failures=4, confidence=0.95) == 0


@pytest.mark.parametrize("trials", [5, 9, 30])
def test_trials_that_a_factor_asks_for(trials):
    factor = tolerance_factor(trials, coverage=0.95, confidence=0.95)
    told = {"coverage": 0.95, "confidence": 0.95}
    assert trials_for_factor(factor + 1e-9, **told) == trials
    assert trials_for_factor(factor - 1e-4, **told) == trials + 1


def test_no_number_of_trials_helps_a_mean_too_low():
    # the normal quantile of 95 % is 1.645: nothing is left for the sample
    assert trials_for_factor(1.6, coverage=0.95, confidence=0.95) is None


def of_index(index, count):
    """Values whose capability against 0 is that index."""
    spread = np.array([-1.0, 1.0] * (count // 2) + [0.0] * (count % 2))
    return 3 * index + spread / spread.std(ddof=1)


@pytest.mark.parametrize(
    ("index", "count", "low", "high"),
    [
        # a quality magazine's column of May 2000: 1.15 from 45 values, 95 %
        (1.15, 45, 0.89, 1.41),
        # by hand: 1.33 ± 1.96 · √(1/180 + 1.33²/38) = 1.33 ± 0.447
        (1.33, 20, 0.883, 1.777),
    ],
)
def test_capability_interval(index, count, low, high):
    found = capability(of_index(index, count), limit=0, confidence=0.95)
    assert found.index == pytest.approx(index)
    assert (found.low, found.high) == pytest.approx((low, high), abs=3e-3)


def test_the_handbooks_indices():
    # e-Handbook 6.1.6: limits 8 and 20, mean 16, s 2 give Cpk 0.6667, at the upper limit
    values = 16 + np.array([-2.0, 2.0] * 50) * (99 / 100) ** 0.5
    upper = capability(-values, limit=-20, confidence=0.95)
    assert upper.index == pytest.approx(0.6667, abs=1e-4)
    assert capability(values, limit=8, confidence=0.95).index == pytest.approx(8 / 6)


def test_the_capability_interval_nears_the_exact_one():
    # exact: 3 · √n · Cpl of a sample follows the non-central t about 3 · √n · Cpl
    found = capability(of_index(1.5, 100), limit=0, confidence=0.90)
    seen = 3 * 100**0.5 * 1.5
    assert stats.nct.sf(seen, 99, 3 * 100**0.5 * found.low) == pytest.approx(0.05, abs=0.01)
    assert stats.nct.cdf(seen, 99, 3 * 100**0.5 * found.high) == pytest.approx(0.05, abs=0.01)


@pytest.mark.parametrize(("limit", "index"), [(90, np.inf), (110, -np.inf), (100, 0)])
def test_values_without_scatter(limit, index):
    found = capability([100, 100, 100], limit=limit, confidence=0.95)
    assert (found.index, found.low, found.high) == (index, index, index)


FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]


def test_the_handbooks_individuals_chart():
    # e-Handbook 6.3.2.2: 45.8159, 50.81, 55.8041 read in a public quotation, the data from memory
    found = chart_limits(FLOW)
    assert (found.low, found.centre, found.high) == pytest.approx(
        (45.8159, 50.81, 55.8041), abs=1e-3
    )
    assert found.outside == ()


def test_a_jump_lies_outside():
    assert chart_limits([1.20, 1.21, 1.20, 1.21, 1.20, 1.21, 1.20, 1.40]).outside == (7,)
    assert chart_limits([1.2, 1.2, 1.2]).outside == ()


@given(st.lists(st.floats(-1e3, 1e3), min_size=2, max_size=30), st.floats(-100, 100))
def test_limits_move_with_the_values(values, shift):
    here, there = chart_limits(values), chart_limits(np.array(values) + shift)
    assert there.low - here.low == pytest.approx(shift, abs=1e-8)
    assert there.high - here.high == pytest.approx(shift, abs=1e-8)


@pytest.mark.parametrize(
    "call",
    [
        lambda: tolerance_factor(1, coverage=0.9, confidence=0.9),
        lambda: tolerance_factor(5, coverage=1, confidence=0.9),
        lambda: lower_bound([1.0], coverage=0.9, confidence=0.9),
        lambda: lower_bound([1.0, np.nan], coverage=0.9, confidence=0.9),
        lambda: trials_needed(coverage=0.95, confidence=0),
        lambda: trials_needed(coverage=0.999999, confidence=0.95, failures=1),
        lambda: proven_share(0, confidence=0.95),
        lambda: binomial_bounds(5, 4, confidence=0.95),
        lambda: capability([1.0], limit=0, confidence=0.95),
        lambda: chart_limits([1.0]),
        lambda: trials_for_factor(float("nan"), coverage=0.95, confidence=0.95),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
