"""The temperature a control unit believes when wire and insulation spoil a sensor's resistance.

A curve is given by two callables: `ohm_at` (°C to Ω) and `temperature_of` (Ω to °C).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from loomwright.physics.quantities import Number, Result, possible, result

Curve: TypeAlias = Callable[[Number], Result]
"""Half of a sensor's curve: resistance of a temperature, or temperature of a resistance."""


def circuit_resistance(
    sensor_ohm: Number, *, series_ohm: Number = 0.0, leak_ohm: Number = np.inf
) -> Result:
    """Resistance seen through bad contacts with a leak across the sensor.

    R = 1 / (1/R_sensor + 1/R_leak) + R_series

    Parameters
    ----------
    sensor_ohm : resistance of the sensor [Ω]; inf when it is open
    series_ohm : resistance added in the wires [Ω]
    leak_ohm : resistance across the sensor [Ω]; inf for none

    Returns
    -------
    resistance seen [Ω]

    Raises
    ------
    OutOfRange : a negative resistance

    Examples
    --------
    >>> round(circuit_resistance(2508, series_ohm=50, leak_ohm=20e3), 1)
    2278.5
    """
    sensor = possible("sensor resistance", sensor_ohm, "Ω", at_least=0)
    series = possible("series resistance", series_ohm, "Ω", at_least=0)
    leak = possible("leak resistance", leak_ohm, "Ω", at_least=0)
    with np.errstate(divide="ignore"):
        return result(1 / (1 / sensor + 1 / leak) + series)


def apparent_temperature(
    temperature_c: Number,
    *,
    ohm_at: Curve,
    temperature_of: Curve,
    series_ohm: Number = 0.0,
    leak_ohm: Number = np.inf,
) -> Result:
    """Temperature a control unit believes.

    t_believed = T(1 / (1/R(t) + 1/R_leak) + R_series)

    Parameters
    ----------
    temperature_c : true temperature of the sensor [°C]
    ohm_at, temperature_of : the sensor's curve both ways
    series_ohm : resistance added in the wires [Ω]
    leak_ohm : resistance across the sensor [Ω]; inf for none

    Returns
    -------
    temperature believed [°C]

    Raises
    ------
    OutOfRange : a negative resistance, or a temperature the curve cannot have

    Examples
    --------
    50 Ω in series is half a kelvin cold and five kelvin hot:

    >>> from loomwright.physics.thermistor import (
    ...     ThreeConstants, resistance_steinhart_hart, temperature_steinhart_hart)
    >>> coolant = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)
    >>> believed = apparent_temperature(
    ...     [20, 80],
    ...     ohm_at=lambda t: resistance_steinhart_hart(t, coolant),
    ...     temperature_of=lambda ohm: temperature_steinhart_hart(ohm, coolant),
    ...     series_ohm=50,
    ... )
    >>> [round(float(t), 1) for t in believed]
    [19.5, 75.1]
    """
    seen = circuit_resistance(ohm_at(temperature_c), series_ohm=series_ohm, leak_ohm=leak_ohm)
    return temperature_of(seen)


def temperature_error(
    temperature_c: Number,
    *,
    ohm_at: Curve,
    temperature_of: Curve,
    series_ohm: Number = 0.0,
    leak_ohm: Number = np.inf,
) -> Result:
    """Error of the temperature a control unit believes.

    Δt = t_believed − t; below 0 the mixture is richer than the engine needs

    Parameters
    ----------
    temperature_c, ohm_at, temperature_of, series_ohm, leak_ohm : as for `apparent_temperature`

    Returns
    -------
    error [K]

    Raises
    ------
    OutOfRange : as for `apparent_temperature`
    """
    believed = apparent_temperature(
        temperature_c,
        ohm_at=ohm_at,
        temperature_of=temperature_of,
        series_ohm=series_ohm,
        leak_ohm=leak_ohm,
    )
    return result(np.subtract(believed, temperature_c))


def series_for_error(temperature_c: Number, error_k: Number, *, ohm_at: Curve) -> Result:
    """Series resistance that makes the sensor seem colder by so much.

    R_series = R(t − Δ) − R(t); with Δ the doubt of the thermometer, what it can hide

    Parameters
    ----------
    temperature_c : true temperature [°C]
    error_k : how much colder it seems [K]
    ohm_at : the sensor's curve

    Returns
    -------
    series resistance [Ω]

    Raises
    ------
    OutOfRange : negative error
    """
    colder = np.subtract(temperature_c, possible("error", error_k, "K", at_least=0))
    return result(np.subtract(ohm_at(colder), ohm_at(temperature_c)))


def leak_for_error(temperature_c: Number, error_k: Number, *, ohm_at: Curve) -> Result:
    """Leak across the sensor that makes it seem hotter by so much.

    1/R_leak = 1/R(t + Δ) − 1/R(t)

    Parameters
    ----------
    temperature_c : true temperature [°C]
    error_k : how much hotter it seems [K]
    ohm_at : the sensor's curve

    Returns
    -------
    leak resistance [Ω]; inf for no error

    Raises
    ------
    OutOfRange : negative error
    """
    hotter = np.add(temperature_c, possible("error", error_k, "K", at_least=0))
    with np.errstate(divide="ignore"):
        return result(1 / (1 / np.asarray(ohm_at(hotter)) - 1 / np.asarray(ohm_at(temperature_c))))
