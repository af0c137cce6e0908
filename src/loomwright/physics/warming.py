"""Warming curves of a plug in blown air: their time constants, and how much a boot slows it.

T(t) = T_air − (T_air − T_0) · exp(−(t − lag) / τ) from the lag on, T_0 before. The answer without
any model, the ratio of the times to the same rise, is in `same_rise.py`.
"""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import numpy as np
from numpy.typing import NDArray
from scipy import special

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import Number, possible

Floats = NDArray[np.float64]

_FEWEST = 3  # a start and a bend: with fewer a run tells nothing of its time constant
_AIRS = 40
_COARSE, _SECTIONS, _BISECTIONS = 100, 20, 20
_SHORTEST, _LONGEST = 1 / 20, 1000.0  # of the shortest gap and of the whole run: then it is open
_GOLDEN = (np.sqrt(5.0) - 1) / 2


def _floats(values: Number) -> Floats:
    return np.asarray(values, np.float64)


@attrs.frozen(kw_only=True, eq=False)
class Warming:
    """One run: what the thermometer in the plug showed while the blower was on it.

    Attributes
    ----------
    times_s : times since the blower was put to it [s], rising
    temperatures_c : temperature at those times [°C]
    air_c : temperature of the blown air [°C], None where it was not measured
    """

    times_s: Floats = attrs.field(converter=_floats)
    temperatures_c: Floats = attrs.field(converter=_floats)
    air_c: float | None = None

    def __attrs_post_init__(self) -> None:
        times = possible("time", self.times_s, "s", at_least=0)
        read = possible("temperature", self.temperatures_c, "°C")
        if times.ndim != 1 or times.shape != read.shape or (np.diff(times) <= 0).any():
            raise OutOfRange(
                f"{times.size} times and {read.size} temperatures do not make a run",
                where="warming",
                expected="give a temperature for each time, each time after the one before",
            )


@attrs.frozen(kw_only=True)
class Estimate:
    """A figure and the interval it lies in; `low` 0 or `high` infinite: open on that side.

    Attributes
    ----------
    value, low, high : in the unit of the figure
    """

    value: float
    low: float
    high: float


@attrs.frozen(kw_only=True)
class WarmingFit:
    """What the curves with one state of the boot show.

    Attributes
    ----------
    time_constant_s : time constant [s]
    residual_sd : scatter of the readings about the curves [K]
    freedom : readings less what was fitted
    """

    time_constant_s: Estimate
    residual_sd: float
    freedom: int


@attrs.frozen(kw_only=True)
class WarmingPair:
    """Bare and shielded, and how many times longer the shielded time constant is.

    Attributes
    ----------
    bare, shielded : each by itself
    slower : ratio of the time constants [1]
    """

    bare: WarmingFit
    shielded: WarmingFit
    slower: Estimate


def fit_warming(
    runs: Sequence[Warming],
    *,
    reading_k: float,
    highest_air_c: float,
    confidence: float = 0.95,
) -> WarmingFit | None:
    """Time constant common to runs with one state of the boot.

    The interval holds every time constant for which some lag, start and, where it was not
    measured, air temperature fit about as well as the best (profile likelihood). It opens upward
    where the curve is too straight to bend towards anything.

    Parameters
    ----------
    runs : the runs; each has its own start and lag
    reading_k : standard uncertainty of one temperature [K]; the scatter counts where it is larger
    highest_air_c : no blower is hotter [°C], where the air was not measured
    confidence : chance that the interval holds the true value

    Returns
    -------
    the fit; None where the readings are too few to tell

    Raises
    ------
    OutOfRange : an uncertainty not above 0, a confidence not between 0 and 1

    Notes
    -----
    Profile likelihood: Meeker and Escobar, The American Statistician 49 (1995) 48.

    Examples
    --------
    A run made with 60 s, 20 °C in air of 120 °C:

    >>> times = np.arange(0, 100, 10.0)
    >>> run = Warming(times_s=times, temperatures_c=120 - 100 * np.exp(-times / 60), air_c=120)
    >>> round(fit_warming([run], reading_k=0.3, highest_air_c=700).time_constant_s.value, 1)
    60.0
    """
    fits, _ = _fitted([tuple(runs)], reading_k, highest_air_c, confidence)
    return fits[0] if fits else None


