"""The closed forms of `reading`: one or two faults as rank-one steps from the sound loom.

Shapes: what depends on the faults alone is (scenarios,); what a probe pair has of its own and what
it sees of a fault broadcast against that, as (tests, 1) and (tests, scenarios) or one by one.
"""

from __future__ import annotations

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats

FORBIDDEN = 0.25
"""Integers below are 0, which islands allow; 1 and up they forbid."""
_CANCELS = 1e-4
_NO_TIES = np.zeros(1)


@attrs.frozen(eq=False)
class Outcome:
    """Readings with their faults in place; arrays of one shape.

    Attributes
    ----------
    ohm : resistance between the probes [ohm], infinite where nothing connects them
    volt : open-circuit voltage plus against minus [V], 0 where the probes float
    x1, x2 : how strongly each fault port answers the test current (see `Bench.sensitivity`)
    y1, y2 : how strongly it answers the supplies [A or V] (see `Bench.supply_current`)
    """

    ohm: Floats
    volt: Floats
    x1: Floats
    x2: Floats
    y1: Floats
    y2: Floats


@attrs.frozen(eq=False)
class Pair:
    """A probe pair: resistance, its forbidden part, open-circuit voltage."""

    r: Floats
    k: Floats
    v: Floats


@attrs.frozen(eq=False)
class Seen:
    """A fault port as the probes see it: coupling, own value, drive by the supplies, size.

    `kw` and `k` are integers; `kw` may be a single 0 where there are no islands between.
    """

    w: Floats
    kw: Floats
    own: Floats
    k: Floats
    drive: Floats
    size: Floats


def finish(pair: Pair, x: tuple[Floats, Floats], y: tuple[Floats, Floats]) -> Outcome:
    """The readings: over-range where an integer forbids a current."""
    ohm, volt = np.maximum(pair.r, 0.0), pair.v
    forbidden = pair.k > FORBIDDEN
    if forbidden.any():
        ohm, volt = np.where(forbidden, np.inf, ohm), np.where(forbidden, 0.0, volt)
    return Outcome(ohm, volt, *x, *y)


def none(pair: Pair) -> Outcome:
    """With nothing wrong."""
    quiet = np.zeros(1)
    return finish(pair, (quiet, quiet), (quiet, quiet))


def one_series(pair: Pair, fault: Seen) -> Outcome:
    """With resistance in one edge."""
    gain, severed = _gain(fault)
    after, x = _through_series(pair, fault, gain, severed)
    quiet = np.zeros(1)
    return finish(after, (x, quiet), (gain * fault.drive, quiet))


def one_shunt(pair: Pair, fault: Seen) -> Outcome:
    """With a resistance between two nodes."""
    after, x, y = _through_shunt(pair, fault)
    quiet = np.zeros(1)
    return finish(after, (x, quiet), (y, quiet))


def two_series(
    pair: Pair, faults: tuple[Seen, Seen], m: Floats, cut: NDArray[np.bool_]
) -> tuple[Outcome, NDArray[np.bool_]]:
    """The readings, and scenarios in which too many digits cancelled for them to be kept.

    Parameters
    ----------
    m : loop conductance between the two [S]
    cut : whether they are a cut pair
    """
    one, two = faults
    gain, severed = _gain(one)
    after, t = _through_series(pair, one, gain, severed)
    w = two.w - m * t
    own = two.own - m**2 * gain
    drive = two.drive - m * one.drive * gain
    # Opening one edge of a cut pair makes a bridge of the other: exactly, not nearly.
    bridge = cut & (one.size == 0.0)
    if bridge.any():
        w = np.where(bridge, np.round(w), w)
        own, drive = np.where(bridge, 0.0, own), np.where(bridge, 0.0, drive)
    second = Seen(w, _NO_TIES, own, two.k, drive, two.size)
    gain2, severed2 = _gain(second)
    final, x2 = _through_series(after, second, gain2, severed2)
    y2 = gain2 * drive
    x1, y1 = gain * (one.w - m * x2), gain * (one.drive - m * y2)
    lost = np.abs(own + two.size) < _CANCELS * two.own
    return finish(final, (x1, x2), (y1, y2)), lost & ~bridge & (two.own > 0.0)


def series_and_shunt(pair: Pair, faults: tuple[Seen, Seen], m: Floats) -> Outcome:
    """With resistance in one edge and a resistance between two nodes.

    Parameters
    ----------
    m : share of a current through the shunt in the edge
    """
    one, two = faults
    gain, severed = _gain(one)
    after, t = _through_series(pair, one, gain, severed)
    w, kw, k = two.w + m * t, two.kw, two.k
    if severed.any():
        kw, k = kw + one.w * (m * severed), k + m**2 * severed
    second = Seen(w, kw, two.own + m**2 * gain, k, two.drive + one.drive * m * gain, two.size)
    final, x2, y2 = _through_shunt(after, second)
    x1, y1 = gain * (one.w + m * x2), gain * (one.drive + y2 * m)
    return finish(final, (x1, x2), (y1, y2))


