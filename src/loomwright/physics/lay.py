"""How much longer a wire is that winds round its bundle.

Lengths in m.
"""

from __future__ import annotations

import numpy as np

from loomwright.physics.quantities import Number, Result, possible, result


def lay_share(circle_m: Number, pitch_m: Number) -> Result:
    """Extra length of a wire laid as a helix, as a share of the bundle's length.

    s = √(1 + (π · d / p)²) - 1

    Parameters
    ----------
    circle_m : diameter of the circle on which the middle of the wire runs [m]
    pitch_m : length of the bundle on which the wire goes round once [m]

    Returns
    -------
    extra length per length of the bundle [1]

    Raises
    ------
    OutOfRange : negative circle, or a pitch not above 0

    Notes
    -----
    Textbook: one turn unrolled is the long side of a right triangle.

    Examples
    --------
    Trade practice reckons 1.2 % for a circle of 6 mm at a pitch of 120 mm, 3.1 % for 8 at 100 mm:

    >>> round(lay_share(0.006, 0.120), 3), round(lay_share(0.008, 0.100), 3)
    (0.012, 0.031)
    """
    circle = possible("lay circle", circle_m, "m", at_least=0)
    pitch = possible("pitch", pitch_m, "m", above=0)
    return result(np.hypot(1.0, np.pi * circle / pitch) - 1.0)
