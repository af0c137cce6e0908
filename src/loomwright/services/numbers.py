"""Numbers as results carry them: rounded to what a meter can mean, OL for over-range."""

from __future__ import annotations

import math

import numpy as np

from loomwright.circuit.configuration import Floats
from loomwright.loom.schema import OVER_RANGE


def plain(value: float, digits: int = 4) -> float | str:
    """A number for JSON: so many significant digits, the text OL when infinite."""
    if math.isinf(value):
        return OVER_RANGE
    if value == 0.0:
        return 0.0
    return float(f"{value:.{digits}g}")


def shown(value: float, quantity: str = "ohm") -> str:
    """A value as a person reads it: 2.51 kΩ, 0.05 Ω, 12.4 V, OL."""
    if math.isinf(value):
        return OVER_RANGE
    if quantity == "volt":
        return f"{value:.2f} V"
    for limit, scale, prefix in ((1e6, 1e6, "M"), (1e3, 1e3, "k")):
        if abs(value) >= limit * 0.9995:
            return f"{value / scale:.3g} {prefix}Ω"
    if abs(value) < 0.0995:
        return f"{value * 1000:.2g} mΩ" if value else "0 Ω"
    return f"{value:.3g} Ω"


def weighted_quantiles(values: Floats, weights: Floats) -> tuple[float, float, float]:
    """5, 50 and 95 percent of weighted values."""
    order = np.argsort(values, kind="stable")
    cumulative = np.cumsum(weights[order]) / weights.sum()
    last = len(values) - 1
    low, middle, high = (
        float(values[order][min(int(np.searchsorted(cumulative, q - 1e-12)), last)])
        for q in (0.05, 0.5, 0.95)
    )
    return low, middle, high
