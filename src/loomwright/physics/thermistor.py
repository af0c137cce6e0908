"""Thermistors by equation: the three-constant equation, the beta model, slope and band.

Resistance in ohm, temperature in °C. No resistance at all reads as endlessly hot, an open
circuit as absolute zero: the limits of the equations, not an error.
"""

from __future__ import annotations

from collections.abc import Callable

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import (
    ABSOLUTE_ZERO_C,
    Number,
    Result,
    kelvin,
    possible,
    result,
)


def _b_above_zero(_record: object, _field: object, value: float) -> None:
    possible("constant B of the thermistor equation", value, "1/K", above=0)


@attrs.frozen
class ThreeConstants:
    """The constants of 1/T = A + B·ln R + C·(ln R)³, R in Ω.

    Attributes
    ----------
    a, b, c : A, B, C [1/K]; B above 0
    """

    a: float
    b: float = attrs.field(validator=_b_above_zero)
    c: float


def temperature_steinhart_hart(ohm: Number, constants: ThreeConstants) -> Result:
    """Temperature of a thermistor from its resistance.

    1/T = A + B·ln R + C·(ln R)³, t = T − 273.15

    Parameters
    ----------
    ohm : resistance [Ω]; 0 and inf are allowed
    constants : A, B, C

    Returns
    -------
    temperature [°C]; inf where the equation knows no temperature hot enough

    Raises
    ------
    OutOfRange : negative resistance

    Notes
    -----
    Steinhart and Hart, Deep-Sea Research 15 (1968) 497–503. The range is that of the points
    the constants were fitted to.

    Examples
    --------
    The usual coolant sensor shows 187 Ω at 100 °C:

    >>> coolant = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)
    >>> round(temperature_steinhart_hart(187, coolant), 0)
    100.0
    """
    resistance = possible("resistance", ohm, "Ω", at_least=0)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        log = np.log(resistance)
        inverse = constants.a + log * (constants.b + constants.c * log**2)
    return result(celsius_of_inverse(inverse))


def resistance_steinhart_hart(temperature_c: Number, constants: ThreeConstants) -> Result:
    """Resistance of a thermistor at a temperature: the equation solved in closed form.

    L³ + p·L + q = 0 with L = ln R, p = B/C, q = (A − 1/T)/C has for C > 0 the one real root
    L = −2·√(p/3)·sinh(asinh((3q/2p)·√(3/p))/3), Cardano's root without cancellation; for C < 0
    the middle one of three, with sin for sinh; for C = 0, L = (1/T − A)/B.

    Parameters
    ----------
    temperature_c : temperature [°C]
    constants : A, B, C

    Returns
    -------
    resistance [Ω]

    Raises
    ------
    OutOfRange : temperature at or below absolute zero, or one the equation never gives (C < 0)

    Notes
    -----
    Inverse of Steinhart and Hart 1968; hyperbolic form of Cardano's formula (textbook).

    Examples
    --------
    >>> coolant = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)
    >>> [round(resistance_steinhart_hart(t, coolant)) for t in (20, 30, 40, 50)]
    [2508, 1698, 1175, 829]
    """
    rise = 1 / kelvin(temperature_c) - constants.a
    return result(np.exp(_log_resistance(rise, constants)))


def alpha_steinhart_hart(temperature_c: Number, constants: ThreeConstants) -> Result:
    """Relative slope of a thermistor at a temperature.

    α = d(ln R)/dT = −1 / (T² · (B + 3·C·(ln R)²))

    Parameters
    ----------
    temperature_c : temperature [°C]
    constants : A, B, C

    Returns
    -------
    slope [1/K], negative

    Raises
    ------
    OutOfRange : as for `resistance_steinhart_hart`

    Examples
    --------
    >>> coolant = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)
    >>> round(100 * alpha_steinhart_hart(20, coolant), 1)
    -4.0
    """
    absolute = kelvin(temperature_c)
    log = _log_resistance(1 / absolute - constants.a, constants)
    return result(-1 / (absolute**2 * (constants.b + 3 * constants.c * log**2)))


