"""The closed forms worked by hand on one probe pair."""

from __future__ import annotations

import math

import numpy as np
import pytest

from loomwright.circuit import steps


def one(value: float) -> np.ndarray:
    return np.array([value])


def seen(w: float, *, own: float, size: float, k: float = 0.0, kw: float = 0.0) -> steps.Seen:
    return steps.Seen(one(w), one(kw), one(own), one(k), one(0.0), one(size))


PAIR = steps.Pair(one(3.0), one(0.0), one(0.0))


def test_five_ohms_more_in_a_bridge() -> None:
    assert steps.one_series(PAIR, seen(1.0, own=0.0, size=1 / 5)).ohm[0] == pytest.approx(8.0)


def test_a_severed_bridge_between_the_probes_is_over_range() -> None:
    assert math.isinf(steps.one_series(PAIR, seen(1.0, own=0.0, size=0.0)).ohm[0])


def test_six_ohms_across_three() -> None:
    """3 || 6 = 2 ohm: the shunt lies right at the probes."""
    assert steps.one_shunt(PAIR, seen(3.0, own=3.0, size=6.0)).ohm[0] == pytest.approx(2.0)


def test_two_shunts_across_three() -> None:
    """3 || 6 || 2 = 1 ohm."""
    faults = seen(3.0, own=3.0, size=6.0), seen(3.0, own=3.0, size=2.0)
    out = steps.two_shunts(PAIR, faults, one(3.0), one(0.0))
    assert out.ohm[0] == pytest.approx(1.0)


def test_a_break_inside_the_loop_a_shunt_closes() -> None:
    """3 ohm cut open, and 6 ohm across: only the shunt is left."""
    faults = seen(1.0, own=0.0, size=0.0), seen(3.0, own=3.0, size=6.0)
    assert steps.series_and_shunt(PAIR, faults, one(1.0)).ohm[0] == pytest.approx(6.0)
