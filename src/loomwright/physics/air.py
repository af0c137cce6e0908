"""Dry air at one atmosphere: what it weighs, holds and conducts, by its temperature.

Take the module by name: `from loomwright.physics import air`, then `air.density(20)`.
"""

from __future__ import annotations

import attrs

from loomwright.physics.quantities import Number, Result, kelvin, result

RANGE_C = (-50.0, 400.0)
"""Where every formula here lies within 2 % of printed tables of air [°C]."""

_ATMOSPHERE_PA = 101_325.0
_GAS_J_KGK = 8.314462618 / 0.0289647  # universal gas constant over the molar mass of dry air


@attrs.frozen(kw_only=True)
class Air:
    """What heat transfer asks of air, each a number or an array of one shape.

    Attributes
    ----------
    conductivity_w_mk : thermal conductivity [W/(m·K)]
    kinematic_viscosity_m2_s : viscosity over density [m²/s]
    diffusivity_m2_s : thermal diffusivity [m²/s]
    prandtl : the ratio of the two [1]
    expansion_per_k : thermal expansion [1/K]
    """

    conductivity_w_mk: Result
    kinematic_viscosity_m2_s: Result
    diffusivity_m2_s: Result
    prandtl: Result
    expansion_per_k: Result


def air(temperature_c: Number) -> Air:
    """All of it at once.

    Raises
    ------
    OutOfRange : a temperature is not above absolute zero

    Examples
    --------
    Incropera, Table A.4, 350 K: 0.0300 W/(m·K), Pr 0.700

    >>> found = air(76.85)
    >>> round(found.conductivity_w_mk, 4), round(found.prandtl, 2)
    (0.03, 0.7)
    """
    weight = density(temperature_c)
    conducts = conductivity(temperature_c)
    held = specific_heat(temperature_c)
    flows = viscosity(temperature_c)
    return Air(
        conductivity_w_mk=conducts,
        kinematic_viscosity_m2_s=flows / weight,
        diffusivity_m2_s=conducts / (weight * held),
        prandtl=held * flows / conducts,
        expansion_per_k=expansion(temperature_c),
    )


def density(temperature_c: Number) -> Result:
    """Density of air as an ideal gas.

    ρ = p / (R · T)

    Parameters
    ----------
    temperature_c : temperature [°C]

    Returns
    -------
    density [kg/m³]

    Raises
    ------
    OutOfRange : not above absolute zero

    Notes
    -----
    Textbook; R from the molar mass of the US Standard Atmosphere 1976.

    Examples
    --------
    The same document's air at sea level, 15 °C, is 1.225 kg/m³:

    >>> round(density(15), 3)
    1.225
    """
    return result(_ATMOSPHERE_PA / (_GAS_J_KGK * kelvin(temperature_c)))


def viscosity(temperature_c: Number) -> Result:
    """Dynamic viscosity of air, after Sutherland.

    μ = 1.458e-6 · T^1.5 / (T + 110.4)

    Parameters
    ----------
    temperature_c : temperature [°C]

    Returns
    -------
    viscosity [Pa·s]

    Raises
    ------
    OutOfRange : not above absolute zero

    Notes
    -----
    US Standard Atmosphere 1976, eq. 51.

    Examples
    --------
    The same document at sea level prints 1.7894e-5:

    >>> round(1e5 * viscosity(15), 4)
    1.7894
    """
    absolute = kelvin(temperature_c)
    return result(1.458e-6 * absolute**1.5 / (absolute + 110.4))


def conductivity(temperature_c: Number) -> Result:
    """Thermal conductivity of air.

    k = 2.64638e-3 · T^1.5 / (T + 245.4 · 10^(−12 / T))

    Parameters
    ----------
    temperature_c : temperature [°C]

    Returns
    -------
    conductivity [W/(m·K)]

    Raises
    ------
    OutOfRange : not above absolute zero

    Notes
    -----
    US Standard Atmosphere 1976, eq. 53.

    Examples
    --------
    The same document at sea level prints 2.5326e-2:

    >>> round(100 * conductivity(15), 3)
    2.533
    """
    absolute = kelvin(temperature_c)
    return result(2.64638e-3 * absolute**1.5 / (absolute + 245.4 * 10.0 ** (-12.0 / absolute)))


def specific_heat(temperature_c: Number) -> Result:
    """Heat that a kilogram of air takes for a kelvin at constant pressure.

    c = (28.11 + 1.967e-3 · T + 4.802e-6 · T² − 1.966e-9 · T³) / M

    Parameters
    ----------
    temperature_c : temperature [°C]

    Returns
    -------
    specific heat [J/(kg·K)]

    Raises
    ------
    OutOfRange : not above absolute zero

    Notes
    -----
    Çengel and Boles, Thermodynamics, Table A-2(c): 273 to 1800 K, within 0.72 %; from memory.

    Examples
    --------
    Incropera, Table A.4, 350 K, prints 1.009 kJ/(kg·K):

    >>> round(specific_heat(76.85) / 1000, 2)
    1.01
    """
    absolute = kelvin(temperature_c)
    molar = 28.11 + absolute * (1.967e-3 + absolute * (4.802e-6 - 1.966e-9 * absolute))
    return result(molar / 0.0289647)


def prandtl(temperature_c: Number) -> Result:
    """Prandtl number of air.

    Pr = c · μ / k

    Parameters
    ----------
    temperature_c : temperature [°C]

    Returns
    -------
    Prandtl number [1]

    Raises
    ------
    OutOfRange : not above absolute zero

    Examples
    --------
    Incropera, Table A.4, 300 K: 0.707

    >>> round(prandtl(26.85), 2)
    0.71
    """
    return result(
        specific_heat(temperature_c) * viscosity(temperature_c) / conductivity(temperature_c)
    )


def expansion(temperature_c: Number) -> Result:
    """Thermal expansion of an ideal gas.

    β = 1 / T

    Parameters
    ----------
    temperature_c : temperature [°C]

    Returns
    -------
    expansion [1/K]

    Raises
    ------
    OutOfRange : not above absolute zero

    Examples
    --------
    >>> round(expansion(26.85), 6)  # 1 / 300 K
    0.003333
    """
    return result(1.0 / kelvin(temperature_c))
