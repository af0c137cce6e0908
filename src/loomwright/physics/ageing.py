"""How heat ages insulation and rubber: life at a temperature, what hot hours use up, and the fit.

Temperatures in °C, lives in hours. A life is the time to one end point at one steady temperature;
oil, bending, ozone and water come on top and are not in it.
"""

from __future__ import annotations

from math import log

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import Number, Result, kelvin, possible, result

BOLTZMANN_EV_PER_K = 8.617333262e-5
"""Boltzmann's constant in electronvolt per kelvin (SI 2019, exact in its digits)."""

INDEX_HOURS = 20_000.0
"""Life at which a temperature index is read (IEC 60216)."""


def activation_energy(reference_c: Number, halving_k: Number) -> Result:
    """Activation energy of a material whose life halves within so many kelvin.

    E = k · ln 2 / (1/T₀ − 1/(T₀ + h))

    Parameters
    ----------
    reference_c : temperature from which the interval counts [°C]
    halving_k : rise that halves the life there, HIC where the reference is the TI [K]

    Returns
    -------
    activation energy [eV]

    Raises
    ------
    OutOfRange : temperature not above absolute zero, interval not above 0

    Notes
    -----
    Arrhenius as IEC 60216 uses it. The same interval means another energy at another temperature.

    Examples
    --------
    TI 105 °C with HIC 10 K is 0.877 eV:

    >>> round(activation_energy(105, 10), 3)
    0.877
    """
    start = kelvin(reference_c, "reference temperature")
    interval = possible("halving interval", halving_k, "K", above=0)
    return result(BOLTZMANN_EV_PER_K * log(2) / (1 / start - 1 / (start + interval)))


def arrhenius_life(
    temperature_c: Number, *, reference_c: Number, reference_hours: Number, halving_k: Number
) -> Result:
    """Life at a temperature from one known point and the halving interval there.

    L = L₀ · exp(E/k · (1/T − 1/T₀))

    Parameters
    ----------
    temperature_c : temperature of the material [°C]
    reference_c, reference_hours : where a life is known [°C], and that life [h]
    halving_k : rise above `reference_c` that halves the life [K]

    Returns
    -------
    life [h]

    Raises
    ------
    OutOfRange : temperature not above absolute zero, life or interval not above 0

    Notes
    -----
    IEC 60216. One process with one energy; beyond a melting or glass point it does not hold.

    Examples
    --------
    TI 105 °C, HIC 10 K: 5177 h at 125 °C.

    >>> round(arrhenius_life(125, reference_c=105, reference_hours=20000, halving_k=10))
    5177
    """
    hot, start = kelvin(temperature_c), kelvin(reference_c, "reference temperature")
    life = possible("reference life", reference_hours, "h", above=0)
    energy = np.asarray(activation_energy(reference_c, halving_k))
    return result(life * np.exp(energy / BOLTZMANN_EV_PER_K * (1 / hot - 1 / start)))


def halving_life(
    temperature_c: Number, *, reference_c: Number, reference_hours: Number, halving_k: Number
) -> Result:
    """Life at a temperature by the rule of thumb: half for every so many kelvin more.

    L = L₀ · 2^((T₀ − T)/h)

    Parameters
    ----------
    temperature_c : temperature of the material [°C]
    reference_c, reference_hours : where a life is known [°C], and that life [h]
    halving_k : rise that halves the life [K]

    Returns
    -------
    life [h]

    Raises
    ------
    OutOfRange : temperature not above absolute zero, life or interval not above 0

    Notes
    -----
    V. M. Montsinger, "Loading Transformers by Temperature", Trans. AIEE 1930, with 8 K; the
    10 K in common use is a later rounding.

    Examples
    --------
    40 K too hot at 8 K a halving leaves 1/32:

    >>> halving_life(145, reference_c=105, reference_hours=3200, halving_k=8)
    100.0
    """
    hot, start = kelvin(temperature_c), kelvin(reference_c, "reference temperature")
    life = possible("reference life", reference_hours, "h", above=0)
    interval = possible("halving interval", halving_k, "K", above=0)
    return result(life * 2.0 ** ((start - hot) / interval))


def used_share(hours: Number, life_hours: Number) -> Result:
    """Share of the whole life used up by spells at several temperatures.

    D = Σ tᵢ / Lᵢ, over the last axis; 1 is worn out

    Parameters
    ----------
    hours : length of each spell [h], shape (..., spells)
    life_hours : life at each spell's temperature [h], shape (..., spells)

    Returns
    -------
    share [1], shape (...)

    Raises
    ------
    OutOfRange : negative hours, life not above 0

    Notes
    -----
    Miner's linear sum. The order of the spells does not matter to it.

    Examples
    --------
    TI 105 °C, HIC 10 K: 1000 h at 125 °C (life 5177 h) and 7000 h at 85 °C (life 89 900 h).

    >>> round(used_share([1000, 7000], [5177, 89900]), 3)
    0.271
    """
    spells = np.atleast_1d(possible("hours", hours, "h", at_least=0))
    lives = np.atleast_1d(possible("life", life_hours, "h", above=0))
    return result(np.sum(spells / lives, axis=-1))


