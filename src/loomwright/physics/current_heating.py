"""How warm current makes a wire: at rest, for a while, and so fast that no heat gets away.

Lengths in m, areas in m², temperatures in °C. A wire is one lump per metre: copper that stores
heat and a surroundings that takes it away in proportion to the rise. The insulation's own heat
store is left out, so a wire is never reckoned cooler than it is.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from loomwright.physics.quantities import ABSOLUTE_ZERO_C, Number, Result, possible, result


def current_rise(
    current_a: Number,
    *,
    ambient_c: Number,
    rated_a: Number,
    rated_rise_k: Number,
    rated_ambient_c: Number,
    alpha_per_k: Number,
) -> Result:
    """Steady rise of a conductor above its surroundings, from one rated point.

    ΔT = q · (1 + α(Tₐ − 20)) / (1 − α·q),  q = ΔT₀ · (I/I₀)² / (1 + α(T₀ − 20))

    Parameters
    ----------
    current_a : current [A]
    ambient_c : surroundings [°C]
    rated_a : current that gives the rated rise [A]; times a bundle's factor for a wire in one
    rated_rise_k, rated_ambient_c : that rise [K], and the surroundings it holds in [°C]
    alpha_per_k : temperature coefficient of resistance at 20 °C [1/K]

    Returns
    -------
    rise [K]; infinite where the wire heats faster than it can cool, at any temperature

    Raises
    ------
    OutOfRange : negative current; rated current or rise not above 0; an impossible temperature

    Notes
    -----
    Joule's law with heat given off in proportion to the rise. Still air takes a little more at a
    high rise than that (with ΔT^1.25), so beyond the rated rise the figure is on the safe side
    and below it a few kelvin short.

    Examples
    --------
    AC 43.13-1B's wire, good for 26 A at 150 K above 50 °C, with 20 A and the square of the
    current alone: 50 + 88.8 °C.

    >>> round(current_rise(20, ambient_c=50, rated_a=26, rated_rise_k=150, rated_ambient_c=50,
    ...                    alpha_per_k=0), 1)
    88.8
    """
    amps = possible("current", current_a, "A", at_least=0)
    rated = possible("rated current", rated_a, "A", above=0)
    alpha = possible("temperature coefficient", alpha_per_k, "1/K", at_least=0)
    rise = possible("rated rise", rated_rise_k, "K", above=0)
    start = possible("rated surroundings", rated_ambient_c, "°C", above=ABSOLUTE_ZERO_C)
    around = possible("surroundings", ambient_c, "°C", above=ABSOLUTE_ZERO_C)
    q = rise * (amps / rated) ** 2 / (1 + alpha * (start + rise - 20))
    left = 1 - alpha * q
    return result(
        np.where(left > 0, q * (1 + alpha * (around - 20)) / np.where(left > 0, left, 1.0), np.inf)
    )


def current_capacity(
    rise_k: Number,
    *,
    ambient_c: Number,
    rated_a: Number,
    rated_rise_k: Number,
    rated_ambient_c: Number,
    alpha_per_k: Number,
) -> Result:
    """Current that gives a rise; the inverse of `current_rise`.

    I = I₀ · √(ΔT/ΔT₀ · R(T₀)/R(T))

    Parameters
    ----------
    rise_k : rise that is allowed [K]
    ambient_c : surroundings [°C]
    rated_a, rated_rise_k, rated_ambient_c, alpha_per_k : as for `current_rise`

    Returns
    -------
    current [A]

    Raises
    ------
    OutOfRange : negative rise; otherwise as for `current_rise`

    Examples
    --------
    >>> round(current_capacity(88.8, ambient_c=50, rated_a=26, rated_rise_k=150,
    ...                        rated_ambient_c=50, alpha_per_k=0))
    20
    """
    allowed = possible("rise", rise_k, "K", at_least=0)
    rated = possible("rated current", rated_a, "A", above=0)
    alpha = possible("temperature coefficient", alpha_per_k, "1/K", at_least=0)
    rise = possible("rated rise", rated_rise_k, "K", above=0)
    start = possible("rated surroundings", rated_ambient_c, "°C", above=ABSOLUTE_ZERO_C)
    around = possible("surroundings", ambient_c, "°C", above=ABSOLUTE_ZERO_C)
    cooler = (1 + alpha * (start + rise - 20)) / (1 + alpha * (around + allowed - 20))
    return result(rated * np.sqrt(allowed / rise * cooler))


def adiabatic_factor(initial_c: Number, final_c: Number) -> Result:
    """Factor k of the short-circuit rule I·√t = k·A for copper.

    k = √(Qc·(B + 20)/ρ₂₀ · ln((B + θf)/(B + θi)))

    Parameters
    ----------
    initial_c, final_c : temperature of the conductor before and after [°C]

    Returns
    -------
    k [A·s^½/m²]; a millionth of it is the tables' A·√s/mm²

    Raises
    ------
    OutOfRange : initial temperature not above −234.5 °C, or final below initial

    Notes
    -----
    IEC 60364-5-54 and IEC 60949 for copper: Qc = 3.45e-3 J/(K·mm³), B = 234.5 °C,
    ρ₂₀ = 17.241e-6 Ω·mm. No heat leaves the wire, so it holds up to about 5 s.

    Examples
    --------
    PVC from 70 to 160 °C, printed as 115 A·√s/mm²:

    >>> round(1e-6 * adiabatic_factor(70, 160))
    115
    """
    first = possible("initial temperature", initial_c, "°C", above=-234.5)
    last = possible("final temperature", final_c, "°C", above=-234.5)
    possible("warming", last - first, "K", at_least=0)
    per_mm2 = np.sqrt(3.45e-3 * 254.5 / 17.241e-6 * np.log((234.5 + last) / (234.5 + first)))
    return result(1e6 * per_mm2)


def onderdonk_current(
    area_m2: Number, time_s: Number, *, ambient_c: Number, melting_c: Number = 1083.0
) -> Result:
    """Current that melts a copper wire within a short time.

    I = A · √(log₁₀((Tm − Ta)/(234 + Ta) + 1) / (33·t)),  A in circular mils

    Parameters
    ----------
    area_m2 : area of the copper [m²]
    time_s : time to melting [s]; up to about 10 s
    ambient_c : temperature at the start [°C]
    melting_c : melting point of copper [°C]

    Returns
    -------
    current [A]

    Raises
    ------
    OutOfRange : area or time not above 0; start not above −234 °C or at the melting point

    Notes
    -----
    First in print in General Electric Review, 1928; no heat leaves the wire.

    Examples
    --------
    AWG 16 (1.309 mm²) at 25 °C melts within 5 s at 169 A:

    >>> round(onderdonk_current(1.309e-6, 5, ambient_c=25))
    169
    """
    area = possible("area", area_m2, "m²", above=0)
    time = possible("time", time_s, "s", above=0)
    start = possible("surroundings", ambient_c, "°C", above=-234)
    rise = possible("way to the melting point", np.asarray(melting_c) - start, "K", above=0)
    circular_mils = area / (np.pi / 4 * 25.4e-6**2)
    return result(circular_mils * np.sqrt(np.log10(rise / (234 + start) + 1) / (33 * time)))


def preece_current(diameter_m: Number) -> Result:
    """Current that melts a bare copper wire in still air in the long run.

    I = 10244 · d^1.5,  d in inches

    Parameters
    ----------
    diameter_m : diameter of the copper [m]

    Returns
    -------
    current [A]

    Raises
    ------
    OutOfRange : diameter not above 0

    Notes
    -----
    W. H. Preece, 1884, with his coefficient for copper.

    Examples
    --------
    A wire of 0.0457 in melts at 100 A:

    >>> round(preece_current(0.0457 * 0.0254))
    100
    """
    diameter = possible("diameter", diameter_m, "m", above=0)
    return result(10244 * (diameter / 0.0254) ** 1.5)


def time_to_temperature(
    final_c: Number,
    *,
    current_a: Number,
    area_m2: Number,
    initial_c: Number,
    ambient_c: Number,
    rated_a: Number,
    rated_rise_k: Number,
    rated_ambient_c: Number,
    resistivity_ohm_m: Number,
    alpha_per_k: Number,
    heat_capacity_j_per_m3_k: Number,
) -> Result:
    """Time in which a current brings a conductor to a temperature, heat getting away meanwhile.

    C·dT/dt = I²·R(T) − G·(T − Tₐ)  gives  t = −ln(1 − λ·(Tf − Ti)/b)/λ

    with C = c·A, R = ρ₂₀(1 + α(T − 20))/A, G from the rated point, b = dT/dt at the start and
    λ = (G − I²ρ₂₀α/A)/C. With G = 0 it is the rule of `adiabatic_factor`; a current held for long
    enough ends at `current_rise`.

    Parameters
    ----------
    final_c : temperature to be reached [°C]
    current_a : current [A]
    area_m2 : area of the copper [m²]
    initial_c : temperature of the conductor at the start [°C]
    ambient_c : surroundings [°C]
    rated_a, rated_rise_k, rated_ambient_c : as for `current_rise`; an infinite rise cools nothing
    resistivity_ohm_m, alpha_per_k : of copper at 20 °C [Ω·m], [1/K]
    heat_capacity_j_per_m3_k : heat the copper stores per volume [J/(m³·K)]

    Returns
    -------
    time [s]; 0 where it is that warm already, infinite where it never gets there

    Raises
    ------
    OutOfRange : negative current; area, rated values or properties not above 0; an impossible
        temperature

    Notes
    -----
    Lumped, first order: the textbook's Newtonian cooling with a source that grows with T.

    Examples
    --------
    Without cooling 1 mm² of PVC wire bears 115 A for 1 s from 70 to 160 °C (k = 115 A·√s/mm²):

    >>> t = time_to_temperature(160, current_a=115, area_m2=1e-6, initial_c=70, ambient_c=70,
    ...     rated_a=20, rated_rise_k=float("inf"), rated_ambient_c=30,
    ...     resistivity_ohm_m=1.7241e-8, alpha_per_k=1 / 254.5, heat_capacity_j_per_m3_k=3.45e6)
    >>> round(t, 1)
    1.0
    """
    first = possible("initial temperature", initial_c, "°C", above=ABSOLUTE_ZERO_C)
    way = possible("final temperature", final_c, "°C", above=ABSOLUTE_ZERO_C) - first
    around = possible("surroundings", ambient_c, "°C", above=ABSOLUTE_ZERO_C)
    area = possible("area", area_m2, "m²", above=0)
    alpha = possible("temperature coefficient", alpha_per_k, "1/K", at_least=0)
    per_m = possible("resistivity", resistivity_ohm_m, "Ω·m", above=0) / area
    store = area * possible("heat capacity", heat_capacity_j_per_m3_k, "J/(m³·K)", above=0)
    rated = possible("rated current", rated_a, "A", above=0)
    rated_rise = possible("rated rise", rated_rise_k, "K", above=0)
    rated_start = possible("rated surroundings", rated_ambient_c, "°C", above=ABSOLUTE_ZERO_C)
    # The rated watts go away at the rated rise; written so that an infinite rise cools nothing.
    cooling = rated**2 * per_m * ((1 + alpha * (rated_start - 20)) / rated_rise + alpha)
    cooling = np.where(np.isinf(rated_rise), 0.0, cooling)
    heating = possible("current", current_a, "A", at_least=0) ** 2 * per_m
    with np.errstate(invalid="ignore"):  # a start without end is past any final temperature
        begin = (heating * (1 + alpha * (first - 20)) - cooling * (first - around)) / store
    decay = (cooling - heating * alpha) / store
    return result(_first_order_time(way, begin, decay))


def _first_order_time(
    way: NDArray[np.float64], begin: NDArray[np.float64], decay: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Time in which dT/dt = begin·exp(−decay·t) covers a way; 0 for none, infinite for never."""
    way, begin, decay = np.broadcast_arrays(way, begin, decay)
    moving = begin > 0
    plain = way / np.where(moving, begin, 1.0)
    reached = np.clip(decay * plain, None, 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        curved = -np.log1p(-reached) / np.where(decay == 0, 1.0, decay)
    found = np.where(np.abs(reached) < 1e-12, plain, curved)
    return np.where(way <= 0, 0.0, np.where(moving, found, np.inf))
