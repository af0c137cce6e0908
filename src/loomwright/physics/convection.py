"""How a cylinder gives heat to the air and to the walls: blown, still, and by radiation.

Lengths in m, speeds in m/s, temperatures in °C. A wire, a plug and a boot are long cylinders here.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from loomwright.loom.errors import OutOfRange
from loomwright.physics import air
from loomwright.physics.quantities import Number, Result, kelvin, possible, result

FORCED_RANGE = (0.2, 1e7)
"""Where the formula of forced convection was fitted: least Re · Pr, highest Re."""
NATURAL_RANGE = (1e-5, 1e12)
"""Where the formula of natural convection was fitted: lowest and highest Ra."""
BOLTZMANN_W_M2K4 = 5.670374419e-8
"""Constant of Stefan and Boltzmann [W/(m²·K⁴)]; follows from the SI."""

_GRAVITY_M_S2 = 9.80665


def reynolds_number(
    speed_m_s: Number, diameter_m: Number, *, kinematic_viscosity_m2_s: Number
) -> Result:
    """Reynolds number of air across a cylinder.

    Re = v · D / ν

    Parameters
    ----------
    speed_m_s : speed of the air [m/s]
    diameter_m : outside diameter [m]
    kinematic_viscosity_m2_s : of the air at the film's temperature [m²/s]

    Returns
    -------
    Reynolds number [1]

    Raises
    ------
    OutOfRange : a negative speed; diameter or viscosity not above 0

    Examples
    --------
    Çengel, problem 7-100: 4 m/s across 0.116 m in air of 1.426e-5 m²/s prints 3.254e4

    >>> round(reynolds_number(4, 0.116, kinematic_viscosity_m2_s=1.426e-5))
    32539
    """
    speed = possible("speed", speed_m_s, "m/s", at_least=0)
    diameter = possible("diameter", diameter_m, "m", above=0)
    viscosity = possible("kinematic viscosity", kinematic_viscosity_m2_s, "m²/s", above=0)
    return result(speed * diameter / viscosity)


def rayleigh_number(
    difference_k: Number,
    diameter_m: Number,
    *,
    expansion_per_k: Number,
    kinematic_viscosity_m2_s: Number,
    diffusivity_m2_s: Number,
) -> Result:
    """Rayleigh number of still air round a cylinder.

    Ra = g · β · |ΔT| · D³ / (ν · a)

    Parameters
    ----------
    difference_k : temperature of the surface less that of the air [K]
    diameter_m : outside diameter [m]
    expansion_per_k : of the air at the film's temperature [1/K]
    kinematic_viscosity_m2_s, diffusivity_m2_s : likewise [m²/s]

    Returns
    -------
    Rayleigh number [1]

    Raises
    ------
    OutOfRange : diameter, viscosity or diffusivity not above 0

    Examples
    --------
    Incropera, example 9.4: 142 K, 0.1 m; the book prints 5.07e6

    >>> found = rayleigh_number(142, 0.1, expansion_per_k=2.725e-3,
    ...                         kinematic_viscosity_m2_s=22.8e-6, diffusivity_m2_s=32.8e-6)
    >>> round(found / 1e6, 2)
    5.07
    """
    difference = possible("temperature difference", difference_k, "K")
    diameter = possible("diameter", diameter_m, "m", above=0)
    viscosity = possible("kinematic viscosity", kinematic_viscosity_m2_s, "m²/s", above=0)
    diffusivity = possible("diffusivity", diffusivity_m2_s, "m²/s", above=0)
    expansion = possible("expansion", expansion_per_k, "1/K", at_least=0)
    buoyancy = _GRAVITY_M_S2 * expansion * np.abs(difference)
    return result(buoyancy * diameter**3 / (viscosity * diffusivity))


def nusselt_cylinder_churchill_bernstein(reynolds: Number, prandtl: Number) -> Result:
    """Nusselt number of air blown across a cylinder.

    Nu = 0.3 + 0.62 · Re^½ · Pr^⅓ / [1 + (0.4 / Pr)^⅔]^¼ · [1 + (Re / 282000)^⅝]^⅘

    Parameters
    ----------
    reynolds : Reynolds number on the diameter [1]
    prandtl : Prandtl number [1], both at the film's temperature

    Returns
    -------
    Nusselt number on the diameter [1]; fitted over `FORCED_RANGE`

    Raises
    ------
    OutOfRange : a negative Reynolds number, a Prandtl number not above 0

    Notes
    -----
    Churchill and Bernstein, J. Heat Transfer 99 (1977) 300. Books give it 20 % either way.

    Examples
    --------
    Çengel, problem 7-100, prints 107.0:

    >>> round(nusselt_cylinder_churchill_bernstein(32539, 0.7336), 1)
    107.0
    """
    Re = possible("Reynolds number", reynolds, "", at_least=0)
    Pr = possible("Prandtl number", prandtl, "", above=0)
    laminar = 0.62 * Re**0.5 * Pr ** (1 / 3) / (1 + (0.4 / Pr) ** (2 / 3)) ** 0.25
    return result(0.3 + laminar * (1 + (Re / 282_000.0) ** 0.625) ** 0.8)


def nusselt_horizontal_cylinder_churchill_chu(rayleigh: Number, prandtl: Number) -> Result:
    """Nusselt number of still air round a level cylinder.

    Nu = {0.60 + 0.387 · Ra^⅙ / [1 + (0.559 / Pr)^(9/16)]^(8/27)}²

    Parameters
    ----------
    rayleigh : Rayleigh number on the diameter [1]
    prandtl : Prandtl number [1], both at the film's temperature

    Returns
    -------
    Nusselt number on the diameter [1]; fitted over `NATURAL_RANGE`

    Raises
    ------
    OutOfRange : a negative Rayleigh number, a Prandtl number not above 0

    Notes
    -----
    Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049.

    Examples
    --------
    A level steam line, Ra 5.219e6 and Pr 0.698, has 23.29:

    >>> round(nusselt_horizontal_cylinder_churchill_chu(5.219e6, 0.698), 2)
    23.29
    """
    Ra = possible("Rayleigh number", rayleigh, "", at_least=0)
    Pr = possible("Prandtl number", prandtl, "", above=0)
    shape = (1 + (0.559 / Pr) ** (9 / 16)) ** (8 / 27)
    return result((0.60 + 0.387 * Ra ** (1 / 6) / shape) ** 2)


def nusselt_combined(forced: Number, natural: Number) -> Result:
    """Nusselt number where air is blown gently and rises as well.

    Nu = (Nu_f⁴ + Nu_n⁴)^¼

    Parameters
    ----------
    forced, natural : Nusselt numbers of the two alone [1]

    Returns
    -------
    Nusselt number [1], never below the larger of the two

    Raises
    ------
    OutOfRange : a negative number

    Notes
    -----
    Incropera, eq. 9.64, with the exponent 4 it recommends for cylinders across a stream.

    Examples
    --------
    >>> round(nusselt_combined(10, 3), 2)
    10.02
    """
    blown = possible("Nusselt number", forced, "", at_least=0)
    rising = possible("Nusselt number", natural, "", at_least=0)
    # The larger is taken out so that no power overflows.
    larger = np.maximum(np.maximum(blown, rising), np.finfo(np.float64).tiny)
    return result(larger * ((blown / larger) ** 4 + (rising / larger) ** 4) ** 0.25)


def convection_coefficient(
    surface_c: Number, air_c: Number, *, diameter_m: Number, speed_m_s: Number
) -> Result:
    """Heat a cylinder gives to the air per area and kelvin, the air taken midway between.

    h = Nu · k / D

    Parameters
    ----------
    surface_c, air_c : temperatures of the surface and of the air far off [°C]
    diameter_m : outside diameter [m]
    speed_m_s : speed of the air across it [m/s]; 0 for still air

    Returns
    -------
    coefficient [W/(m²·K)]

    Raises
    ------
    OutOfRange : as for the numbers above

    Examples
    --------
    Incropera, example 7.4: 12.7 mm at 128.4 °C in 10 m/s of air at 26.2 °C; the book finds 96

    >>> round(convection_coefficient(128.4, 26.2, diameter_m=0.0127, speed_m_s=10))
    97
    """
    hot, cold = np.asarray(surface_c, np.float64), np.asarray(air_c, np.float64)
    film = air.air((hot + cold) / 2)
    Re = reynolds_number(
        speed_m_s, diameter_m, kinematic_viscosity_m2_s=film.kinematic_viscosity_m2_s
    )
    Ra = rayleigh_number(
        hot - cold,
        diameter_m,
        expansion_per_k=film.expansion_per_k,
        kinematic_viscosity_m2_s=film.kinematic_viscosity_m2_s,
        diffusivity_m2_s=film.diffusivity_m2_s,
    )
    Nu = nusselt_combined(
        nusselt_cylinder_churchill_bernstein(Re, film.prandtl),
        nusselt_horizontal_cylinder_churchill_chu(Ra, film.prandtl),
    )
    return result(Nu * film.conductivity_w_mk / np.asarray(diameter_m, np.float64))


def radiation_coefficient(surface_c: Number, walls_c: Number, *, emissivity: Number) -> Result:
    """Heat a surface radiates to large walls, per area and kelvin of difference.

    h = ε · σ · (T_s² + T_w²) · (T_s + T_w)

    Parameters
    ----------
    surface_c, walls_c : temperatures of the surface and of the walls round it [°C]
    emissivity : emissivity of the surface [1]

    Returns
    -------
    coefficient [W/(m²·K)]

    Raises
    ------
    OutOfRange : emissivity not between 0 and 1, a temperature not above absolute zero

    Examples
    --------
    Holman, example 1-6: 50 mm at 50 °C in a room at 20 °C radiates 25.1 W/m

    >>> round(radiation_coefficient(50, 20, emissivity=0.8) * np.pi * 0.05 * 30, 1)
    25.1
    """
    hot, cold = kelvin(surface_c, "surface"), kelvin(walls_c, "walls")
    share = possible_emissivity(emissivity)
    return result(share * BOLTZMANN_W_M2K4 * (hot**2 + cold**2) * (hot + cold))


def possible_emissivity(emissivity: Number) -> NDArray[np.float64]:
    """The shares of a black body's radiation as an array, once each is known to be one.

    Raises
    ------
    OutOfRange : one is not between 0 and 1

    Examples
    --------
    >>> float(possible_emissivity(0.9))
    0.9
    """
    share = possible("emissivity", emissivity, "", at_least=0)
    if (share > 1).any():
        raise OutOfRange(
            f"{share.max():g} is not possible", where="emissivity", expected="give 0 to 1"
        )
    return share
