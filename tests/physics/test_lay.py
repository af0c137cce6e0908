"""The length of a wire that winds round its bundle."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.lay import lay_share

CIRCLES = st.floats(0, 0.1)
PITCHES = st.floats(0.01, 1)


def test_the_figures_of_the_trade() -> None:
    """Trade practice: 1.2 % for 6 mm at 120 mm, 3.1 % for 8 mm at 100 mm."""
    assert lay_share(0.006, 0.120) == pytest.approx(0.012, abs=0.0005)
    assert lay_share(0.008, 0.100) == pytest.approx(0.031, abs=0.0005)


@given(CIRCLES, PITCHES)
def test_it_is_the_length_of_the_helix_drawn_in_small_pieces(circle: float, pitch: float) -> None:
    turn = np.linspace(0, 2 * np.pi, 2001)
    path = np.array(
        [np.cos(turn) * circle / 2, np.sin(turn) * circle / 2, turn * pitch / 2 / np.pi]
    )
    drawn = np.linalg.norm(np.diff(path), axis=0).sum()
    assert (1 + lay_share(circle, pitch)) * pitch == pytest.approx(drawn, rel=1e-5)


@given(CIRCLES, PITCHES, st.floats(1, 10))
def test_only_the_ratio_counts_and_a_straight_wire_is_no_longer(
    circle: float, pitch: float, scale: float
) -> None:
    assert lay_share(scale * circle, scale * pitch) == pytest.approx(lay_share(circle, pitch))
    assert lay_share(0.0, pitch) == 0.0


def test_arrays_give_what_single_numbers_give() -> None:
    both = lay_share(np.array([0.006, 0.008]), np.array([0.12, 0.1]))
    assert list(both) == [lay_share(0.006, 0.12), lay_share(0.008, 0.1)]


@pytest.mark.parametrize(("circle", "pitch"), [(-0.001, 0.1), (0.001, 0.0)])
def test_what_cannot_be_is_refused(circle: float, pitch: float) -> None:
    with pytest.raises(OutOfRange):
        lay_share(circle, pitch)
