"""Copper areas by strands and by AWG number, and what broken strands do.

Lengths in m, areas in m².
"""

from __future__ import annotations

import attrs
import numpy as np

from loomwright.physics.quantities import Number, Result, possible, result


def strand_area(strands: Number, strand_m: Number) -> Result:
    """Copper area of a build "number/diameter".

    A = N · π · d² / 4

    Parameters
    ----------
    strands : number of strands
    strand_m : diameter of one strand [m]

    Returns
    -------
    area [m²]

    Raises
    ------
    OutOfRange : negative number of strands, diameter not above 0

    Examples
    --------
    >>> round(strand_area(28, 0.30e-3) * 1e6, 3)
    1.979
    """
    count = possible("strands", strands, "", at_least=0)
    diameter = possible("strand diameter", strand_m, "m", above=0)
    return result(count * np.pi * diameter**2 / 4)


def awg_diameter(awg: Number) -> Result:
    """Diameter of a solid wire of an AWG number; 0, −1, −2, −3 stand for 1/0 … 4/0.

    d = 0.127 mm · 92^((36 − n) / 39)

    Parameters
    ----------
    awg : AWG number

    Returns
    -------
    diameter [m]

    Raises
    ------
    OutOfRange : not a number

    Notes
    -----
    ASTM B258: 0.005 in at AWG 36 and 0.46 in at AWG 4/0.

    Examples
    --------
    >>> round(awg_diameter(20) * 1e3, 3)
    0.812
    """
    number = possible("AWG number", awg, "")
    return result(0.127e-3 * 92.0 ** ((36 - number) / 39))


def awg_area(awg: Number) -> Result:
    """Area of a solid wire of an AWG number.

    A = π · d² / 4 with d of `awg_diameter`

    Parameters
    ----------
    awg : AWG number

    Returns
    -------
    area [m²]

    Raises
    ------
    OutOfRange : not a number

    Examples
    --------
    >>> round(awg_area(10) * 1e6, 3)
    5.261
    """
    return strand_area(1, awg_diameter(awg))


@attrs.frozen(kw_only=True)
class BrokenStrands:
    """What is left of a wire with broken strands.

    Attributes
    ----------
    added_ohm : resistance added over the damaged length [Ω]
    current_density_ratio : current density there against the whole wire
    heat_ratio : heat per metre there against the whole wire, same current
    strength_ratio : pull the rest can bear against the whole wire
    """

    added_ohm: Result
    current_density_ratio: Result
    heat_ratio: Result
    strength_ratio: Result


def broken_strands(
    damaged_m: Number, *, strands: Number, strands_left: Number, ohm_per_m: Number
) -> BrokenStrands:
    """What broken strands over a length do: little to the resistance, much to the wire.

    added R = r · l · (N/k − 1); current density N/k; heat per metre N/k; strength k/N

    Parameters
    ----------
    damaged_m : length over which the strands are missing [m]
    strands : strands of the whole wire
    strands_left : strands still whole; 0 is an open wire
    ohm_per_m : resistance per length of the whole wire [Ω/m]

    Returns
    -------
    the four figures; endless where no strand is left

    Raises
    ------
    OutOfRange : negative input, no strands at all, or more strands left than there were

    Notes
    -----
    Ohm's law with current shared evenly by the strands left; the heat is I²R per metre before
    it spreads along the wire.

    Examples
    --------
    3 of 16 strands left over 10 mm of 0.5 mm² wire: 1.6 mΩ, lost on a sensor of 300 Ω, but
    five times the heat and a fifth of the strength.

    >>> hurt = broken_strands(0.010, strands=16, strands_left=3, ohm_per_m=0.0371)
    >>> round(1000 * hurt.added_ohm, 2), round(hurt.heat_ratio, 2), hurt.strength_ratio
    (1.61, 5.33, 0.1875)
    """
    length = possible("damaged length", damaged_m, "m", at_least=0)
    whole = possible("strands", strands, "", above=0)
    left = possible("strands left", strands_left, "", at_least=0)
    linear = possible("resistance per length", ohm_per_m, "Ω/m", above=0)
    possible("strands broken", whole - left, "", at_least=0)
    with np.errstate(divide="ignore"):
        crowding = np.divide(whole, left)
    # a cut of no length is still a cut when no strand is left
    added = np.where(left == 0, np.inf, linear * length * (whole / np.maximum(left, 1e-300) - 1))
    return BrokenStrands(
        added_ohm=result(added),
        current_density_ratio=result(crowding),
        heat_ratio=result(crowding),
        strength_ratio=result(left / whole),
    )