def three_constants_through(temperatures_c: Number, ohms: Number) -> ThreeConstants:
    """The three constants through three points.

    Solves 1/Tᵢ = A + B·ln Rᵢ + C·(ln Rᵢ)³ for i = 1, 2, 3.

    Parameters
    ----------
    temperatures_c : three different temperatures [°C], shape (3,)
    ohms : their resistances [Ω], shape (3,)

    Returns
    -------
    the constants

    Raises
    ------
    OutOfRange : not three points, two of them alike, or a resistance that rises with temperature

    Examples
    --------
    A published 10 kΩ table through −40, 25 and 85 °C:

    >>> k = three_constants_through([-40, 25, 85], [333600, 10000, 1070])
    >>> [f"{value:.4e}" for value in (k.a, k.b, k.c)]
    ['1.1336e-03', '2.3332e-04', '9.1513e-08']
    """
    inverse = 1 / np.atleast_1d(kelvin(temperatures_c))
    log = np.log(np.atleast_1d(possible("resistance", ohms, "Ω", above=0)))
    if inverse.shape != (3,) or log.shape != (3,):
        raise OutOfRange(
            f"{inverse.size} temperatures and {log.size} resistances were given",
            where="thermistor equation",
            expected="give exactly three points",
        )
    hottest_first = log[np.argsort(inverse)]
    if len(set(inverse)) < 3 or not (np.diff(hottest_first) > 0).all():
        raise OutOfRange(
            "the resistances do not fall from each temperature to the next",
            where="thermistor equation",
            expected="give three different temperatures, the hotter with the lower resistance",
        )
    matrix = np.column_stack([np.ones(3), log, log**3])
    a, b, c = (float(value) for value in np.linalg.solve(matrix, inverse))
    return ThreeConstants(a, b, c)


def resistance_beta(
    temperature_c: Number, *, ohm_at_reference: Number, beta_k: Number, reference_c: Number = 25.0
) -> Result:
    """Resistance by the one-constant beta model; 3 to 4 % off over −40 … 125 °C.

    R(T) = R₀ · exp(β · (1/T − 1/T₀))

    Parameters
    ----------
    temperature_c : temperature [°C]
    ohm_at_reference : resistance at the reference temperature [Ω]
    beta_k : beta [K]
    reference_c : reference temperature [°C]

    Returns
    -------
    resistance [Ω]

    Raises
    ------
    OutOfRange : temperature at or below absolute zero, reference resistance or beta not above 0

    Notes
    -----
    Textbook.

    Examples
    --------
    33.9 kΩ at 0 °C where the maker's table says 32.64 kΩ:

    >>> round(resistance_beta(0, ohm_at_reference=10000, beta_k=3977), -2)
    33900.0
    """
    reference = possible("resistance at reference", ohm_at_reference, "Ω", above=0)
    beta = possible("beta", beta_k, "K", above=0)
    return result(reference * np.exp(beta * (1 / kelvin(temperature_c) - 1 / kelvin(reference_c))))


def temperature_beta(
    ohm: Number, *, ohm_at_reference: Number, beta_k: Number, reference_c: Number = 25.0
) -> Result:
    """Temperature by the one-constant beta model.

    1/T = 1/T₀ + ln(R/R₀)/β

    Parameters
    ----------
    ohm : resistance [Ω]; 0 and inf are allowed
    ohm_at_reference, beta_k, reference_c : as for `resistance_beta`

    Returns
    -------
    temperature [°C]

    Raises
    ------
    OutOfRange : negative resistance, reference resistance or beta not above 0

    Examples
    --------
    >>> round(temperature_beta(10000, ohm_at_reference=10000, beta_k=3977), 6)
    25.0
    """
    resistance = possible("resistance", ohm, "Ω", at_least=0)
    reference = possible("resistance at reference", ohm_at_reference, "Ω", above=0)
    beta = possible("beta", beta_k, "K", above=0)
    with np.errstate(divide="ignore"):
        inverse = 1 / kelvin(reference_c) + np.log(resistance / reference) / beta
    return result(celsius_of_inverse(inverse))


