"""A staged quote: three-point times, what comes apart together overruns together.

Each line has a least, likely and most value; its distribution is triangular. Lines of one access
event share a cause (the bolt that will not come), so they are joined by a Gaussian copula with one
factor per event:

    u = Φ(√ρ z_event + √(1 - ρ) e),   t = triangular quantile of u

and drawn with a fixed seed. Mean and variance of one line are (a + m + b)/3 and
(a² + m² + b² - am - ab - mb)/18: Kotz and van Dorp, *Beyond Beta*, 2004, sect. 1.1. The copula:
Joe, *Multivariate Models and Dependence Concepts*, 1997, sect. 5.1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.loom.errors import OutOfRange
from loomwright.physics.normal import normal_share

Floats = NDArray[np.float64]
DRAWS = 20_000


@attrs.frozen(kw_only=True)
class Line:
    """One line of work.

    Attributes
    ----------
    words : what is done
    low, likely, high : minutes [min]
    parts : price of its parts
    event : access event it belongs to, empty for work of its own
    """

    words: str
    low: float
    likely: float
    high: float
    parts: float = 0.0
    event: str = ""


@attrs.frozen(kw_only=True)
class Tariff:
    """How a quote is made up.

    Attributes
    ----------
    rate : price of an hour's work
    handling : share added to parts
    postage : price of all parcels
    vat : share added to everything, None where no tax line is shown
    stop_and_call : share over the likely sum at which the customer is called before going on
    correlation : of two lines of one access event, 0 to 1
    """

    rate: float
    handling: float
    stop_and_call: float
    correlation: float
    postage: float = 0.0
    vat: float | None = None


@attrs.frozen(kw_only=True)
class Quote:
    """What the work will cost, and how sure that is.

    Attributes
    ----------
    minutes : 10, 50 and 90 percent of the work [min]
    work, parts, handling, postage, vat : the lines of the sum at the middle value; `vat` None
        where no tax line is shown
    low, middle, high : 10, 50 and 90 percent of the sum
    likely : the sum if every line takes its likely time
    call_at : the sum at which the customer is called
    chance_of_call : how often that happens
    """

    minutes: tuple[float, float, float]
    work: float
    parts: float
    handling: float
    postage: float
    vat: float | None
    low: float
    middle: float
    high: float
    likely: float
    call_at: float
    chance_of_call: float


def quoted(lines: Sequence[Line], tariff: Tariff, *, seed: int = 0) -> Quote:
    """The quote for some lines of work.

    Raises
    ------
    OutOfRange
        when a line's minutes are not in order, or a share is not possible.
    """
    _check(lines, tariff)
    minutes = drawn_minutes(lines, correlation=tariff.correlation, seed=seed).sum(axis=1)
    parts = sum(line.parts for line in lines)
    fixed = parts * (1.0 + tariff.handling) + tariff.postage
    tax = 1.0 + (tariff.vat or 0.0)
    sums = (minutes * tariff.rate / 60.0 + fixed) * tax
    likely = (sum(line.likely for line in lines) * tariff.rate / 60.0 + fixed) * tax
    call_at = likely * (1.0 + tariff.stop_and_call)
    low, middle, high = (float(each) for each in np.quantile(sums, (0.1, 0.5, 0.9)))
    work = float(np.median(minutes)) * tariff.rate / 60.0
    ten, half, ninety = (float(each) for each in np.quantile(minutes, (0.1, 0.5, 0.9)))
    return Quote(
        minutes=(ten, half, ninety),
        work=work,
        parts=parts,
        handling=parts * tariff.handling,
        postage=tariff.postage,
        vat=None if tariff.vat is None else (work + fixed) * tariff.vat,
        low=low,
        middle=middle,
        high=high,
        likely=likely,
        call_at=call_at,
        chance_of_call=float(np.mean(sums > call_at)),
    )


def drawn_minutes(lines: Sequence[Line], *, correlation: float, seed: int) -> Floats:
    """Minutes of each line in many draws, shape (draws, lines) [min]."""
    rng = np.random.default_rng(seed)
    own = rng.standard_normal((DRAWS, len(lines)))
    events = list(dict.fromkeys(line.event for line in lines if line.event))
    shared = rng.standard_normal((DRAWS, len(events)))
    for column, line in enumerate(lines):
        if line.event:
            cause = shared[:, events.index(line.event)]
            own[:, column] = (
                math.sqrt(correlation) * cause + math.sqrt(1.0 - correlation) * own[:, column]
            )
    share = normal_share(own)
    columns = [triangular(share[:, n], line) for n, line in enumerate(lines)]
    return np.column_stack(columns) if columns else np.zeros((DRAWS, 0))


def triangular(share: Floats, line: Line) -> Floats:
    """Minutes below which that share of a line's distribution lies [min]."""
    low, likely, high = line.low, line.likely, line.high
    if high == low:
        return np.full(share.shape, low)
    turn = (likely - low) / (high - low)
    up = low + np.sqrt(share * (high - low) * (likely - low))
    down = high - np.sqrt((1.0 - share) * (high - low) * (high - likely))
    return np.where(share < turn, up, down)


def _check(lines: Sequence[Line], tariff: Tariff) -> None:
    for line in lines:
        if not 0.0 <= line.low <= line.likely <= line.high:
            raise OutOfRange(
                f"minutes {line.low:g}, {line.likely:g}, {line.high:g} are not in order",
                where=line.words,
                expected="give least, likely and most, each at least the one before",
            )
    for name, share in (
        ("handling", tariff.handling),
        ("vat", tariff.vat or 0.0),
        ("stop_and_call", tariff.stop_and_call),
        ("correlation", tariff.correlation),
    ):
        if not 0.0 <= share <= 1.0:
            raise OutOfRange(
                f"{share:g} is not a share", where=name, expected="give 0 to 1, such as 0.15"
            )
