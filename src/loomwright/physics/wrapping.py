"""Tape wound round a bundle: how much of it, and how thick it lies. Lengths in m."""

from __future__ import annotations

import numpy as np

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import Number, Result, possible, result


def tape_length(
    diameter_m: Number,
    length_m: Number,
    *,
    tape_m: Number,
    overlap: Number,
    thickness_m: Number = 0.0,
) -> Result:
    """Tape that a bundle takes, wound as a helix.

    L = l/p · √((π·(D + t + 2·m·t))² + p²)   with   p = w·(1 - o)

    p is what each turn advances and m the mean number of layers a turn lies upon: with half the
    width overlapping ½, with a third ⅓.

    Parameters
    ----------
    diameter_m : of the bundle [m]
    length_m : of the bundle [m]
    tape_m : width of the tape [m]
    overlap : share of the width that lies on the turn before, along the bundle, 0 to below 1 [1]
    thickness_m : of the tape [m]

    Returns
    -------
    length of tape [m]

    Raises
    ------
    OutOfRange : negative diameter, length or thickness; width not above 0; overlap not 0 to below 1

    Notes
    -----
    Geometry of a helix. Common practice has 2.3 m for a metre of 6 mm, 3.6 at 10 mm and 5.2 at
    15 mm with tape of 19 mm wound half over itself; a tape of 0.15 mm gives 2.31, 3.55 and 5.16.

    Examples
    --------
    >>> round(tape_length(0.006, 1, tape_m=0.019, overlap=0.5, thickness_m=0.15e-3), 1)
    2.3
    """
    diameter = possible("diameter", diameter_m, "m", at_least=0)
    length = possible("length", length_m, "m", at_least=0)
    width = possible("width of the tape", tape_m, "m", above=0)
    thickness = possible("thickness of the tape", thickness_m, "m", at_least=0)
    left = 1.0 - _overlap(overlap)
    under = np.floor(1.0 / left + 1e-9)
    mean_under = left * under * (under - 1.0) / 2.0 + under * (1.0 - under * left)
    middle = np.pi * (diameter + thickness * (1.0 + 2.0 * mean_under))
    advance = width * left
    return result(length * np.hypot(middle, advance) / advance)


def tape_wall(thickness_m: Number, *, overlap: Number) -> Result:
    """What wound tape adds on each side of a bundle, where most layers lie.

    s = t · ⌈1 / (1 - o)⌉

    Parameters
    ----------
    thickness_m : of the tape [m]
    overlap : share of the width that lies on the turn before, 0 to below 1 [1]

    Returns
    -------
    wall [m]

    Raises
    ------
    OutOfRange : negative thickness; overlap not 0 to below 1

    Examples
    --------
    Half over itself there are two layers everywhere:

    >>> tape_wall(0.15e-3, overlap=0.5)
    0.0003
    """
    thickness = possible("thickness of the tape", thickness_m, "m", at_least=0)
    return result(thickness * np.ceil(1.0 / (1.0 - _overlap(overlap)) - 1e-9))


def _overlap(overlap: Number) -> Result:
    share = possible("overlap", overlap, "", at_least=0)
    if (share >= 1.0).any():
        raise OutOfRange(
            f"{float(share.max()):g} is not possible",
            where="overlap",
            expected="give a share from 0 to below 1",
        )
    return share
