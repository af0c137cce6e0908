"""Resistance of copper wire: by section, by strands, by length, hot, and at its limit.

Lengths in m, areas in m², resistivity in Ω·m, temperatures in °C.
"""

from __future__ import annotations

from loomwright.physics.quantities import ABSOLUTE_ZERO_C, Number, Result, possible, result
from loomwright.physics.strands import strand_area

STRAIGHT_LINE_RANGE_C = (-100.0, 200.0)
"""Where a straight line describes copper well [°C]; common practice, no published source."""


def wire_resistance(
    length_m: Number,
    area_m2: Number,
    *,
    resistivity_ohm_m: Number,
    lay_factor: Number = 1.0,
) -> Result:
    """Resistance of a wire from its copper area.

    R = k · ρ · l / A

    Parameters
    ----------
    length_m : length [m]
    area_m2 : area of the copper, not the nominal section [m²]
    resistivity_ohm_m : resistivity at the temperature wanted [Ω·m]
    lay_factor : extra length of twisted strands and drawing tolerance [1]

    Returns
    -------
    resistance [Ω]

    Raises
    ------
    OutOfRange : negative length; area, resistivity or lay factor not above 0

    Notes
    -----
    Textbook. A published cable lies 7 to 16 % above ρ·l/A (IEC 60228, ISO 6722-1).

    Examples
    --------
    2 m of 0.75 mm² with 8 % allowance give 50 mΩ:

    >>> round(wire_resistance(2, 0.75e-6, resistivity_ohm_m=1.7241e-8, lay_factor=1.08), 3)
    0.05
    """
    length = possible("length", length_m, "m", at_least=0)
    area = possible("area", area_m2, "m²", above=0)
    resistivity = possible("resistivity", resistivity_ohm_m, "Ω·m", above=0)
    factor = possible("lay factor", lay_factor, "", above=0)
    return result(factor * resistivity * length / area)


def resistance_by_length(length_m: Number, ohm_per_m: Number) -> Result:
    """Resistance of a wire from a table's resistance per length.

    R = r · l

    Parameters
    ----------
    length_m : length [m]
    ohm_per_m : resistance per length [Ω/m]

    Returns
    -------
    resistance [Ω]

    Raises
    ------
    OutOfRange : negative length or resistance per length

    Examples
    --------
    AC 43.13-1B, Table 11-7: 100 ft of AWG 14 at 0.00306 Ω/ft and 20 A lose 6.12 V.

    >>> round(20 * resistance_by_length(100 * 0.3048, 0.00306 / 0.3048), 2)
    6.12
    """
    length = possible("length", length_m, "m", at_least=0)
    linear = possible("resistance per length", ohm_per_m, "Ω/m", at_least=0)
    return result(linear * length)


def strand_resistance(
    length_m: Number,
    *,
    strands: Number,
    strand_m: Number,
    resistivity_ohm_m: Number,
    lay_factor: Number = 1.0,
) -> Result:
    """Resistance of a stranded wire.

    R = k · ρ · l / (N · π · d² / 4)

    Parameters
    ----------
    length_m : length [m]
    strands, strand_m : number of strands and diameter of one [m]
    resistivity_ohm_m : resistivity [Ω·m]
    lay_factor : extra length of twisted strands and drawing tolerance [1]

    Returns
    -------
    resistance [Ω]

    Raises
    ------
    OutOfRange : as for `strand_area` and `wire_resistance`

    Examples
    --------
    1 km of 9/0.30 without allowance is 27.10 Ω; the published highest value, 29.4, is 8.5 % more.

    >>> round(strand_resistance(1000, strands=9, strand_m=0.3e-3, resistivity_ohm_m=1.7241e-8), 2)
    27.1
    """
    possible("strands", strands, "", above=0)
    area = strand_area(strands, strand_m)
    return wire_resistance(
        length_m, area, resistivity_ohm_m=resistivity_ohm_m, lay_factor=lay_factor
    )


