"""Thermistor constants fitted to many points by least squares."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import attrs
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import Number, Result, kelvin, possible, result
from loomwright.physics.thermistor import ThreeConstants

Vector: TypeAlias = NDArray[np.float64]


def fit_three_constants(temperatures_c: Number, ohms: Number) -> ThreeConstants:
    """The three constants that miss the inverse temperatures of many points least.

    min Σ (1/Tᵢ − A − B·ln Rᵢ − C·(ln Rᵢ)³)², a linear problem

    Parameters
    ----------
    temperatures_c : temperatures [°C], shape (n,), three different ones or more
    ohms : resistances [Ω], shape (n,)

    Returns
    -------
    the constants; their range is that of the points

    Raises
    ------
    OutOfRange : fewer than three points, or a resistance not above 0

    Notes
    -----
    Steinhart and Hart, Deep-Sea Research 15 (1968) 497–503.

    Examples
    --------
    A maker's manual for a 10 kΩ bead, whose constants are 1.1292e-3, 2.3411e-4, 8.775e-8:

    >>> k = fit_three_constants(
    ...     [-40, -30, -20, -10, 0], [336103.2, 176804.8, 97006.9, 55303.9, 32650.9])
    >>> f"{k.a:.4e}, {k.b:.4e}, {k.c:.2e}"
    '1.1292e-03, 2.3412e-04, 8.77e-08'
    """
    absolute, resistance = _points(kelvin(temperatures_c), ohms, least=3)
    log = np.log(resistance)
    matrix = np.column_stack([np.ones_like(log), log, log**3])
    size = np.linalg.norm(matrix, axis=0)
    solution = np.linalg.lstsq(matrix / size, 1 / absolute, rcond=None)[0] / size
    a, b, c = (float(value) for value in solution)
    return ThreeConstants(a, b, c)


@attrs.frozen(kw_only=True)
class ExponentialFit:
    """A fit of y = b₁ · exp(b₂ / (x + b₃)).

    Attributes
    ----------
    b1, b2, b3 : the parameters [Ω, °C, °C]
    b1_sd, b2_sd, b3_sd : their standard deviations
    residual_sum : sum of squared residuals [Ω²]
    residual_sd : residual standard deviation [Ω]
    range_c : lowest and highest temperature of the points [°C]
    """

    b1: float
    b2: float
    b3: float
    b1_sd: float
    b2_sd: float
    b3_sd: float
    residual_sum: float
    residual_sd: float
    range_c: tuple[float, float]

    def ohm(self, temperature_c: Number) -> Result:
        """Resistance at a temperature [Ω].

        Raises
        ------
        OutOfRange : temperature not above −b₃, where the model ends
        """
        above_end = possible(
            "temperature above the end of the model", np.add(temperature_c, self.b3), "K", above=0
        )
        return result(self.b1 * np.exp(self.b2 / above_end))

    def temperature(self, ohm: Number) -> Result:
        """Temperature at a resistance [°C].

        Raises
        ------
        OutOfRange : resistance not above b₁, which the model never reaches
        """
        share = possible("resistance against b1", np.divide(ohm, self.b1), "", above=1)
        return result(self.b2 / np.log(share) - self.b3)


def fit_exponential(
    temperatures_c: Number, ohms: Number, *, start: tuple[float, float, float]
) -> ExponentialFit:
    """Fit y = b₁ · exp(b₂ / (x + b₃)) to resistances over temperatures.

    The unknowns are ln b₁, b₂, b₃: from a poor start b₁ alone would run over many decades. First
    the logarithms are fitted, then the resistances themselves.

    Parameters
    ----------
    temperatures_c : temperatures [°C], shape (n,), n > 3
    ohms : resistances [Ω], shape (n,)
    start : b₁ [Ω], b₂ [°C], b₃ [°C] to start from

    Returns
    -------
    the fit

    Raises
    ------
    OutOfRange : fewer than four points, a resistance or a start for b₁ not above 0

    Notes
    -----
    Model and test data: NIST Statistical Reference Datasets, MGH10 (Meyer 1970).

    Examples
    --------
    >>> x = [50, 60, 80, 100, 120]
    >>> y = [34780, 23650, 11540, 6005, 3307]
    >>> fit = fit_exponential(x, y, start=(0.02, 4000, 250))
    >>> abs(fit.ohm(60) - 23650) < 30
    True
    """
    celsius = possible("temperature", temperatures_c, "°C")
    x, y = _points(celsius, ohms, least=4)
    possible("start of b1", start[0], "Ω", above=0)
    first = np.array([np.log(start[0]), start[1], start[2]])
    size = float(np.median(y))

    def log_miss(p: Vector) -> Vector:
        return np.asarray(_log_model(x, p) - np.log(y))

    def miss(p: Vector) -> Vector:
        return np.asarray((np.exp(_log_model(x, p)) - y) / size)

    def slope(p: Vector) -> Vector:
        return np.asarray(_log_slope(x, p) * np.exp(_log_model(x, p))[:, None] / size)

    by_logs = _solve(log_miss, lambda p: _log_slope(x, p), first)
    final = _solve(miss, slope, by_logs)
    return _described(x, size * miss(final), jacobian=size * slope(final), solution=final)


def _log_model(x: Vector, p: Vector) -> Vector:
    return np.asarray(p[0] + p[1] / (x + p[2]))


def _log_slope(x: Vector, p: Vector) -> Vector:
    """Slopes of ln y by ln b₁, b₂, b₃, shape (n, 3)."""
    inverse = 1 / (x + p[2])
    return np.column_stack([np.ones_like(x), inverse, -p[1] * inverse**2])


def _solve(
    miss: Callable[[Vector], Vector], slope: Callable[[Vector], Vector], start: Vector
) -> Vector:
    # the three unknowns differ by decades and are strongly correlated: scale by the slopes and
    # go on until nothing moves
    found = least_squares(
        miss,
        start,
        jac=slope,
        method="lm",
        x_scale="jac",
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
        max_nfev=5000,
    )
    return np.asarray(found.x)


def _described(
    x: Vector, residuals: Vector, *, jacobian: Vector, solution: Vector
) -> ExponentialFit:
    residual_sum = float(residuals @ residuals)
    residual_sd = float(np.sqrt(residual_sum / (len(x) - 3)))
    # (JᵀJ)⁻¹ by the triangular factor of the scaled slopes, which loses fewest digits
    size = np.linalg.norm(jacobian, axis=0)
    inverse = np.linalg.inv(np.linalg.qr(jacobian / size, mode="r"))
    spread = residual_sd * np.linalg.norm(inverse, axis=1) / size
    b1 = float(np.exp(solution[0]))
    return ExponentialFit(
        b1=b1,
        b2=float(solution[1]),
        b3=float(solution[2]),
        b1_sd=b1 * float(spread[0]),
        b2_sd=float(spread[1]),
        b3_sd=float(spread[2]),
        residual_sum=residual_sum,
        residual_sd=residual_sd,
        range_c=(float(x.min()), float(x.max())),
    )


def _points(temperatures: Number, ohms: Number, *, least: int) -> tuple[Vector, Vector]:
    one = np.atleast_1d(np.asarray(temperatures, dtype=np.float64))
    other = np.atleast_1d(possible("resistance", ohms, "Ω", above=0))
    if one.shape != other.shape or one.ndim != 1 or len(np.unique(one)) < least:
        raise OutOfRange(
            f"{len(np.unique(one))} different temperatures and {other.size} resistances",
            where="thermistor fit",
            expected=f"give {least} different temperatures or more, a resistance for each",
        )
    return one, other
