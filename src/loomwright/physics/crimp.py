"""The crimp by its measures: what height and width leave of the metal, strip length, equal ends.

Lengths in m, areas in m².
"""

from __future__ import annotations

from math import pi

import numpy as np

from loomwright.physics.quantities import Number, Result, possible, result


def crimped_area(height_m: Number, *, width_m: Number) -> Result:
    """Area of a finished crimp with rolled-in wings (B form) seen from its end.

    A = h · w - (1/4 - π/16) · w²: a rectangle whose upper side is two half rounds of w/4

    Parameters
    ----------
    height_m : crimp height at its middle [m]
    width_m : crimp width [m]

    Returns
    -------
    area [m²]

    Raises
    ------
    OutOfRange : height or width not above 0, or a crimp flatter than its half rounds, h < w/4

    Notes
    -----
    Derived from an idealised shape, no published source: the groove between the wings and the
    rounded lower edges are left out, so the area is rather too large than too small.

    Examples
    --------
    >>> round(crimped_area(1.20e-3, width_m=1.60e-3) * 1e6, 3)
    1.783
    """
    high = possible("crimp height", height_m, "m", above=0)
    wide = possible("crimp width", width_m, "m", above=0)
    possible("crimp height above its half rounds", high - wide / 4, "m", at_least=0)
    return result(high * wide - (0.25 - pi / 16) * wide**2)


def barrel_area(thickness_m: Number, *, unrolled_m: Number) -> Result:
    """Metal area of an open barrel, from its sheet.

    A = t · u

    Parameters
    ----------
    thickness_m : thickness of the sheet [m]
    unrolled_m : width of the barrel laid flat [m]

    Returns
    -------
    area [m²]

    Raises
    ------
    OutOfRange : not above 0

    Notes
    -----
    Geometry; bending leaves the area as it is.

    Examples
    --------
    >>> round(barrel_area(0.30e-3, unrolled_m=4.5e-3) * 1e6, 2)
    1.35
    """
    thick = possible("sheet thickness", thickness_m, "m", above=0)
    wide = possible("unrolled width", unrolled_m, "m", above=0)
    return result(thick * wide)


def compression(crimped_m2: Number, *, copper_m2: Number, barrel_m2: Number) -> Result:
    """Area of the finished crimp against that of the metal put in.

    ratio = A / (A_copper + A_barrel); above 1 there must be air in it

    Parameters
    ----------
    crimped_m2 : area of the finished crimp [m²]
    copper_m2 : area of all strands [m²]
    barrel_m2 : metal area of the barrel [m²]

    Returns
    -------
    ratio; what is missing to 1 went lengthwise

    Raises
    ------
    OutOfRange : an area not above 0

    Notes
    -----
    Definition; common practice, no published source. Limits belong to the terminal.

    Examples
    --------
    1.78 mm² from 0.754 mm² of strands and 1.35 mm² of barrel:

    >>> round(compression(1.783e-6, copper_m2=0.754e-6, barrel_m2=1.35e-6), 2)
    0.85
    """
    done = possible("crimped area", crimped_m2, "m²", above=0)
    copper = possible("copper area", copper_m2, "m²", above=0)
    barrel = possible("barrel area", barrel_m2, "m²", above=0)
    return result(done / (copper + barrel))


def strip_length(barrel_m: Number, *, brush_m: Number) -> Result:
    """Length of insulation to take off.

    l = barrel + brush

    Parameters
    ----------
    barrel_m : length of the conductor barrel [m]
    brush_m : length of strands to show in front of it [m]

    Returns
    -------
    length [m]

    Raises
    ------
    OutOfRange : barrel not above 0, negative brush

    Notes
    -----
    Common practice, no published source.

    Examples
    --------
    >>> round(strip_length(3.75e-3, brush_m=0.75e-3) * 1e3, 2)
    4.5
    """
    barrel = possible("barrel length", barrel_m, "m", above=0)
    brush = possible("brush", brush_m, "m", at_least=0)
    return result(barrel + brush)


def cut_to_equal(spare_m: Number) -> Result:
    """What to cut off each wire of a plug so that all of them end equal.

    cutᵢ = spareᵢ - min(spare)

    Parameters
    ----------
    spare_m : what each wire has to spare [m], along the last axis

    Returns
    -------
    length to cut off each [m], of the same shape

    Raises
    ------
    OutOfRange : negative length

    Notes
    -----
    Geometry.

    Examples
    --------
    >>> [round(float(1e3 * cut), 1) for cut in cut_to_equal([0.060, 0.045])]
    [15.0, 0.0]
    """
    spare = possible("spare wire", spare_m, "m", at_least=0)
    return result(spare - (np.min(spare, axis=-1, keepdims=True) if spare.ndim else spare))
