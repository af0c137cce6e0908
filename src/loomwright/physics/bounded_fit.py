"""Least squares within bounds for one or two unknowns, and the chance of so bad a fit.

Small enough to do here: a general library takes longer to load than the whole fit takes, and a
command must answer in a second. The tests hold both against that library.
"""

from __future__ import annotations

from collections.abc import Callable
from math import erfc, exp, gamma, sqrt

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]

_STEPS = 200
_SMALL = 1e-12
_DAMPING = 1e-3
_MOST_DAMPING = 1e12


def fit_within(
    misfits: Callable[[Vector], Vector], start: Vector, *, lower: Vector, upper: Vector
) -> Vector:
    """Least sum of squares of the misfits within bounds, by damped Gauss-Newton steps.

    A step is taken in the unknowns that no bound holds back, cut at the bounds, and damped until
    it helps. Source: Marquardt, J. SIAM 11 (1963) 431; the projection on bounds: Kanzow,
    Yamashita and Fukushima, J. Comput. Appl. Math. 172 (2004) 375.

    Parameters
    ----------
    misfits : residuals in standard uncertainties, shape (readings,), of unknowns of order one
    start : where to begin, shape (unknowns,)
    lower, upper : bounds, infinite for none

    Returns
    -------
    the unknowns, shape (unknowns,)
    """
    x = np.clip(start, lower, upper)
    miss, damping = misfits(x), _DAMPING
    for _ in range(_STEPS):
        slope = _slope(misfits, x, lower, upper)
        downhill = -slope.T @ miss
        free = ~((x <= lower) & (downhill < 0) | (x >= upper) & (downhill > 0))
        if not free.any() or np.abs(downhill[free]).max() < _SMALL:
            break
        normal = slope[:, free].T @ slope[:, free]
        while damping < _MOST_DAMPING:
            step = np.zeros_like(x)
            damped = normal + damping * np.diag(np.diag(normal) + _SMALL)
            step[free] = np.linalg.solve(damped, downhill[free])
            there = np.clip(x + step, lower, upper)
            missed = misfits(there)
            if missed @ missed <= miss @ miss:
                break
            damping *= 10.0
        else:
            break
        moved = np.abs(there - x).max()
        x, miss, damping = there, missed, damping / 10.0
        if moved < _SMALL * (1.0 + np.abs(x).max()):
            break
    return x


def _slope(
    misfits: Callable[[Vector], Vector], x: Vector, lower: Vector, upper: Vector
) -> NDArray[np.float64]:
    """Change of the misfits with each unknown, shape (readings, unknowns)."""
    columns = []
    for number, value in enumerate(x):
        step = 6e-6 * max(1.0, abs(float(value)))
        up, down = x.copy(), x.copy()
        up[number] = min(value + step, upper[number])
        down[number] = max(value - step, lower[number])
        columns.append((misfits(up) - misfits(down)) / (up[number] - down[number]))
    return np.column_stack(columns)


def chance_of_worse(chi_square: float, freedom: int) -> float:
    """Chance that chi-square with so many degrees of freedom exceeds a value.

    The finite series for whole degrees of freedom: Abramowitz and Stegun, *Handbook of
    Mathematical Functions*, 1964, eq. 26.4.4 and 26.4.5.

    >>> round(chance_of_worse(3.841, 1), 3)
    0.05
    """
    half = chi_square / 2.0
    odd = freedom % 2
    total = erfc(sqrt(half)) if odd else 0.0
    # Terms half^k exp(-half) / Gamma(k + 1), k whole or half-whole.
    for step in range((freedom - odd) // 2):
        power = step + 0.5 * odd
        total += exp(-half) * half**power / gamma(power + 1.0)
    return min(1.0, total)
