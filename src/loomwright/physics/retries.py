"""How likely the work is finished with the tries there are, when each try may fail.

The chance to fail is either known, or known by a record only: so much `failed`, so much `good`, the
two parameters of a beta distribution. With whole numbers of tries all sums are exact.
"""

from __future__ import annotations

from fractions import Fraction
from math import comb

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import possible

_MOST_SPARES = 100_000
_FINEST = 10**9  # a record is read as the nearest simple fraction: 0.6 as 3/5


def chance_of_enough(needed: int, spares: int, *, failing: float) -> float:
    """Chance that so many spare pieces suffice when each piece fails with a known chance.

    P = Σ C(r + k - 1, k) · (1 - p)^r · p^k, k = 0 … s: the negative binomial

    Parameters
    ----------
    needed : good pieces needed, r
    spares : pieces that may fail, s
    failing : chance p of one piece to fail

    Returns
    -------
    probability

    Raises
    ------
    OutOfRange : negative counts, a chance not from 0 to 1

    Notes
    -----
    Negative binomial distribution: NIST Engineering Statistics, Dataplot reference, NBCDF.

    Examples
    --------
    30 crimps at 5 % scrap with 4 spare terminals:

    >>> round(chance_of_enough(30, 4, failing=0.05), 3)
    0.974
    """
    good, extra = _count("pieces needed", needed), _count("spares", spares)
    bad = _probability(failing)
    term = total = (1.0 - bad) ** good
    for k in range(extra):
        term *= (good + k) / (k + 1) * bad
        total += term
    return min(total, 1.0)


def chance_of_enough_by_record(needed: int, spares: int, *, failed: float, good: float) -> float:
    """The same with the chance to fail known by a record only.

    P = Σ C(r + k - 1, k) · B(b + r, a + k) / B(b, a), k = 0 … s: the beta negative binomial,
    p ~ Beta(a = failed, b = good)

    Parameters
    ----------
    needed : good pieces needed, r
    spares : pieces that may fail, s
    failed, good : the record, what was known before it included

    Returns
    -------
    probability

    Raises
    ------
    OutOfRange : negative counts, a record not above 0

    Notes
    -----
    N. L. Johnson, A. W. Kemp, S. Kotz, Univariate Discrete Distributions, 3rd ed., 6.2.3.

    Examples
    --------
    >>> round(chance_of_enough_by_record(2, 3, failed=0.6, good=14.4), 4)
    0.9995
    """
    pieces, extra = _count("pieces needed", needed), _count("spares", spares)
    a, b = _record(failed, good)
    term = 1.0
    for i in range(pieces):
        term *= (b + i) / (a + b + i)
    total = term
    for k in range(extra):
        term *= (pieces + k) / (k + 1) * (a + k) / (a + b + pieces + k)
        total += term
    return min(total, 1.0)


def spares_for(needed: int, *, confidence: float, failed: float, good: float) -> int:
    """Fewest spare pieces that suffice with a confidence, by a record.

    Parameters
    ----------
    needed : good pieces needed
    confidence : chance that they suffice
    failed, good : as in `chance_of_enough_by_record`

    Returns
    -------
    number of spare pieces

    Raises
    ------
    OutOfRange : negative counts, a record not above 0, a confidence not below 1, or no reasonable
        number suffices

    Examples
    --------
    60 crimps after 2 of 40 failed:

    >>> spares_for(60, confidence=0.95, failed=2.6, good=47.4)
    9
    """
    asked = _probability(confidence, name="confidence")

    def enough(spares: int) -> bool:
        return chance_of_enough_by_record(needed, spares, failed=failed, good=good) >= asked

    too_few, will_do = -1, 0
    while not enough(will_do):
        too_few, will_do = will_do, 2 * will_do + 1
        if will_do > _MOST_SPARES:
            raise OutOfRange(
                f"more than {_MOST_SPARES} spares would be needed",
                where="confidence",
                expected="ask for less confidence, or make more trials first",
            )
    while will_do - too_few > 1:
        middle = (too_few + will_do) // 2
        too_few, will_do = (too_few, middle) if enough(middle) else (middle, will_do)
    return will_do


def chance_all_equal(ends: int, rounds: int, *, failing: float) -> float:
    """Chance to finish a plug whose wires must end equal: one slip costs all of them a length.

    P = 1 - (1 - (1 - p)^m)^A: a round is good when all its crimps are

    Parameters
    ----------
    ends : wires of the plug, m
    rounds : rounds there is wire for, A
    failing : chance p of one crimp to fail

    Returns
    -------
    probability

    Raises
    ------
    OutOfRange : negative counts, a chance not from 0 to 1

    Notes
    -----
    Derived: rounds that fail before the first good one are geometric, the negative binomial for
    one good round.

    Examples
    --------
    >>> round(chance_all_equal(2, 1, failing=0.1), 4), round(chance_all_equal(2, 3, failing=0.1), 4)
    (0.81, 0.9931)
    """
    wires, tries = _count("ends", ends), _count("rounds", rounds)
    return 1.0 - (1.0 - (1.0 - _probability(failing)) ** wires) ** tries


