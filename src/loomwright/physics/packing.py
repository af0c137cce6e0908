"""The smallest circle that holds given circles side by side: wires in a bundle.

One to three circles have closed forms. From four on nobody knows one, and the best that is known
was found by search; so is ours (`packing_search`), made exact by linear programs
(`packing_polish`), and told with a bound that no arrangement can beat. Lengths in any one unit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.loom.errors import OutOfRange
from loomwright.physics.packing_polish import parted, polished
from loomwright.physics.packing_search import arrangements
from loomwright.physics.quantities import Number, possible

Reals = NDArray[np.float64]

MOST = 300
"""Circles that are packed at most; more take longer than anybody waits."""
FEASIBLE = 1e-9
"""Overlap that counts as none, in outer diameters."""
_ROUNDED = 12
"""Digits of the sizes that are searched with."""


@attrs.frozen(kw_only=True)
class Packing:
    """Circles in a circle about the origin.

    Attributes
    ----------
    diameter : of the outer circle, in the unit of the diameters
    diameters : of the circles, in the order they were given
    centres : x and y of each, in that order
    bound : outer diameter that no arrangement can be below
    """

    diameter: float
    diameters: tuple[float, ...]
    centres: tuple[tuple[float, float], ...]
    bound: float

    @property
    def gap(self) -> float:
        """How far the diameter lies above the bound, as a share of the bound [1]."""
        return self.diameter / self.bound - 1.0

    @property
    def overlap(self) -> float:
        """Deepest overlap of two circles, or reach of one beyond the outer circle; 0 for none."""
        radii, (x, y) = np.array(self.diameters) / 2.0, np.array(self.centres).T
        i, j = np.triu_indices(len(radii), 1)
        inside = np.hypot(x, y) + radii - self.diameter / 2.0
        between = radii[i] + radii[j] - np.hypot(x[i] - x[j], y[i] - y[j])
        return max(0.0, float(inside.max()), float(between.max(initial=0.0)))


def pack(diameters: Number, *, seed: int = 0, effort: float = 1.0) -> Packing:
    """The smallest circle found that holds circles without overlap.

    One: its own. Two: the sum. Three: the outer circle of Descartes' theorem about three circles
    that touch, or that of the two largest where the third lies in the gap beside them. More:
    search. The same circles give the same answer in any order and any unit.

    Parameters
    ----------
    diameters : of the circles, in one unit, shape (n,), 1 to 300 of them
    seed : of the search
    effort : share of the usual work; a tenth serves a table of many bundles, 10 a record

    Raises
    ------
    OutOfRange : none, more than 300, or a diameter that is not above 0

    Notes
    -----
    Descartes' circle theorem: Coxeter, Introduction to Geometry, 1961, 1.5, quoted from memory.
    Best known arrangements of equal circles: Graham, Lubachevsky, Nurmela and Östergård, Discrete
    Math. 181 (1998) 139.

    Examples
    --------
    Seven equal circles take three diameters, and three take 1 + 2/√3:

    >>> round(pack([2.0] * 7).diameter, 6), round(pack([1, 1, 1]).diameter, 6)
    (6.0, 2.154701)
    """
    given = _possible(diameters)
    order = np.argsort(-given, kind="stable")
    radii = given[order] / 2.0
    bound = bound_diameter(given)
    if len(radii) <= 3:
        x, y = _exact(radii)
    else:
        scale = float(np.sqrt((radii**2).sum()))
        # rounded, so that a change of unit changes nothing; made exact by the last step
        x, y = _searched(np.round(radii / scale, _ROUNDED), bound / 2.0 / scale, seed, effort)
        x, y = scale * x, scale * y
    x, y = parted(radii, x, y)
    placed = np.empty((len(radii), 2))
    placed[order] = np.column_stack([x, y])
    packing = Packing(
        diameter=2.0 * float((np.hypot(x, y) + radii).max()),
        diameters=tuple(given.tolist()),
        centres=tuple((float(a), float(b)) for a, b in placed),
        bound=bound,
    )
    if not packing.overlap <= FEASIBLE * packing.diameter:
        raise ArithmeticError(f"circles overlap by {packing.overlap:g}")
    return packing


def bound_diameter(diameters: Number) -> float:
    """A diameter that no circle holding these circles can be below, in their unit.

    The largest of: the root of the sum of squares (area); the exact circle of the largest three;
    and, for the k largest as k circles as small as the k-th, the least that Groemer's inequality
    allows: k <= 2/√3 · π ρ² + π ρ + 1 with ρ = (R - r) / 2r.

    Parameters
    ----------
    diameters : of the circles, in one unit, shape (n,)

    Raises
    ------
    OutOfRange : none, more than 300, or a diameter that is not above 0

    Notes
    -----
    Groemer, Math. Z. 73 (1960) 285, quoted from memory.

    Examples
    --------
    Seven equal circles need 3 diameters; the bound says 2.85 (ρ = 0.924 by hand):

    >>> round(bound_diameter([1] * 7), 2)
    2.85
    """
    radii = -np.sort(-_possible(diameters)) / 2.0
    x, y = _exact(radii[:3])
    three = float((np.hypot(x, y) + radii[:3]).max())
    area = float(np.sqrt((radii**2).sum()))
    each = np.arange(1, len(radii) + 1)
    square = 2.0 * math.pi / math.sqrt(3.0)
    rho = (np.sqrt(math.pi**2 + 4.0 * square * (each - 1)) - math.pi) / (2.0 * square)
    return 2.0 * max(three, area, float((radii * (1.0 + 2.0 * rho)).max()))


def _possible(diameters: Number) -> Reals:
    given = possible("diameter", np.ravel(np.asarray(diameters, dtype=np.float64)), "", above=0)
    if not 1 <= len(given) <= MOST:
        raise OutOfRange(
            f"{len(given)} circles cannot be packed",
            where="diameters",
            expected=f"give 1 to {MOST} of them",
        )
    if np.isinf(given).any():
        raise OutOfRange("a circle without end cannot be packed", where="diameters")
    return given


def _searched(radii: Reals, bound: float, seed: int, effort: float) -> tuple[Reals, Reals]:
    """The tightest of the arrangements that the search found; at the bound it is not gone on."""
    best: tuple[Reals, Reals] | None = None
    least = math.inf
    for x, y in arrangements(radii, seed=seed, effort=effort):
        x, y = polished(radii, x, y)
        outer = float((np.hypot(x, y) + radii).max())
        if best is None or outer < least:
            best, least = (x, y), outer
        if least <= bound * (1.0 + FEASIBLE):
            break
    if best is None:
        raise ArithmeticError("the search found no arrangement")
    return best


def _exact(radii: Reals) -> tuple[Reals, Reals]:
    """One to three circles, largest first, about the middle of their outer circle."""
    places = list(_placed([float(radius) for radius in radii]))
    x, y = np.array(places).T
    return x, y


def _placed(radii: Sequence[float]) -> Iterator[tuple[float, float]]:
    if len(radii) == 1:
        yield 0.0, 0.0
        return
    a, b = radii[0], radii[1]
    if len(radii) == 2:
        yield from ((-b, 0.0), (a, 0.0))
        return
    c = radii[2]
    # radius of the circle in the gap beside the two largest: 1/r = 1/a + 1/b - 1/(a + b)
    if c * (a * a + a * b + b * b) <= a * b * (a + b):
        x, y = _corner(a + b, a + c, b + c)
        yield from ((-b, 0.0), (a, 0.0), (x - b, y))
        return
    corner = _corner(a + b, a + c, b + c)
    outer = a * b * c / (2.0 * math.sqrt(a * b * c * (a + b + c)) - (a * b + b * c + c * a))
    x, y = _corner(a + b, outer - a, outer - b)
    # of the two mirror images the one that reaches the third circle, too
    side = min((y, -y), key=lambda y: abs(math.dist((x, y), corner) - (outer - c)))
    yield from ((-x, -side), (a + b - x, -side), (corner[0] - x, corner[1] - side))


def _corner(base: float, left: float, right: float) -> tuple[float, float]:
    """Third corner of a triangle: distances from the origin and from the end of the base."""
    x = (base * base + left * left - right * right) / (2.0 * base)
    return x, math.sqrt(max(0.0, left * left - x * x))
