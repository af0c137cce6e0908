"""A wire or plug as a long cylinder: a core, layers round it, and the air outside; once steady.

What happens on the way there is in `heat_course.py`. All heats are per metre of length.
"""

from __future__ import annotations

from collections.abc import Callable

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.physics.convection import (
    convection_coefficient,
    possible_emissivity,
    radiation_coefficient,
)
from loomwright.physics.quantities import Number, Result, possible, result

Floats = NDArray[np.float64]

_HALVINGS = 60
_WIDEST_K = 1e5


@attrs.frozen(kw_only=True)
class Layer:
    """One layer round the core: shell, still air, rubber, insulation.

    Attributes
    ----------
    thickness_m : thickness [m]
    conductivity_w_mk : thermal conductivity [W/(m·K)]
    density_kg_m3 : density [kg/m³]
    specific_heat_j_kgk : specific heat [J/(kg·K)]
    """

    thickness_m: float
    conductivity_w_mk: float
    density_kg_m3: float
    specific_heat_j_kgk: float

    def __attrs_post_init__(self) -> None:
        possible("thickness", self.thickness_m, "m", above=0)
        possible("conductivity", self.conductivity_w_mk, "W/(m·K)", above=0)
        possible("density", self.density_kg_m3, "kg/m³", above=0)
        possible("specific heat", self.specific_heat_j_kgk, "J/(kg·K)", above=0)


@attrs.frozen(kw_only=True)
class Cylinder:
    """A core that is equally warm throughout, and the layers round it.

    Attributes
    ----------
    core_m : diameter of the core [m]
    core_j_mk : heat the core takes per metre and kelvin [J/(m·K)]
    layers : from the inside out
    emissivity : of the outermost surface [1]
    """

    core_m: float
    core_j_mk: float
    layers: tuple[Layer, ...] = ()
    emissivity: float = 0.0

    def __attrs_post_init__(self) -> None:
        possible("diameter of the core", self.core_m, "m", above=0)
        possible("heat capacity of the core", self.core_j_mk, "J/(m·K)", above=0)
        possible_emissivity(self.emissivity)

    @property
    def radii_m(self) -> Floats:
        """Radii of the core and of each layer's outside [m]."""
        return self.core_m / 2 + np.cumsum([0.0, *(each.thickness_m for each in self.layers)])

    @property
    def outside_m(self) -> float:
        """Outside diameter [m]."""
        return float(2 * self.radii_m[-1])

    @property
    def heat_capacity_j_mk(self) -> float:
        """Heat that all of it takes per metre and kelvin [J/(m·K)]."""
        areas = np.pi * np.diff(self.radii_m**2)
        held = [each.density_kg_m3 * each.specific_heat_j_kgk for each in self.layers]
        return float(self.core_j_mk + areas @ np.array(held, dtype=np.float64))


@attrs.frozen(kw_only=True)
class Around:
    """What is round a cylinder; each a number or an array, several cases at once.

    Attributes
    ----------
    air_c : temperature of the air [°C]
    speed_m_s : speed of the air across it [m/s]
    walls_c : temperature of what it radiates to [°C]; that of the air when None
    film_w_m2k : heat given per area and kelvin [W/(m²·K)], radiation in it; worked out when None
    """

    air_c: Number
    speed_m_s: Number = 0.0
    walls_c: Number | None = None
    film_w_m2k: Number | None = None

    def given(self, cylinder: Cylinder, surface_c: Number) -> tuple[Floats, Floats]:
        """Heat given per area and kelvin [W/(m²·K)], and the temperature it is given to [°C].

        Where air and walls differ, that is the mean that takes the same heat.

        Raises
        ------
        OutOfRange : a speed or coefficient is negative, a temperature below absolute zero
        """
        air = possible("air", self.air_c, "°C")
        if self.film_w_m2k is not None:
            return possible("film coefficient", self.film_w_m2k, "W/(m²·K)", above=0), air
        walls = air if self.walls_c is None else np.asarray(self.walls_c, np.float64)
        convects = convection_coefficient(
            surface_c, air, diameter_m=cylinder.outside_m, speed_m_s=self.speed_m_s
        )
        radiates = radiation_coefficient(surface_c, walls, emissivity=cylinder.emissivity)
        film = np.asarray(convects + radiates)
        return film, np.asarray((convects * air + radiates * walls) / film)