def life_in_years(share_per_year: Number) -> Result:
    """Years until all of the life is used, at so much a year.

    Parameters
    ----------
    share_per_year : share used in a year [1/a]

    Returns
    -------
    years [a]; infinite where nothing is used

    Raises
    ------
    OutOfRange : negative share

    Examples
    --------
    >>> life_in_years(0.05)
    20.0
    """
    share = possible("share used in a year", share_per_year, "1/a", at_least=0)
    with np.errstate(divide="ignore"):
        return result(np.where(share > 0, 1 / np.where(share > 0, share, 1.0), np.inf))


@attrs.frozen(kw_only=True)
class AgeingFit:
    """An endurance line ln t = a + s/T through ageing data.

    Attributes
    ----------
    index_c : temperature at which the life is the index life, TI [°C]
    halving_k : rise above it that halves the life, HIC [K]
    energy_ev : activation energy [eV]
    slope_k : s [K]
    residual_sd : scatter of ln t about the line [1]
    index_sd, halving_sd : standard uncertainties of TI and HIC [K]; infinite with two points
    """

    index_c: float
    halving_k: float
    energy_ev: float
    slope_k: float
    residual_sd: float
    index_sd: float
    halving_sd: float


def fit_ageing(
    temperatures_c: Number, life_hours: Number, *, index_hours: float = INDEX_HOURS
) -> AgeingFit:
    """The endurance line by least squares of ln t on 1/T.

    Parameters
    ----------
    temperatures_c : ageing temperatures, two or more that differ [°C], shape (n,)
    life_hours : time to the end point at each [h], shape (n,)
    index_hours : life at which the temperature index is read [h]

    Returns
    -------
    TI, HIC and energy with the standard uncertainties that the scatter of the data gives them

    Raises
    ------
    OutOfRange : lives that do not fall as it gets hotter, fewer than two temperatures, arrays of
        unequal length, life not above 0

    Notes
    -----
    IEC 60216 style. The uncertainties are first-order, with n − 2 degrees of freedom; how far the
    index lies from the data is in them, whether the line is straight that far is not.

    Examples
    --------
    A printed set: 480 h at 220, 1800 h at 200, 7200 h at 180 °C.

    >>> found = fit_ageing([220, 200, 180], [480, 1800, 7200])
    >>> round(found.index_c, 1), round(found.halving_k, 2), round(found.energy_ev, 3)
    (166.6, 9.05, 1.303)
    """
    inverse, logs = _ageing_data(temperatures_c, life_hours)
    x_mean, y_mean = inverse.mean(), logs.mean()
    spread = float(np.sum((inverse - x_mean) ** 2))
    slope = float(np.sum((inverse - x_mean) * (logs - y_mean)) / spread)
    if not slope > 0:
        raise OutOfRange("the lives do not fall as it gets hotter", where="ageing data",
                         expected="give a shorter life for each higher temperature")  # fmt: skip
    wanted = np.log(possible("index life", index_hours, "h", above=0)) - np.array([0.0, log(2)])
    at = x_mean + (wanted - y_mean) / slope
    if not (at > 0).all():
        raise OutOfRange("the line reaches no temperature with that life", where="ageing data",
                         expected="give an index life nearer to the data")  # fmt: skip
    residual = logs - y_mean - slope * (inverse - x_mean)
    freedom = len(logs) - 2
    sd = float(np.sqrt(np.sum(residual**2) / freedom)) if freedom else np.inf
    above = (wanted - y_mean) / slope
    mean_sd, slope_sd = sd / np.sqrt(len(logs)), sd / np.sqrt(spread)
    index_sd, halving_sd = _index_sds(at, above, slope=slope, sds=(mean_sd, slope_sd))
    return AgeingFit(
        index_c=float(1 / at[0] - 273.15),
        halving_k=float(1 / at[1] - 1 / at[0]),
        energy_ev=slope * BOLTZMANN_EV_PER_K,
        slope_k=slope,
        residual_sd=sd,
        index_sd=index_sd,
        halving_sd=halving_sd,
    )


def _ageing_data(
    temperatures_c: Number, life_hours: Number
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """1/T and ln t, once they make a line."""
    hot = np.atleast_1d(kelvin(temperatures_c))
    lives = np.atleast_1d(possible("life", life_hours, "h", above=0))
    if hot.shape != lives.shape or len(np.unique(hot)) < 2:
        raise OutOfRange(
            f"{hot.size} temperatures and {lives.size} lives make no line",
            where="ageing data",
            expected="give a life for each of two or more different temperatures",
        )
    return 1 / hot, np.log(lives)


def _index_sds(
    at: NDArray[np.float64], above: NDArray[np.float64], *, slope: float, sds: tuple[float, float]
) -> tuple[float, float]:
    """Standard uncertainties of TI and HIC; mean and slope of a line are independent.

    `at` is 1/T at the index life and at half of it, `above` how far that lies from the mean.
    """
    by_mean, by_slope = 1 / (at**2 * slope), above / (at**2 * slope)
    return (
        float(np.hypot(by_mean[0] * sds[0], by_slope[0] * sds[1])),
        float(np.hypot(np.diff(by_mean)[0] * sds[0], np.diff(by_slope)[0] * sds[1])),
    )
