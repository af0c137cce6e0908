"""Numbers as results carry them."""

from __future__ import annotations

import math

import pytest

from loomwright.services.numbers import plain, shown


@pytest.mark.parametrize(
    ("value", "digits", "wanted"),
    [
        (0.0, 4, 0.0),
        (math.inf, 4, "OL"),
        (2718.483, 4, 2718.0),
        (0.0123456, 3, 0.0123),
        (-4.96, 2, -5.0),
    ],
)
def test_plain(value: float, digits: int, wanted: float | str) -> None:
    assert plain(value, digits) == wanted


@pytest.mark.parametrize(
    ("value", "quantity", "wanted"),
    [
        (math.inf, "ohm", "OL"),
        (0.0, "ohm", "0 Ω"),
        (0.05, "ohm", "50 mΩ"),
        (8.4, "ohm", "8.4 Ω"),
        (999.6, "ohm", "1 kΩ"),
        (2510.0, "ohm", "2.51 kΩ"),
        (4.2e6, "ohm", "4.2 MΩ"),
        (12.448, "volt", "12.45 V"),
        (-0.3, "volt", "-0.30 V"),
    ],
)
def test_shown(value: float, quantity: str, wanted: str) -> None:
    assert shown(value, quantity) == wanted


def test_hundreds_keep_their_digits() -> None:
    """Three digits, and no power of ten where a plain number will do."""
    assert shown(431.0) == "431 Ω"
    assert shown(431.4) == "431 Ω"
