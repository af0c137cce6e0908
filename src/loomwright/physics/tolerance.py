"""What a few trials prove: tolerance bounds, counts without failure, capability, chart limits.

Coverage is the share of all pieces that a bound speaks of, confidence the chance that the bound
holds; both lie between 0 and 1.
"""

from __future__ import annotations

from math import ceil, log

import attrs
import numpy as np
from numpy.typing import NDArray
from scipy import special

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import Number, Result, possible, result

_MOST_TRIALS = 100_000
_RANGE_OF_TWO = 1.128  # mean range of two normal values in standard deviations, d2 for n = 2


def tolerance_factor(trials: Number, *, coverage: Number, confidence: Number) -> Result:
    """One-sided tolerance factor of a normal sample.

    k = t'(confidence; n - 1, z(coverage) · √n) / √n, t' the quantile of the non-central t

    Parameters
    ----------
    trials : number of values n, at least 2
    coverage : share of all pieces above mean - k · s
    confidence : chance that this is so

    Returns
    -------
    factor k

    Raises
    ------
    OutOfRange : fewer than 2 trials, a share not between 0 and 1

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3.

    Examples
    --------
    The e-Handbook's example, 43 values, 90 % with 99 % confidence:

    >>> round(tolerance_factor(43, coverage=0.90, confidence=0.99), 4)
    1.874
    """
    number = possible("trials", trials, "", at_least=2)
    share, chance = _share("coverage", coverage), _share("confidence", confidence)
    root = np.sqrt(number)
    return result(special.nctdtrit(number - 1, special.ndtri(share) * root, chance) / root)


def lower_bound(values: Number, *, coverage: float, confidence: float) -> float:
    """What at least a share of all pieces bears, from a normal sample of them.

    L = mean - k · s with k of `tolerance_factor`

    Parameters
    ----------
    values : measured values, at least 2, any unit
    coverage, confidence : as in `tolerance_factor`

    Returns
    -------
    bound, unit of the values

    Raises
    ------
    OutOfRange : fewer than 2 values, a share not between 0 and 1

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3.

    Examples
    --------
    >>> round(lower_bound([90, 95, 100, 105, 110], coverage=0.95, confidence=0.95), 1)
    66.8
    """
    sample = _sample(values, at_least=2)
    factor = tolerance_factor(len(sample), coverage=coverage, confidence=confidence)
    return float(sample.mean() - factor * sample.std(ddof=1))


def trials_for_factor(factor: float, *, coverage: float, confidence: float) -> int | None:
    """Fewest trials whose tolerance factor is no larger than a given one.

    Parameters
    ----------
    factor : (mean - limit) / s, what the values leave room for
    coverage, confidence : as in `tolerance_factor`

    Returns
    -------
    number of trials; None where even very many would not do

    Raises
    ------
    OutOfRange : a share not between 0 and 1, a factor that is not a number

    Notes
    -----
    The factor falls with the number of trials toward the normal quantile of the coverage.

    Examples
    --------
    >>> trials_for_factor(4.21, coverage=0.95, confidence=0.95)
    5
    """
    possible("factor", factor, "")

    def enough(number: int) -> bool:
        k = tolerance_factor(number, coverage=coverage, confidence=confidence)
        return bool(k <= factor)

    if not enough(_MOST_TRIALS):
        return None
    too_few, will_do = 1, _MOST_TRIALS
    while will_do - too_few > 1:
        middle = (too_few + will_do) // 2
        too_few, will_do = (too_few, middle) if enough(middle) else (middle, will_do)
    return will_do


def trials_needed(*, coverage: float, confidence: float, failures: int = 0) -> int:
    """Trials that show a share to be good when so many of them fail and nothing is measured.

    smallest n with P(at most f of n fail | share = coverage) ≤ 1 - confidence;
    n = ln(1 - confidence) / ln(coverage), rounded up, without a failure

    Parameters
    ----------
    coverage : share to be shown
    confidence : chance to be right
    failures : failures among the trials

    Returns
    -------
    number of trials

    Raises
    ------
    OutOfRange : a share not between 0 and 1, negative failures, or more trials than can be made

    Notes
    -----
    The exact binomial bound of C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404; without a
    failure the sample size of S. S. Wilks, Ann. Math. Stat. 12 (1941) 91.

    Examples
    --------
    >>> trials_needed(coverage=0.95, confidence=0.95)
    59
    """
    share = float(_share("coverage", coverage))
    doubt = 1.0 - float(_share("confidence", confidence))
    failed = int(possible("failures", failures, "", at_least=0))
    number = max(failed + 1, ceil(log(doubt) / log(share) - 1e-9))
    while special.bdtr(failed, number, 1.0 - share) > doubt:
        number += 1
        if number > _MOST_TRIALS:
            raise OutOfRange(
                f"more than {_MOST_TRIALS} trials would be needed",
                where="coverage",
                expected="ask for a smaller share or less confidence",
            )
    return number