def fit_pair(
    bare: Sequence[Warming],
    shielded: Sequence[Warming],
    *,
    reading_k: float,
    highest_air_c: float,
    confidence: float = 0.95,
) -> WarmingPair | None:
    """Time constants bare and shielded, the air not measured being the same for all runs.

    The interval of the ratio joins those of both time constants on a logarithmic scale; where the
    air is not known, over every air temperature that fits.

    Parameters
    ----------
    bare, shielded : runs without and with the boot
    reading_k, highest_air_c, confidence : as in `fit_warming`

    Returns
    -------
    both fits and the ratio; None where the readings are too few to tell

    Raises
    ------
    OutOfRange : as in `fit_warming`

    Notes
    -----
    Interval of a ratio from two intervals: Zou and Donner, Statistics in Medicine 27 (2008) 1693.

    Examples
    --------
    >>> times = np.arange(0, 100, 10.0)
    >>> slow, fast = (Warming(times_s=times, temperatures_c=120 - 100 * np.exp(-times / each),
    ...                       air_c=120) for each in (60, 20))
    >>> round(fit_pair([fast], [slow], reading_k=0.3, highest_air_c=700).slower.value, 2)
    3.0
    """
    fits, slower = _fitted([tuple(bare), tuple(shielded)], reading_k, highest_air_c, confidence)
    if slower is None:
        return None
    return WarmingPair(bare=fits[0], shielded=fits[1], slower=slower)


@attrs.frozen(kw_only=True)
class _Spread:
    """Best logarithm of a group's time constant and its ends, per air temperature tried."""

    best: Floats
    low: Floats
    high: Floats


def _fitted(
    groups: Sequence[tuple[Warming, ...]], reading_k: float, highest_air_c: float, confidence: float
) -> tuple[list[WarmingFit], Estimate | None]:
    """A fit for each group, and the ratio of the second to the first."""
    possible("uncertainty of a temperature", reading_k, "K", above=0)
    possible("confidence", confidence, "", above=0)
    possible("chance left", 1 - confidence, "", above=0)
    groups = [tuple(run for run in group if len(run.times_s) >= _FEWEST) for group in groups]
    runs = [run for group in groups for run in group]
    unknown = any(run.air_c is None for run in runs)
    free = sum(len(run.times_s) - 2 for run in runs) - len(groups) - unknown
    if free < 1 or not all(groups):
        return [], None
    misfits = [_Misfit(group) for group in groups]
    chance = 0.5 + confidence / 2
    few = float(special.stdtrit(free, chance)) ** 2
    airs = np.array([np.nan])
    if unknown:
        airs = _airs(misfits, runs, highest_air_c, few=few / free, promised=few * reading_k**2)
    best = [each.best(airs) for each in misfits]
    least = [each(at, airs) for each, at in zip(misfits, best, strict=True)]
    total = np.sum(least, axis=0)
    variance = max(float(total.min()) / free, reading_k**2)
    # Where the scatter is what the thermometer promises, it is known; else it is a guess of few.
    promised = variance == reading_k**2
    limit = total.min() + variance * (float(special.ndtri(chance)) ** 2 if promised else few)
    kept = total <= limit
    spreads = [
        each.spread(at[kept], airs[kept], limit - (total - own)[kept])
        for each, at, own in zip(misfits, best, least, strict=True)
    ]
    centre = int(np.argmin(total[kept]))
    scatter = float(np.sqrt(total.min() / free))
    fits = [
        WarmingFit(time_constant_s=_estimate(each.best[centre], each.low, each.high),
                   residual_sd=scatter, freedom=free)
        for each in spreads
    ]  # fmt: skip
    return fits, _ratio(spreads, centre) if len(groups) == 2 else None


def _estimate(best: float, low: Floats, high: Floats) -> Estimate:
    return Estimate(
        value=float(np.exp(best)), low=float(np.exp(low.min())), high=float(np.exp(high.max()))
    )


def _ratio(spreads: list[_Spread], centre: int) -> Estimate:
    one, other = spreads
    best = other.best - one.best
    down = np.hypot(other.best - other.low, one.high - one.best)
    up = np.hypot(other.high - other.best, one.best - one.low)
    return _estimate(best[centre], best - down, best + up)


def _airs(
    misfits: list[_Misfit],
    runs: list[Warming],
    highest_air_c: float,
    *,
    few: float,
    promised: float,
) -> Floats:
    """Air temperatures to try: first far and wide, then close where the fit is good.

    Good is a sum of squares up to `few` times the least above it, and `promised` [K²] more.
    """
    hottest = max(float(run.temperatures_c.max()) for run in runs)
    possible("highest air less hottest reading", highest_air_c - hottest, "K", above=0)
    low, high = np.log(0.5), np.log(max(highest_air_c - hottest, 1.0))
    for _ in range(3):
        tried = np.linspace(low, high, _AIRS)
        airs = hottest + np.exp(tried)
        total = np.sum([each(each.best(airs), airs) for each in misfits], axis=0)
        good = np.flatnonzero(total <= (1 + few) * total.min() + promised)
        low = tried[max(good[0] - 1, 0)]
        high = tried[min(good[-1] + 1, _AIRS - 1)]
    return airs


