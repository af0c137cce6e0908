"""Quotes: closed forms of the triangular distribution, what a shared cause does, the sums."""

from __future__ import annotations

import attrs
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import triang

from loomwright.loom.errors import OutOfRange
from loomwright.repair.quote import Line, Tariff, drawn_minutes, quoted, triangular

PLUG = Line(words="re-terminate", low=15.0, likely=20.0, high=40.0, parts=6.0, event="intake")
TARIFF = Tariff(rate=60.0, handling=0.15, stop_and_call=0.15, correlation=0.5)


@given(st.lists(st.floats(0.0, 500.0), min_size=3, max_size=3).map(sorted), st.floats(0.001, 0.999))
def test_the_quantile_is_that_of_the_library(ends: list[float], share: float) -> None:
    low, likely, high = ends
    if high - low < 1e-3:
        return
    line = Line(words="x", low=low, likely=likely, high=high)
    wanted = triang.ppf(share, (likely - low) / (high - low), loc=low, scale=high - low)
    assert triangular(np.array([share]), line)[0] == pytest.approx(wanted, rel=1e-6, abs=1e-6)


def test_mean_and_variance_of_one_line_are_the_closed_forms() -> None:
    drawn = drawn_minutes([PLUG], correlation=0.5, seed=1)[:, 0]
    a, m, b = PLUG.low, PLUG.likely, PLUG.high
    assert drawn.mean() == pytest.approx((a + m + b) / 3, rel=0.01)
    assert drawn.var() == pytest.approx(
        (a * a + m * m + b * b - a * m - a * b - m * b) / 18, rel=0.03
    )


def test_lines_of_one_access_overrun_together_and_others_do_not() -> None:
    lines = [PLUG, PLUG, attrs.evolve(PLUG, event="dash"), attrs.evolve(PLUG, event="")]
    found = np.asarray(np.corrcoef(drawn_minutes(lines, correlation=0.5, seed=2).T))
    # A normal correlation of one half, a little less on the triangular scale.
    assert found[0, 1] == pytest.approx(0.48, abs=0.03)
    assert np.abs(found[[0, 0, 2], [2, 3, 3]]).max() < 0.03


def test_a_shared_cause_widens_the_sum() -> None:
    lines = [PLUG] * 8
    apart = quoted([attrs.evolve(PLUG, event="") for _ in lines], TARIFF)
    together = quoted(lines, TARIFF)
    assert together.high - together.low > 1.5 * (apart.high - apart.low)
    assert together.middle == pytest.approx(apart.middle, rel=0.02)


def test_the_lines_of_the_sum_add_up() -> None:
    tariff = attrs.evolve(TARIFF, rate=90.0, handling=0.2, postage=12.0, vat=0.19)
    quote = quoted([PLUG, PLUG], tariff)
    assert quote.parts == 12.0
    assert quote.handling == pytest.approx(2.4)
    assert quote.vat is not None
    whole = quote.work + quote.parts + quote.handling + quote.postage + quote.vat
    assert whole == pytest.approx(quote.middle, rel=1e-9)
    assert quote.likely == pytest.approx((40 * 1.5 + 12 * 1.2 + 12) * 1.19)
    assert quote.call_at == pytest.approx(1.15 * quote.likely)
    assert quote.low < quote.middle < quote.high
    assert 0.0 < quote.chance_of_call < 1.0


def test_without_a_tax_line_there_is_none() -> None:
    assert quoted([PLUG], TARIFF).vat is None


def test_fixed_times_are_never_exceeded() -> None:
    fixed = Line(words="x", low=30.0, likely=30.0, high=30.0)
    quote = quoted([fixed], TARIFF)
    assert quote.low == quote.middle == quote.high == 30.0
    assert quote.chance_of_call == 0.0


def test_the_same_quote_twice_is_the_same() -> None:
    assert quoted([PLUG] * 3, TARIFF) == quoted([PLUG] * 3, TARIFF)


@pytest.mark.parametrize(
    ("line", "tariff", "says"),
    [
        (attrs.evolve(PLUG, likely=50.0), TARIFF, "are not in order"),
        (PLUG, attrs.evolve(TARIFF, handling=15.0), "15 is not a share"),
    ],
)
def test_impossible_figures_are_named(line: Line, tariff: Tariff, says: str) -> None:
    with pytest.raises(OutOfRange, match=says):
        quoted([line], tariff)
