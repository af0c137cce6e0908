"""Tape round a bundle, against the figures of the trade and the law of the helix."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.wrapping import tape_length, tape_wall

THIN = 0.15e-3
TAPE = 0.019


@pytest.mark.parametrize(
    ("diameter_mm", "overlap", "metres"),
    # common practice for tape of 19 mm, metres of tape for a metre of bundle, to about 0.05
    [(6, 1 / 2, 2.3), (10, 1 / 2, 3.6), (15, 1 / 2, 5.2),
     (6, 1 / 3, 1.9), (10, 1 / 3, 2.7), (15, 1 / 3, 3.9)],
)  # fmt: skip
def test_tape_as_the_trade_counts_it(diameter_mm, overlap, metres):
    found = tape_length(diameter_mm / 1e3, 1, tape_m=TAPE, overlap=overlap, thickness_m=THIN)
    assert found == pytest.approx(metres, abs=0.06)


def test_one_turn_is_the_diagonal_of_what_it_covers():
    # no thickness, no overlap: a turn of a bundle of 3/π mm over 4 mm of length is 5 mm
    found = tape_length(0.003 / math.pi, 0.004, tape_m=0.004, overlap=0)
    assert found == pytest.approx(0.005, rel=1e-12)


@given(st.floats(0, 0.05), st.floats(1e-6, 10), st.floats(0, 0.9))
def test_tape_is_never_shorter_than_the_bundle_and_grows_with_all(diameter, length, overlap):
    found = tape_length(diameter, length, tape_m=TAPE, overlap=overlap, thickness_m=THIN)
    assert found >= length * (1 - 1e-12)
    thicker = tape_length(diameter + 0.001, length, tape_m=TAPE, overlap=overlap, thickness_m=THIN)
    assert thicker >= found


@given(st.integers(1, 6))
def test_layers_lie_on_all_those_before(layers):
    """With (n - 1)/n overlap each turn is a ramp over n layers: their mean height is n/2 tapes."""
    overlap = 1 - 1 / layers
    thick = tape_length(0.01, 1, tape_m=TAPE, overlap=overlap, thickness_m=THIN)
    bare = tape_length(0.01 + layers * THIN, 1, tape_m=TAPE, overlap=overlap)
    assert thick == pytest.approx(bare, rel=1e-9)
    assert tape_wall(THIN, overlap=overlap) == pytest.approx(layers * THIN)


@pytest.mark.parametrize(
    "call",
    [
        lambda: tape_length(-1, 1, tape_m=TAPE, overlap=0.5),
        lambda: tape_length(0.01, -1, tape_m=TAPE, overlap=0.5),
        lambda: tape_length(0.01, 1, tape_m=0, overlap=0.5),
        lambda: tape_length(0.01, 1, tape_m=TAPE, overlap=1),
        lambda: tape_wall(THIN, overlap=-0.1),
        lambda: tape_wall(-THIN, overlap=0.5),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