class _Misfit:
    """Sum of squared misfits of a group by the logarithm of its time constant and the air."""

    def __init__(self, group: tuple[Warming, ...]) -> None:
        self.runs = group
        gaps = [np.diff(run.times_s).min() for run in self.runs]
        spans = [np.ptp(run.times_s) for run in self.runs]
        self.low, self.high = np.log(min(gaps) * _SHORTEST), np.log(max(spans) * _LONGEST)

    def __call__(self, log_constant: Floats, airs: Floats) -> Floats:
        """Least sum over starts and lags [K²]; all of one shape (cases,)."""
        constant = np.exp(log_constant)
        total = np.zeros_like(constant)
        for run in self.runs:
            air = airs if run.air_c is None else np.full_like(constant, run.air_c)
            total += _least_misfit(run, constant, air)
        return total

    def best(self, airs: Floats) -> Floats:
        """Best logarithm for each air temperature: a coarse look, then the golden section."""
        tried = np.linspace(self.low, self.high, _COARSE)
        grid = self(np.repeat(tried, len(airs)), np.tile(airs, _COARSE))
        at = np.clip(np.argmin(grid.reshape(_COARSE, -1), axis=0), 1, _COARSE - 2)
        low, high = tried[at - 1], tried[at + 1]
        for _ in range(_SECTIONS):
            left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
            smaller = self(left, airs) <= self(right, airs)
            low, high = np.where(smaller, low, left), np.where(smaller, right, high)
        return np.asarray((low + high) / 2)

    def spread(self, best: Floats, airs: Floats, limits: Floats) -> _Spread:
        """Where the misfit passes its limit on both sides, infinite where it does not."""
        return _Spread(
            best=best,
            low=self._edge(best, self.low, airs, limits),
            high=self._edge(best, self.high, airs, limits),
        )

    def _edge(self, best: Floats, end: float, airs: Floats, limits: Floats) -> Floats:
        inside, outside = best, np.full_like(best, end)
        open_ended = self(outside, airs) <= limits
        for _ in range(_BISECTIONS):
            middle = (inside + outside) / 2
            within = self(middle, airs) <= limits
            inside = np.where(within, middle, inside)
            outside = np.where(within, outside, middle)
        return np.where(open_ended, np.copysign(np.inf, end - best), inside)


def _least_misfit(run: Warming, constant: Floats, air: Floats) -> Floats:
    """Least sum of squares over start and lag, shape (cases,).

    For a given time constant the curve is a level and a decay, each a line in its own size; so the
    best lag is either a time of the run or where the best level meets the best decay.
    """
    times, left = run.times_s, (air[:, None] - run.temperatures_c)[:, None, :]
    since = times - times[:, None]  # from each time to each time, shape (from, to)
    scale = constant[:, None, None]
    held = np.exp(-np.maximum(since, 0) / scale)  # level up to a time, decay from it on
    at_times = _misfit(held[:, :-1], left)
    early = times < times[:, None]
    level = (early * left).sum(axis=-1) / np.maximum(early.sum(axis=-1), 1)
    fall = held * ~early
    size = _size(fall, left)
    between = ((left - np.where(early, level[..., None], size[..., None] * fall)) ** 2).sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        ahead = constant[:, None] * np.log(level / size)  # of each time: there level meets decay
    meets = (ahead[:, 1:-1] >= 0) & (ahead[:, 1:-1] <= np.diff(times)[:-1])
    best = np.where(meets, between[:, 1:-1], np.inf).min(axis=-1, initial=np.inf)
    return np.asarray(np.minimum(at_times.min(axis=-1), best))


def _size(shape: Floats, left: Floats) -> Floats:
    """Multiple of a shape that lies nearest, over the last axis."""
    return np.asarray((shape * left).sum(axis=-1) / (shape**2).sum(axis=-1))


def _misfit(shape: Floats, left: Floats) -> Floats:
    """Sum of squares about that multiple."""
    return np.asarray(((left - _size(shape, left)[..., None] * shape) ** 2).sum(axis=-1))