def beta_between(
    first_c: Number, first_ohm: Number, *, second_c: Number, second_ohm: Number
) -> Result:
    """Beta from two points.

    β = ln(R₁/R₂) / (1/T₁ − 1/T₂)

    Parameters
    ----------
    first_c, first_ohm : one point [°C, Ω]
    second_c, second_ohm : the other point [°C, Ω]

    Returns
    -------
    beta [K]

    Raises
    ------
    OutOfRange : equal temperatures, a resistance not above 0

    Examples
    --------
    Published table, B25/85 = 3435 K:

    >>> round(beta_between(25, 10e3, second_c=85, second_ohm=1451), 1)
    3435.4
    """
    span = 1 / kelvin(first_c) - 1 / kelvin(second_c)
    possible("temperature difference of the two points", np.abs(span), "1/K", above=0)
    one = possible("resistance", first_ohm, "Ω", above=0)
    other = possible("resistance", second_ohm, "Ω", above=0)
    return result(np.log(one / other) / span)


def temperature_band(
    ohm: Number, tolerance_pct: Number, *, temperature_of: Callable[[Number], Result]
) -> tuple[Result, Result]:
    """Coolest and warmest temperature that a resistance within its tolerance can stand for.

    T(R·(1 + p)), T(R·(1 − p))

    Parameters
    ----------
    ohm : resistance [Ω]
    tolerance_pct : half width, percent of the resistance, below 100
    temperature_of : the curve, resistance [Ω] to temperature [°C]

    Returns
    -------
    (coolest, warmest) [°C]

    Raises
    ------
    OutOfRange : negative resistance or tolerance, tolerance of 100 % or more

    Examples
    --------
    2.5 kΩ ± 12 % on the usual coolant sensor is a window of 17.3 to 23.3 °C:

    >>> coolant = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)
    >>> curve = lambda ohm: temperature_steinhart_hart(ohm, coolant)
    >>> [round(edge, 1) for edge in temperature_band(2500, 12, temperature_of=curve)]
    [17.3, 23.3]
    """
    resistance = possible("resistance", ohm, "Ω", at_least=0)
    part = possible("tolerance", tolerance_pct, "%", at_least=0) / 100
    possible("100 % less the tolerance", 100 * (1 - part), "%", above=0)
    one, other = temperature_of(resistance * (1 + part)), temperature_of(resistance * (1 - part))
    return result(np.minimum(one, other)), result(np.maximum(one, other))


def celsius_of_inverse(inverse: NDArray[np.float64]) -> NDArray[np.float64]:
    """Inverse absolute temperature [1/K] to °C; inf where it is 0 or less."""
    with np.errstate(divide="ignore"):
        absolute = np.where(inverse > 0, 1 / np.where(inverse > 0, inverse, 1.0), np.inf)
    return np.asarray(absolute + ABSOLUTE_ZERO_C)


def _log_resistance(rise: NDArray[np.float64], constants: ThreeConstants) -> NDArray[np.float64]:
    """ln R with A + B·L + C·L³ = 1/T, where `rise` is 1/T − A."""
    b, c = constants.b, constants.c
    if c == 0:
        return np.asarray(rise / b)
    scale = np.sqrt(b / (3 * abs(c)))
    argument = 1.5 * rise / (b * scale)
    if c > 0:
        return np.asarray(2 * scale * np.sinh(np.arcsinh(argument) / 3))
    possible("distance to the end of the thermistor equation", 1 - np.abs(argument), "", at_least=0)
    return np.asarray(2 * scale * np.sin(np.arcsin(argument) / 3))