def chance_all_equal_by_record(ends: int, rounds: int, *, failed: float, good: float) -> float:
    """The same with the chance to fail known by a record only.

    P = 1 - Σ (-1)^j · C(A, j) · B(b + m·j, a) / B(b, a), j = 0 … A, p ~ Beta(a = failed, b = good)

    Parameters
    ----------
    ends : wires of the plug, m
    rounds : rounds there is wire for, A
    failed, good : the record, what was known before it included

    Returns
    -------
    probability

    Raises
    ------
    OutOfRange : negative counts, a record not above 0

    Notes
    -----
    Derived: the binomial expansion of `chance_all_equal`, averaged over the beta distribution.

    Examples
    --------
    >>> round(chance_all_equal_by_record(2, 3, failed=0.6, good=14.4), 4)
    0.9964
    """
    wires, tries = _count("ends", ends), _count("rounds", rounds)
    return 1.0 - _mean_of_complement(wires, tries, _record(good, failed))


def chance_each_alone(ends: int, tries: int, *, failing: float) -> float:
    """Chance to finish a plug whose wires need not end equal: each has tries of its own.

    P = (1 - p^A)^m

    Parameters
    ----------
    ends : wires of the plug, m
    tries : tries each wire is long enough for, A
    failing : chance p of one crimp to fail

    Returns
    -------
    probability

    Raises
    ------
    OutOfRange : negative counts, a chance not from 0 to 1

    Notes
    -----
    Derived: independent wires, each a negative binomial for one good crimp.

    Examples
    --------
    >>> round(chance_each_alone(22, 2, failing=0.05), 4)
    0.9464
    """
    wires, each = _count("ends", ends), _count("tries", tries)
    return float((1.0 - _probability(failing) ** each) ** wires)


def chance_each_alone_by_record(ends: int, tries: int, *, failed: float, good: float) -> float:
    """The same with the chance to fail known by a record only.

    P = Σ (-1)^j · C(m, j) · B(a + A·j, b) / B(a, b), j = 0 … m, p ~ Beta(a = failed, b = good)

    Parameters
    ----------
    ends : wires of the plug, m
    tries : tries each wire is long enough for, A
    failed, good : the record, what was known before it included

    Returns
    -------
    probability

    Raises
    ------
    OutOfRange : negative counts, a record not above 0

    Notes
    -----
    Derived: the binomial expansion of `chance_each_alone`, averaged over the beta distribution.

    Examples
    --------
    >>> round(chance_each_alone_by_record(22, 2, failed=0.6, good=14.4), 4)
    0.9318
    """
    wires, each = _count("ends", ends), _count("tries", tries)
    return _mean_of_complement(each, wires, _record(failed, good))


def _mean_of_complement(power: int, times: int, record: tuple[float, float]) -> float:
    """Mean of (1 - x^power)^times for x ~ Beta(a, b), in whole numbers: the sum alternates.

    E[x^n] = a(a+1)…(a+n-1) / ((a+b)(a+b+1)…(a+b+n-1))
    """
    if power == 0:
        return float(times == 0)
    (above, scale), (beyond, other) = (
        Fraction(each).limit_denominator(_FINEST).as_integer_ratio() for each in record
    )
    a, both, step = above * other, above * other + beyond * scale, scale * other
    heads, tails = [1], [1]  # products of the first factors above, of the last ones below
    for i in range(power * times):
        heads.append(heads[-1] * (a + i * step))
    for i in reversed(range(power * times)):
        tails.append(tails[-1] * (both + i * step))
    tails.reverse()
    total = sum(
        (-1) ** j * comb(times, j) * heads[power * j] * tails[power * j] for j in range(times + 1)
    )
    return float(total / tails[0])


def _count(name: str, value: int) -> int:
    return int(possible(name, value, "", at_least=0))


def _record(first: float, second: float) -> tuple[float, float]:
    one, other = possible("record", first, "", above=0), possible("record", second, "", above=0)
    return float(one), float(other)


def _probability(value: float, *, name: str = "chance to fail") -> float:
    chance = float(possible(name, value, "", at_least=0))
    if chance > 1.0:
        raise OutOfRange(
            f"{chance:g} is not possible", where=name, expected="give a value from 0 to 1"
        )
    return chance
