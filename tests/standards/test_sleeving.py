"""Sizes of sleeves: in order, no gap that a usual bundle falls into."""

from itertools import pairwise

import pytest

from loomwright.loom.errors import NotFound
from loomwright.standards import sleeve_kinds, sleeves


@pytest.mark.parametrize("kind", sleeve_kinds())
def test_sizes_follow_one_another(kind):
    for one, other in pairwise(sleeves(kind)):
        assert 1.1 < other.bore_mm / one.bore_mm <= 2.0
        assert one.highest_c == other.highest_c


def test_woven_sleeves_leave_no_gap():
    for one, other in pairwise(sleeves("woven sleeve")):
        assert one.bore_max_mm is not None
        assert other.bore_mm <= one.bore_max_mm


def test_figures_that_trade_practice_states():
    # vinyl 105 °C, glass with silicone 200 °C and more
    assert sleeves("vinyl tube")[0].highest_c == 105
    assert sleeves("glass-silicone sleeve")[0].highest_c >= 200


def test_an_unknown_kind():
    with pytest.raises(NotFound) as caught:
        sleeves("vynil tube")
    assert "vinyl tube" in caught.value.expected