def two_shunts(pair: Pair, faults: tuple[Seen, Seen], m: Floats, km: Floats) -> Outcome:
    """Least heat over the two shunt currents, under what the islands allow.

    With k the integer tie matrix: rank 0 leaves both free, rank 1 one of them, rank 2 none.

    Parameters
    ----------
    m, km : transfer resistance between the two [ohm], and its integer part
    """
    one, two = faults
    if ((one.k + two.k) > FORBIDDEN).any():
        return _two_tied_shunts(pair, faults, m, km)
    (f1, f2), (s1, s2) = _free(faults, m)
    k = pair.k
    if one.kw.any() or two.kw.any():
        k = k + f1 * one.kw + f2 * two.kw
    after = Pair(pair.r + (f1 * one.w + f2 * two.w), k, pair.v + (f1 * one.drive + f2 * two.drive))
    return finish(after, (f1, f2), (s1, s2))


def _free(
    faults: tuple[Seen, Seen], m: Floats
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Both shunts' answers to test current and supplies inside one island: a Cholesky sweep."""
    one, two = faults
    d1, d2 = one.own + one.size, two.own + two.size
    ratio = m / d1
    rest = d2 - ratio * m
    f2 = (ratio * one.w - two.w) / rest
    s2 = (ratio * one.drive - two.drive) / rest
    return (-(one.w + m * f2) / d1, f2), (-(one.drive + m * s2) / d1, s2)


def _two_tied_shunts(pair: Pair, faults: tuple[Seen, Seen], m: Floats, km: Floats) -> Outcome:
    one, two = faults
    d1, d2 = one.own + one.size, two.own + two.size
    (f1, f2), (s1, s2) = _free(faults, m)
    # Rank 1: a particular current along v, the rest free along u, at right angles.
    first = one.k > FORBIDDEN
    v1, v2 = np.where(first, one.k, 0.0), np.where(first, km, 1.0)
    norm = v1**2 + v2**2
    along = -(v1 * one.kw + v2 * two.kw) / (np.maximum(one.k + two.k, 1.0) * norm)
    p1, p2 = along * v1, along * v2
    u1, u2 = -v2, v1
    slope = u1 * (one.w + d1 * p1 + m * p2) + u2 * (two.w + m * p1 + d2 * p2)
    stiff = u1**2 * d1 + 2.0 * u1 * u2 * m + u2**2 * d2
    free, driven = -slope / stiff, -(u1 * one.drive + u2 * two.drive) / stiff
    # Rank 2: the islands fix both.
    det = one.k * two.k - km**2
    safe = np.where(det > FORBIDDEN, det, 1.0)
    q1 = -(two.k * one.kw - km * two.kw) / safe
    q2 = -(one.k * two.kw - km * one.kw) / safe
    rank = np.where(det > FORBIDDEN, 2, np.where(one.k + two.k > FORBIDDEN, 1, 0))
    x1 = np.choose(rank, [f1, p1 + free * u1, q1])
    x2 = np.choose(rank, [f2, p2 + free * u2, q2])
    y1 = np.choose(rank, [s1, driven * u1, 0.0 * s1])
    y2 = np.choose(rank, [s2, driven * u2, 0.0 * s2])
    heat = x1 * (2.0 * one.w + x1 * d1) + x2 * (2.0 * two.w + x2 * d2) + 2.0 * m * x1 * x2
    after = Pair(
        pair.r + heat,
        pair.k + x1 * one.kw + x2 * two.kw,
        pair.v + x1 * one.drive + x2 * two.drive,
    )
    return finish(after, (x1, x2), (y1, y2))


def _gain(fault: Seen) -> tuple[Floats, Floats]:
    """1/(g + K), and 1 where the fault severs a bridge (gain 0 there)."""
    severed = (fault.own == 0.0) & (fault.size == 0.0)
    gain = np.where(severed, 0.0, 1.0 / np.where(severed, 1.0, fault.own + fault.size))
    return gain, severed.astype(np.float64)


def _through_series(pair: Pair, fault: Seen, gain: Floats, severed: Floats) -> tuple[Pair, Floats]:
    """The probe pair behind a series fault, and how the fault answers the test current."""
    x = gain * fault.w
    k = pair.k + fault.w**2 * severed if severed.any() else pair.k
    return Pair(pair.r + x * fault.w, k, pair.v + x * fault.drive), x


def _through_shunt(pair: Pair, fault: Seen) -> tuple[Pair, Floats, Floats]:
    """The probe pair behind a shunt, and how the shunt answers test current and supplies."""
    own, tied = fault.own + fault.size, fault.k > FORBIDDEN
    if tied.any():
        x = -np.where(tied, fault.kw, fault.w) / np.where(tied, fault.k, own)
        y = np.where(tied, 0.0, -fault.drive / np.where(tied, 1.0, own))
        r = pair.r + x * (2.0 * fault.w + x * own)
    else:
        x, y = fault.w / -own, -fault.drive / own
        r = pair.r + x * fault.w
    k = pair.k + x * fault.kw if fault.kw.any() else pair.k
    return Pair(r, k, pair.v + x * fault.drive), x, y
