"""From a rough arrangement to one that touches."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.physics.packing_polish import parted, polished


def test_four_circles_in_a_loose_square_close_up():
    radii = np.full(4, 0.5)
    x, y = polished(radii, np.array([1.0, -1.1, -1.0, 1.0]), np.array([1.0, 0.9, -1.0, -1.2]))
    # 1 + √2 radii, by hand
    assert (np.hypot(x, y) + radii).max() == pytest.approx(0.5 * (1 + np.sqrt(2)), rel=1e-8)


def test_circles_that_overlap_are_parted_no_further_than_they_must():
    radii = np.array([0.6, 0.4, 0.3])
    x, y = parted(radii, np.array([0.5, -0.3, 0.0]), np.array([0.0, 0.0, 0.9]))
    apart = [np.hypot(x[i] - x[j], y[i] - y[j]) for i, j in ((0, 1), (0, 2), (1, 2))]
    assert min(np.array(apart) - [1.0, 0.9, 0.7]) == pytest.approx(0, abs=1e-12)


def test_circles_apart_stay_where_they_are():
    x, y = np.array([-2.0, 2.0]), np.zeros(2)
    assert np.array_equal(parted(np.array([1.0, 1.0]), x, y)[0], x)
