"""The normal distribution without a large library: a command must start fast."""

from __future__ import annotations

from math import erfc, sqrt

import numpy as np
from numpy.typing import NDArray

_ERFC = np.frompyfunc(erfc, 1, 1)


def normal_share(x: NDArray[np.float64]) -> NDArray[np.float64]:
    """Share of a standard normal distribution below x, shape of x: erfc(-x / √2) / 2.

    Source: Abramowitz and Stegun, *Handbook of Mathematical Functions*, 1964, eq. 26.2.29.
    """
    return np.asarray(0.5 * _ERFC(-x / sqrt(2.0)), dtype=np.float64)
