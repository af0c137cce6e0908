"""Copper windings (injectors, valves, relay coils, sensor windings) at temperature, and groups."""

from __future__ import annotations

import numpy as np

from loomwright.physics.conductor import resistance_at, resistance_at_reference
from loomwright.physics.quantities import Number, Result, possible, result


def winding_resistance(
    ohm_at_reference: Number,
    temperature_c: Number,
    *,
    alpha_per_k: Number,
    reference_c: Number = 20.0,
) -> Result:
    """Resistance of a winding at a temperature.

    R(T) = R₀ · (1 + α · (T − T₀))

    Parameters
    ----------
    ohm_at_reference : resistance at the reference temperature [Ω]
    temperature_c : temperature of the winding [°C]
    alpha_per_k : temperature coefficient [1/K]
    reference_c : reference temperature [°C]

    Returns
    -------
    resistance [Ω]

    Raises
    ------
    OutOfRange : as for `conductor.resistance_at`

    Examples
    --------
    A 2.4 Ω injector reads 2.12 Ω at −10 °C and 2.97 Ω at 80 °C:

    >>> [round(winding_resistance(2.4, t, alpha_per_k=0.00393), 2) for t in (-10, 80)]
    [2.12, 2.97]
    """
    return resistance_at(
        ohm_at_reference, temperature_c, alpha_per_k=alpha_per_k, reference_c=reference_c
    )


def winding_at_reference(
    ohm: Number,
    temperature_c: Number,
    *,
    alpha_per_k: Number,
    reference_c: Number = 20.0,
) -> Result:
    """A measured winding brought back to the reference temperature.

    R₀ = R(T) / (1 + α · (T − T₀))

    Parameters
    ----------
    ohm : measured resistance [Ω]
    temperature_c : temperature of the winding then [°C]
    alpha_per_k, reference_c : as for `winding_resistance`

    Returns
    -------
    resistance at the reference temperature [Ω]

    Raises
    ------
    OutOfRange : as for `conductor.resistance_at_reference`

    Examples
    --------
    >>> round(winding_at_reference(19.77, 80, alpha_per_k=0.00393), 1)
    16.0
    """
    return resistance_at_reference(
        ohm, temperature_c, alpha_per_k=alpha_per_k, reference_c=reference_c
    )


def winding_temperature(
    ohm: Number,
    ohm_at_reference: Number,
    *,
    alpha_per_k: Number,
    reference_c: Number = 20.0,
) -> Result:
    """Temperature of a winding from its resistance.

    T = T₀ + (R/R₀ − 1) / α

    Parameters
    ----------
    ohm : measured resistance [Ω]
    ohm_at_reference : resistance at the reference temperature [Ω]
    alpha_per_k, reference_c : as for `winding_resistance`

    Returns
    -------
    temperature [°C]

    Raises
    ------
    OutOfRange : negative resistance, reference resistance or coefficient not above 0

    Examples
    --------
    >>> round(winding_temperature(2.966, 2.4, alpha_per_k=0.00393), 0)
    80.0
    """
    measured = possible("resistance", ohm, "Ω", at_least=0)
    reference = possible("resistance at reference", ohm_at_reference, "Ω", above=0)
    alpha = possible("temperature coefficient", alpha_per_k, "1/K", above=0)
    base = possible("reference temperature", reference_c, "°C")
    return result(base + (measured / reference - 1) / alpha)


def parallel_group(ohm: Number, count: Number) -> Result:
    """Resistance of equal windings side by side.

    R = R₁ / n

    Parameters
    ----------
    ohm : resistance of one [Ω]
    count : how many are connected; with none the circuit is open

    Returns
    -------
    resistance of the group [Ω]

    Raises
    ------
    OutOfRange : negative resistance or count

    Examples
    --------
    Six sound 16 Ω injectors at 80 °C look like five at 20 °C, so note the temperature:

    >>> hot = winding_resistance(16, 80, alpha_per_k=0.00393)
    >>> round(parallel_group(hot, 6), 2), round(parallel_group(16, 5), 2)
    (3.3, 3.2)
    """
    one = possible("resistance", ohm, "Ω", at_least=0)
    number = possible("count", count, "", at_least=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        group = np.where(number == 0, np.inf, np.divide(one, number))
    return result(group)
