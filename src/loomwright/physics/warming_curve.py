"""The curve of a warming run for a given time constant, to be drawn beside its readings."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from loomwright.physics.quantities import Number, possible
from loomwright.physics.warming import Warming

Floats = NDArray[np.float64]
_LAGS = 60


def warming_curve(warming: Warming, *, time_constant_s: float, times_s: Number) -> Floats:
    """Temperatures of the curve nearest to a run: a start held until a lag, then the approach.

    T(t) = T_air − (T_air − T_0) · exp(−max(t − lag, 0) / τ), with T_0 and the lag, and T_air where
    it was not measured, of least squares. For each lag tried that is a line in its unknowns.

    Parameters
    ----------
    warming : the run
    time_constant_s : τ [s]
    times_s : where the curve is wanted [s]

    Returns
    -------
    temperatures there [°C]

    Raises
    ------
    OutOfRange : a time constant not above 0

    Examples
    --------
    >>> times = np.arange(0, 100, 10.0)
    >>> run = Warming(times_s=times, temperatures_c=120 - 100 * np.exp(-times / 60), air_c=120)
    >>> warming_curve(run, time_constant_s=60, times_s=[0, 60]).round(1).tolist()
    [20.0, 83.2]
    """
    possible("time constant", time_constant_s, "s", above=0)
    at, times = np.asarray(times_s, np.float64), warming.times_s
    lags = np.linspace(times[0], times[0] + np.ptp(times) / 2, _LAGS)
    found = [_nearest(warming, time_constant_s, lag) for lag in lags]
    air, fall, lag = min(found, key=lambda each: each[1])[0]
    return np.asarray(air - fall * np.exp(-np.maximum(at - lag, 0) / time_constant_s))


def _nearest(
    warming: Warming, time_constant_s: float, lag: float
) -> tuple[tuple[float, float, float], float]:
    """Air, fall and lag of the nearest curve of one lag, and the sum of its squared misfits."""
    held = np.exp(-np.maximum(warming.times_s - lag, 0) / time_constant_s)
    read = warming.temperatures_c
    if warming.air_c is None:
        (air, fall), *_ = np.linalg.lstsq(np.stack([np.ones_like(held), -held], axis=1), read)
    else:
        air = warming.air_c
        fall = (held * (air - read)).sum() / (held**2).sum()
    misfit = float(((air - fall * held - read) ** 2).sum())
    return (float(air), float(fall), float(lag)), misfit