@attrs.frozen(kw_only=True)
class Steady:
    """Temperatures once nothing changes any more.

    Attributes
    ----------
    core_c, surface_c : of the core and of the outermost surface [°C]
    """

    core_c: Result
    surface_c: Result


def layers_resistance(cylinder: Cylinder) -> float:
    """Thermal resistance of all layers of a metre.

    R = Σ ln(r₂ / r₁) / (2π · k)

    Parameters
    ----------
    cylinder : core and layers

    Returns
    -------
    resistance [K·m/W]

    Notes
    -----
    Textbook; IEC 60287 writes it ρ / (2π) · ln(1 + 2t / d).

    Examples
    --------
    5 K·m/W, conductor of 1.1 mm, 0.25 mm of insulation: 0.2982 K·m/W

    >>> pvc = Layer(thickness_m=0.25e-3, conductivity_w_mk=1 / 5, density_kg_m3=1300,
    ...             specific_heat_j_kgk=1500)
    >>> round(layers_resistance(Cylinder(core_m=1.1e-3, core_j_mk=3.0, layers=(pvc,))), 4)
    0.2982
    """
    growth = np.diff(np.log(cylinder.radii_m))
    conducts = np.array([each.conductivity_w_mk for each in cylinder.layers], dtype=np.float64)
    return float(np.sum(growth / (2 * np.pi * conducts)))


def critical_radius(conductivity_w_mk: Number, film_w_m2k: Number) -> Result:
    """Outside radius up to which more insulation lets a cylinder lose more heat, not less.

    r = k / h

    Parameters
    ----------
    conductivity_w_mk : of the insulation [W/(m·K)]
    film_w_m2k : heat given per area and kelvin [W/(m²·K)]

    Returns
    -------
    radius [m]

    Raises
    ------
    OutOfRange : one of them is not above 0

    Examples
    --------
    Incropera, example 3.5: 0.055 W/(m·K) and 5 W/(m²·K) give 11 mm

    >>> round(critical_radius(0.055, 5), 4)
    0.011
    """
    conducts = possible("conductivity", conductivity_w_mk, "W/(m·K)", above=0)
    film = possible("film coefficient", film_w_m2k, "W/(m²·K)", above=0)
    return result(conducts / film)


def steady(cylinder: Cylinder, around: Around, *, heat_w_m: Number = 0.0) -> Steady:
    """Temperatures with a steady heat produced in the core.

    q = π · D · h(T_s) · (T_s − T_around), T_core = T_s + q · R

    Parameters
    ----------
    cylinder : core and layers
    around : air, wind and walls
    heat_w_m : heat produced in the core [W/m]

    Returns
    -------
    temperatures of core and surface; arrays where one of the inputs is

    Raises
    ------
    OutOfRange : negative heat, or so much that no temperature below 100 000 K carries it off

    Examples
    --------
    6.5 W/(m²·K) all told, 50 mm, 30.6 W/m: 30 K above the air (Holman, example 1-6)

    >>> pipe = Cylinder(core_m=0.05, core_j_mk=100.0)
    >>> round(steady(pipe, Around(air_c=20, film_w_m2k=6.5), heat_w_m=30.63).surface_c)
    50
    """
    heat = possible("heat", heat_w_m, "W/m", at_least=0)
    walls = around.air_c if around.walls_c is None else around.walls_c
    cold = np.minimum(np.asarray(around.air_c, np.float64), walls)

    def too_warm(surface_c: Floats) -> Floats:
        """Heat given less heat produced [W/m]; grows with the temperature of the surface."""
        film, to = around.given(cylinder, surface_c)
        return np.asarray(np.pi * cylinder.outside_m * film * (surface_c - to) - heat)

    shape = np.broadcast_shapes(np.shape(too_warm(cold)), np.shape(cold))
    surface = _root(too_warm, np.broadcast_to(cold, shape) - 1e-9)
    core = surface + heat * layers_resistance(cylinder)
    return Steady(core_c=result(core), surface_c=result(surface))


def _root(rising: Callable[[Floats], Floats], low: Floats) -> Floats:
    """Where a rising function crosses zero above `low`, by doubling and then halving."""
    width = np.ones_like(low)
    while (short := rising(low + width) < 0).any():
        width = np.where(short, 2 * width, width)
        possible("span of temperatures left", _WIDEST_K - width, "K", at_least=0)
    for _ in range(_HALVINGS):
        width = width / 2
        low = np.where(rising(low + width) < 0, low + width, low)
    return low
