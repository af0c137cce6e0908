"""The crimp's geometry by hand, limits, and what is impossible."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.crimp import (
    barrel_area,
    compression,
    crimped_area,
    cut_to_equal,
    strip_length,
)


def test_a_crimp_as_flat_as_its_half_rounds():
    # h = w/4: only two half circles of radius w/4 are left, together a circle
    assert crimped_area(0.4e-3, width_m=1.6e-3) == pytest.approx(pi * 0.4e-3**2)


@given(high=st.floats(0.5e-3, 5e-3), wide=st.floats(0.5e-3, 2e-3))
def test_the_area_lies_within_its_rectangle(high, wide):
    area = crimped_area(high, width_m=wide)
    assert area < high * wide
    more = crimped_area(high + 1e-4, width_m=wide)
    assert more - area == pytest.approx(1e-4 * wide, rel=1e-6)


def test_arrays_equal_numbers():
    heights = [1.15e-3, 1.20e-3]
    assert crimped_area(heights, width_m=1.6e-3) == pytest.approx(
        [crimped_area(high, width_m=1.6e-3) for high in heights]
    )
    ratios = compression([1.7e-6, 1.8e-6], copper_m2=0.75e-6, barrel_m2=1.35e-6)
    assert ratios == pytest.approx([1.7 / 2.1, 1.8 / 2.1])


def test_nothing_pressed_away_leaves_one():
    barrel = barrel_area(0.3e-3, unrolled_m=4.5e-3)
    assert compression(barrel + 0.75e-6, copper_m2=0.75e-6, barrel_m2=barrel) == pytest.approx(1)


def test_strip_length_of_a_small_receptacle():
    # common practice, no published source: 4 to 5 mm for a 2.8 mm receptacle, brush 0.5 to 1 mm
    lengths = strip_length(3.75e-3, brush_m=[0.5e-3, 1e-3])
    assert np.all((lengths > 4e-3) & (lengths < 5e-3))


@given(st.lists(st.floats(0, 1), min_size=1, max_size=6))
def test_after_the_cut_all_wires_have_the_least_left(spare):
    left = np.array(spare) - cut_to_equal(spare)
    assert left == pytest.approx(np.full(len(spare), min(spare)))


def test_plugs_side_by_side():
    assert cut_to_equal([[0.06, 0.045], [0.02, 0.03]]) == pytest.approx(
        np.array([[0.015, 0], [0, 0.01]])
    )
    assert cut_to_equal(0.03) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: crimped_area(0, width_m=1e-3),
        lambda: crimped_area(0.2e-3, width_m=1.6e-3),
        lambda: barrel_area(-1e-3, unrolled_m=1e-3),
        lambda: compression(1e-6, copper_m2=0, barrel_m2=1e-6),
        lambda: strip_length(4e-3, brush_m=-1e-3),
        lambda: cut_to_equal([0.1, -0.1]),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