def resistance_at(
    ohm: Number,
    temperature_c: Number,
    *,
    alpha_per_k: Number,
    reference_c: Number = 20.0,
) -> Result:
    """Resistance of a metal at a temperature, from its resistance at the reference.

    R(T) = R₀ · (1 + α · (T − T₀))

    Parameters
    ----------
    ohm : resistance at the reference temperature [Ω]
    temperature_c : temperature wanted [°C]
    alpha_per_k : temperature coefficient at the reference temperature [1/K]
    reference_c : reference temperature [°C]

    Returns
    -------
    resistance [Ω]; the straight line holds for copper over `STRAIGHT_LINE_RANGE_C`

    Raises
    ------
    OutOfRange : negative resistance, temperature at or below absolute zero, or so cold that
        the straight line gives less than nothing

    Notes
    -----
    IEC 60028: α = 0.00393 /K for annealed copper at 20 °C.

    Examples
    --------
    >>> round(resistance_at(1, 100, alpha_per_k=0.00393), 4)
    1.3144
    """
    at_reference = possible("resistance", ohm, "Ω", at_least=0)
    return result(at_reference * _ratio(temperature_c, alpha_per_k, reference_c))


def resistance_at_reference(
    ohm: Number,
    temperature_c: Number,
    *,
    alpha_per_k: Number,
    reference_c: Number = 20.0,
) -> Result:
    """Resistance brought back to the reference temperature; the inverse of `resistance_at`.

    R₀ = R(T) / (1 + α · (T − T₀))

    Parameters
    ----------
    ohm : resistance at `temperature_c` [Ω]
    temperature_c : temperature during the measurement [°C]
    alpha_per_k : temperature coefficient at the reference temperature [1/K]
    reference_c : reference temperature [°C]

    Returns
    -------
    resistance at the reference temperature [Ω]

    Raises
    ------
    OutOfRange : as for `resistance_at`

    Examples
    --------
    IEC 60228 gives 0.927 as the factor at 40 °C:

    >>> round(resistance_at_reference(1, 40, alpha_per_k=1 / 254.5), 3)
    0.927
    """
    measured = possible("resistance", ohm, "Ω", at_least=0)
    return result(measured / _ratio(temperature_c, alpha_per_k, reference_c))


def hot_run_length(length_m: Number, temperature_c: Number) -> Result:
    """Length of copper wire at temperature that loses as much as a length at 20 °C.

    L₂ = 254.5 · L₁ / (234.5 + T₂)

    Parameters
    ----------
    length_m : permitted length at 20 °C [m]
    temperature_c : temperature of the conductor [°C]

    Returns
    -------
    permitted length at that temperature [m]

    Raises
    ------
    OutOfRange : negative length, temperature at or below −234.5 °C

    Notes
    -----
    FAA AC 43.13-1B, par. 11-66, which holds for annealed copper.

    Examples
    --------
    The circular's worked example, 15.5 ft at 181.6 °C, gives 9.48 ft:

    >>> round(hot_run_length(15.5, 181.6), 2)
    9.48
    """
    length = possible("length", length_m, "m", at_least=0)
    temperature = possible("temperature", temperature_c, "°C", above=-234.5)
    return result(254.5 * length / (234.5 + temperature))


def run_limit(
    wire_ohm: Number,
    *,
    contact_pairs: Number,
    contact_pair_ohm: Number,
    meter_ohm: Number = 0.0,
) -> Result:
    """Highest resistance a sound run of wire may show.

    R_max = R_wire + n · R_pair + R_meter

    Parameters
    ----------
    wire_ohm : resistance of the wire itself [Ω]
    contact_pairs : crimp-and-contact pairs in the run
    contact_pair_ohm : resistance allowed for each pair [Ω]
    meter_ohm : half width of the meter's own doubt [Ω]

    Returns
    -------
    limit [Ω]

    Raises
    ------
    OutOfRange : a negative input

    Notes
    -----
    Common practice, no published source; 5 mΩ a pair is usual.

    Examples
    --------
    >>> round(run_limit(0.050, contact_pairs=2, contact_pair_ohm=0.005), 3)
    0.06
    """
    wire = possible("wire resistance", wire_ohm, "Ω", at_least=0)
    pairs = possible("contact pairs", contact_pairs, "", at_least=0)
    pair = possible("contact pair resistance", contact_pair_ohm, "Ω", at_least=0)
    meter = possible("meter allowance", meter_ohm, "Ω", at_least=0)
    return result(wire + pairs * pair + meter)


def _ratio(temperature_c: Number, alpha_per_k: Number, reference_c: Number) -> Result:
    temperature = possible("temperature", temperature_c, "°C", above=ABSOLUTE_ZERO_C)
    reference = possible("reference temperature", reference_c, "°C", above=ABSOLUTE_ZERO_C)
    alpha = possible("temperature coefficient", alpha_per_k, "1/K")
    ratio = 1 + alpha * (temperature - reference)
    return possible("resistance ratio", ratio, "", above=0)