def proven_share(trials: int, *, failures: int = 0, confidence: float) -> float:
    """Share that is good at least, with a confidence, when so many of the trials failed.

    1 - I(share; n - f, f + 1) = confidence; share = (1 - confidence)^(1/n) without a failure

    Parameters
    ----------
    trials : number of trials n
    failures : failures f among them
    confidence : chance to be right

    Returns
    -------
    share; 0 when every trial failed

    Raises
    ------
    OutOfRange : no trial, more failures than trials, a confidence not between 0 and 1

    Notes
    -----
    C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404, DOI 10.1093/biomet/26.4.404, one side.

    Examples
    --------
    Five good trials show that 55 % are good:

    >>> round(proven_share(5, confidence=0.95), 3)
    0.549
    """
    number = float(possible("trials", trials, "", at_least=1))
    failed = float(possible("failures", failures, "", at_least=0))
    good = float(possible("trials that did not fail", number - failed, "", at_least=0))
    chance = float(_share("confidence", confidence))
    return float(special.betaincinv(good, failed + 1.0, 1.0 - chance)) if good else 0.0


def binomial_bounds(failures: int, trials: int, *, confidence: float) -> tuple[float, float]:
    """Exact two-sided bounds of the failing share.

    lower = I⁻¹(α/2; f, n - f + 1), upper = I⁻¹(1 - α/2; f + 1, n - f), 0 and 1 at the ends

    Parameters
    ----------
    failures : failures f
    trials : number of trials n
    confidence : 1 - α

    Returns
    -------
    lower and upper bound

    Raises
    ------
    OutOfRange : no trial, more failures than trials, a confidence not between 0 and 1

    Notes
    -----
    C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404, DOI 10.1093/biomet/26.4.404.

    Examples
    --------
    3 of 20 at 95 %:

    >>> [round(bound, 4) for bound in binomial_bounds(3, 20, confidence=0.95)]
    [0.0321, 0.3789]
    """
    each_side = (1.0 + float(_share("confidence", confidence))) / 2.0
    # the good ones bound the failing share from below as the failing ones do the good share
    low = proven_share(trials, failures=trials - failures, confidence=each_side)
    return low, 1.0 - proven_share(trials, failures=failures, confidence=each_side)


@attrs.frozen(kw_only=True)
class Capability:
    """How far the mean lies above a lower limit, in three standard deviations.

    Attributes
    ----------
    index : the index Cpl
    low, high : its bounds with the confidence asked for
    """

    index: float
    low: float
    high: float


def capability(values: Number, *, limit: float, confidence: float) -> Capability:
    """Capability against a lower limit, with its confidence interval.

    Cpl = (mean - L) / 3s; Cpl ± z(1 - α/2) · √(1/(9n) + Cpl² / (2(n - 1)))

    Parameters
    ----------
    values : measured values, at least 2, any unit
    limit : lower limit L, unit of the values
    confidence : 1 - α

    Returns
    -------
    index with its bounds; endless where the values do not scatter

    Raises
    ------
    OutOfRange : fewer than 2 values, a confidence not between 0 and 1

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6. The interval is an approximation for
    large samples; below some 25 values it is a rough guide.

    Examples
    --------
    >>> found = capability([90, 95, 100, 105, 110], limit=57.9, confidence=0.95)
    >>> round(found.index, 2), round(found.low, 2), round(found.high, 2)
    (1.78, 0.51, 3.04)
    """
    sample = _sample(values, at_least=2)
    z = float(special.ndtri((1.0 + _share("confidence", confidence)) / 2.0))
    floor = float(possible("limit", limit, ""))
    room, spread = float(sample.mean()) - floor, float(sample.std(ddof=1))
    if spread == 0.0:
        index = float(np.copysign(np.inf, room)) if room else 0.0
        return Capability(index=index, low=index, high=index)
    index, count = room / (3.0 * spread), len(sample)
    half = z * (1.0 / (9.0 * count) + index**2 / (2.0 * (count - 1))) ** 0.5
    return Capability(index=index, low=index - half, high=index + half)


@attrs.frozen(kw_only=True)
class ChartLimits:
    """An individuals chart.

    Attributes
    ----------
    centre : mean
    low, high : control limits
    outside : places of values beyond them, from 0
    """

    centre: float
    low: float
    high: float
    outside: tuple[int, ...]


def chart_limits(values: Number) -> ChartLimits:
    """Control limits of single values in their order, from the moving range of two.

    mean ± 3 · MR / 1.128, MR the mean of |xᵢ - xᵢ₋₁|

    Parameters
    ----------
    values : measured values in order, at least 2, any unit

    Returns
    -------
    centre, limits, and what lies beyond them

    Raises
    ------
    OutOfRange : fewer than 2 values

    Notes
    -----
    NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2.

    Examples
    --------
    The e-Handbook's example:

    >>> flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
    >>> found = chart_limits(flow)
    >>> round(found.low, 2), round(found.centre, 2), round(found.high, 2)
    (45.82, 50.81, 55.8)
    """
    sample = _sample(values, at_least=2)
    centre = float(sample.mean())
    reach = 3.0 * float(np.abs(np.diff(sample)).mean()) / _RANGE_OF_TWO
    beyond = np.flatnonzero(np.abs(sample - centre) > reach * (1.0 + 1e-12))
    return ChartLimits(
        centre=centre,
        low=centre - reach,
        high=centre + reach,
        outside=tuple(int(place) for place in beyond),
    )


def _share(name: str, values: Number) -> NDArray[np.float64]:
    share = possible(name, values, "", above=0)
    if (share >= 1.0).any():
        got = float(share[share >= 1.0].flat[0])
        raise OutOfRange(
            f"{got:g} is not possible", where=name, expected="give a value between 0 and 1"
        )
    return share


def _sample(values: Number, *, at_least: int) -> NDArray[np.float64]:
    sample = possible("values", values, "").reshape(-1)
    possible("number of values", len(sample), "", at_least=at_least)
    return sample
