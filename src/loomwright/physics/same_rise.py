"""How many times slower a plug warms with its boot on: the times to the same rise, no model."""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import numpy as np
from scipy import special

from loomwright.physics.quantities import possible
from loomwright.physics.warming import Estimate, Warming

_CLEAR = 3.0  # a rise counts from so many times the uncertainty of a difference of two readings


@attrs.frozen(kw_only=True)
class SameRise:
    """The times bare and shielded to the largest rise that all runs reached.

    Attributes
    ----------
    rise_k : that rise [K]; of the first run bare, where it is a share of the way to the air
    of_air : whether the same share of the way to the air was taken, and not the same rise
    bare_s, shielded_s : times to it [s]
    slower : ratio of the two [1]
    """

    rise_k: float
    of_air: bool
    bare_s: Estimate
    shielded_s: Estimate
    slower: Estimate


def same_rise(
    bare: Sequence[Warming],
    shielded: Sequence[Warming],
    *,
    reading_k: float,
    timing_s: float,
    confidence: float = 0.95,
) -> SameRise | None:
    """How many times longer the shielded plug takes to the same rise.

    The same share of the way from start to air where every run measured the air, the same rise in
    kelvin where not. Times are found straight between readings. Uncertain are the readings at the
    start and at the rise, the clock, the course between two readings (evenly over half the way to
    the nearer one), and how far runs of one kind differ.

    Parameters
    ----------
    bare, shielded : runs without and with the boot; those without a reading at 0 s are left out
    reading_k : standard uncertainty of one temperature [K]
    timing_s : standard uncertainty of one time [s]
    confidence : chance that an interval holds the true value

    Returns
    -------
    times and ratio, the intervals even on a logarithmic scale; None where there is no clear rise
    that runs of both kinds reached

    Raises
    ------
    OutOfRange : an uncertainty not above 0, a confidence not between 0 and 1

    Notes
    -----
    Uncertainties are joined as in the Guide to the expression of uncertainty in measurement
    (JCGM 100), 5.1.2, on logarithms.

    Examples
    --------
    27 K in 5 s bare and in 60 s with the boot on:

    >>> bare, boot = (Warming(times_s=[0, each], temperatures_c=[23, 50]) for each in (5, 60))
    >>> found = same_rise([bare], [boot], reading_k=0.5, timing_s=0.5)
    >>> round(found.slower.value, 1), round(found.slower.low, 1), round(found.slower.high, 1)
    (12.0, 9.7, 14.8)
    """
    possible("uncertainty of a temperature", reading_k, "K", above=0)
    possible("uncertainty of a time", timing_s, "s", above=0)
    possible("confidence", confidence, "", above=0)
    possible("chance left", 1 - confidence, "", above=0)
    kinds = [[run for run in kind if run.times_s[0] == 0] for kind in (bare, shielded)]
    of_air = all(run.air_c is not None for kind in kinds for run in kind)
    if not all(kinds):
        return None
    levels = [min(_reached(run, of_air) for run in kind) for kind in kinds]
    level = min(levels)
    clear = _CLEAR * np.sqrt(2) * reading_k
    if min(level * _way(run, of_air) for kind in kinds for run in kind) < clear:
        return None
    logs = [
        _joined([_log_time(run, level * _way(run, of_air), reading_k, timing_s) for run in kind])
        for kind in kinds
    ]
    (fast, fast_u), (slow, slow_u) = logs
    wide = float(special.ndtri(0.5 + confidence / 2))
    return SameRise(
        rise_k=float(level * _way(kinds[0][0], of_air)),
        of_air=of_air,
        bare_s=_estimate(fast, wide * fast_u),
        shielded_s=_estimate(slow, wide * slow_u),
        slower=_estimate(slow - fast, wide * float(np.hypot(fast_u, slow_u))),
    )


def _way(run: Warming, of_air: bool) -> float:
    """What a level is a share of: the way from start to air [K], or 1 K."""
    return float(run.air_c - run.temperatures_c[0]) if of_air and run.air_c is not None else 1.0


def _reached(run: Warming, of_air: bool) -> float:
    """The highest level a run reached; nothing where the air does not warm it at all."""
    way = _way(run, of_air)
    return float(np.ptp(run.temperatures_c[[0, _hottest(run)]])) / way if way > 0 else 0.0


def _hottest(run: Warming) -> int:
    return int(np.argmax(run.temperatures_c))


def _log_time(
    run: Warming, rise_k: float, reading_k: float, timing_s: float
) -> tuple[float, float]:
    """Logarithm of the time to a rise, and its standard uncertainty."""
    rises = run.temperatures_c - run.temperatures_c[0]
    after = int(np.argmax(rises >= rise_k * (1 - 1e-9)))
    early, late = run.times_s[after - 1], run.times_s[after]
    slope = (rises[after] - rises[after - 1]) / (late - early)
    when = early + (rise_k - rises[after - 1]) / slope
    # A jump between two readings may be chance: the mean slope until then limits it.
    gentle = min(slope, rise_k / when)
    between = min(when - early, late - when) / 2 / np.sqrt(3)
    doubts = (np.sqrt(2) * reading_k / gentle, timing_s, between)
    return float(np.log(when)), float(np.linalg.norm(doubts) / when)


def _joined(logs: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Mean of runs of one kind, and its uncertainty by their own doubts or by their scatter."""
    values, doubts = (np.array(each) for each in zip(*logs, strict=True))
    count = len(values)
    scatter = float(values.std(ddof=1)) / np.sqrt(count) if count > 1 else 0.0
    return float(values.mean()), max(float(np.linalg.norm(doubts)) / count, scatter)


def _estimate(log_value: float, half: float) -> Estimate:
    low, value, high = np.exp([log_value - half, log_value, log_value + half])
    return Estimate(value=float(value), low=float(low), high=float(high))
