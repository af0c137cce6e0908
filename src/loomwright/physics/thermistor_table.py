"""Thermistors by table: straight lines of ln R over 1/T through a maker's points."""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import Number, Result, kelvin, possible, result
from loomwright.physics.thermistor import celsius_of_inverse


def _floats(values: Sequence[float]) -> tuple[float, ...]:
    return tuple(float(value) for value in values)


@attrs.frozen
class TableCurve:
    """A curve of resistance over temperature by its points.

    Between two points ln R is a straight line over 1/T, the beta model from point to point:
    exact at the points, always rising or always falling. Beyond the ends the last line goes on;
    `range_c` tells where the points end.

    Attributes
    ----------
    temperatures_c : rising temperatures [°C], two or more
    ohms : resistances [Ω], all falling or all rising

    Raises
    ------
    OutOfRange : fewer than two points, not in order, or a resistance not above 0

    Notes
    -----
    Interpolation of standardized R/T tables, a maker's published text: from 5 °C
    (10.6873 kΩ, 4.4 %/K) to 7 °C gives 9.793 kΩ.

    Examples
    --------
    >>> curve = TableCurve((0, 20, 80), (5887, 2508, 324))
    >>> round(curve.ohm(20)), round(curve.temperature(324), 6), curve.range_c
    (2508, 80.0, (0.0, 80.0))
    """

    temperatures_c: tuple[float, ...] = attrs.field(converter=_floats)
    ohms: tuple[float, ...] = attrs.field(converter=_floats)
    _inverse: NDArray[np.float64] = attrs.field(init=False, repr=False, eq=False)
    _log: NDArray[np.float64] = attrs.field(init=False, repr=False, eq=False)

    def __attrs_post_init__(self) -> None:
        if len(self.temperatures_c) < 2 or len(self.temperatures_c) != len(self.ohms):
            raise OutOfRange(
                f"{len(self.temperatures_c)} temperatures and {len(self.ohms)} resistances",
                where="thermistor table",
                expected="give two points or more, a resistance for each temperature",
            )
        absolute = kelvin(self.temperatures_c, "thermistor table, temperature")
        log = np.log(possible("thermistor table, resistance", self.ohms, "Ω", above=0))
        possible("thermistor table, step to the next temperature", np.diff(absolute), "K", above=0)
        steps = np.diff(log)
        if not ((steps < 0).all() or (steps > 0).all()):
            raise OutOfRange(
                "the resistances neither fall all along nor rise all along",
                where="thermistor table",
                expected="give each temperature its own resistance, in one direction",
            )
        # np.interp and the search below want rising abscissae: hottest point first
        object.__setattr__(self, "_inverse", 1 / absolute[::-1])
        object.__setattr__(self, "_log", log[::-1])

    @property
    def range_c(self) -> tuple[float, float]:
        """Lowest and highest temperature of the points [°C]."""
        return self.temperatures_c[0], self.temperatures_c[-1]

    @property
    def range_ohm(self) -> tuple[float, float]:
        """Lowest and highest resistance of the points [Ω]."""
        return min(self.ohms), max(self.ohms)

    def ohm(self, temperature_c: Number) -> Result:
        """Resistance at a temperature.

        ln R = ln R₁ + (1/T − 1/T₁) · (ln R₂ − ln R₁) / (1/T₂ − 1/T₁)

        Parameters
        ----------
        temperature_c : temperature [°C]

        Returns
        -------
        resistance [Ω]

        Raises
        ------
        OutOfRange : temperature at or below absolute zero
        """
        return result(np.exp(_line(1 / kelvin(temperature_c), self._inverse, self._log)))

    def temperature(self, ohm: Number) -> Result:
        """Temperature at a resistance, the inverse of `ohm`.

        Parameters
        ----------
        ohm : resistance [Ω]; 0 and inf are allowed

        Returns
        -------
        temperature [°C]

        Raises
        ------
        OutOfRange : negative resistance
        """
        resistance = possible("resistance", ohm, "Ω", at_least=0)
        with np.errstate(divide="ignore"):
            log = np.log(resistance)
        rising = slice(None) if self._log[-1] > self._log[0] else slice(None, None, -1)
        inverse = _line(log, self._log[rising], self._inverse[rising])
        return result(celsius_of_inverse(inverse))

    def alpha(self, temperature_c: Number) -> Result:
        """Relative slope at a temperature; at a point, that of the line on its warm side.

        α = d(ln R)/dT = −(1/T²) · (ln R₂ − ln R₁) / (1/T₂ − 1/T₁)

        Parameters
        ----------
        temperature_c : temperature [°C]

        Returns
        -------
        slope [1/K]

        Raises
        ------
        OutOfRange : temperature at or below absolute zero
        """
        inverse = 1 / kelvin(temperature_c)
        lower = _segment(inverse, self._inverse)
        return result(-(inverse**2) * (np.diff(self._log) / np.diff(self._inverse))[lower])


def interpolate_alpha(
    temperature_c: Number, *, point_c: Number, point_ohm: Number, alpha_per_k: Number
) -> Result:
    """Resistance near one point of a table that gives the slope there.

    R = R₁ · exp(−α · T₁² · (1/T − 1/T₁))

    Parameters
    ----------
    temperature_c : temperature wanted [°C]
    point_c, point_ohm : the point [°C, Ω]
    alpha_per_k : slope d(ln R)/dT at the point [1/K], negative for a thermistor

    Returns
    -------
    resistance [Ω]

    Raises
    ------
    OutOfRange : temperature at or below absolute zero, resistance not above 0

    Notes
    -----
    A maker's standardized R/T text; its example is the one below (printed 9.7932 kΩ).

    Examples
    --------
    >>> round(interpolate_alpha(7, point_c=5, point_ohm=10687.3, alpha_per_k=-0.044))
    9793
    """
    at_point = kelvin(point_c)
    resistance = possible("resistance", point_ohm, "Ω", above=0)
    alpha = possible("slope", alpha_per_k, "1/K")
    return result(
        resistance * np.exp(-alpha * at_point**2 * (1 / kelvin(temperature_c) - 1 / at_point))
    )


def _segment(x: NDArray[np.float64], knots: NDArray[np.float64]) -> NDArray[np.intp]:
    return np.clip(np.searchsorted(knots, x, side="left") - 1, 0, len(knots) - 2)


def _line(
    x: NDArray[np.float64], knots: NDArray[np.float64], values: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Straight lines through the knots, the end lines drawn on beyond them."""
    lower = _segment(x, knots)
    x0, x1, y0, y1 = knots[lower], knots[lower + 1], values[lower], values[lower + 1]
    share = (x - x0) / (x1 - x0)
    # counted from the nearer end, so that both knots are met to the last digit
    with np.errstate(invalid="ignore"):
        return np.where(share < 0.5, y0 + share * (y1 - y0), y1 - (1 - share) * (y1 - y0))
