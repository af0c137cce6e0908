"""What a meter's value is worth: half width, standard uncertainty, and what a voltmeter loads."""

from __future__ import annotations

from functools import reduce

import numpy as np

from loomwright.physics.quantities import Number, Result, possible, result


def half_width(value: Number, *, percent: Number, counts: Number, resolution: Number) -> Result:
    """Half width of a meter's specification.

    a = (p/100) · |x| + n · q

    Parameters
    ----------
    value : reading, any unit
    percent : percent of reading
    counts : number of counts
    resolution : value of one count, unit of the reading

    Returns
    -------
    half width, unit of the reading

    Raises
    ------
    OutOfRange : negative percent, counts or resolution

    Notes
    -----
    Vendor practice: ±(% of reading + counts).

    Examples
    --------
    ±(0.08 % + 2 counts of 1 mV) at 2.000 V is 3.6 mV:

    >>> round(half_width(2.0, percent=0.08, counts=2, resolution=0.001), 4)
    0.0036
    """
    reading = possible("reading", value, "")
    share = possible("percent of reading", percent, "%", at_least=0)
    number = possible("counts", counts, "counts", at_least=0)
    step = possible("resolution", resolution, "", at_least=0)
    return result(share / 100 * np.abs(reading) + number * step)


def rectangular_uncertainty(half: Number) -> Result:
    """Standard uncertainty when only a half width is known.

    u = a / √3

    Parameters
    ----------
    half : half width

    Returns
    -------
    standard uncertainty, same unit

    Raises
    ------
    OutOfRange : negative half width

    Notes
    -----
    GUM (JCGM 100:2008) clause 4.3.7, type B, rectangular.

    Examples
    --------
    GUM 4.3.7, example 2: a half width of 15 µV gives 8.7 µV.

    >>> round(rectangular_uncertainty(15.0), 1)
    8.7
    """
    return result(possible("half width", half, "", at_least=0) / np.sqrt(3))


def resolution_uncertainty(resolution: Number) -> Result:
    """Standard uncertainty of reading a display to one count.

    u = q / (2√3)

    Parameters
    ----------
    resolution : value of one count

    Returns
    -------
    standard uncertainty, same unit

    Raises
    ------
    OutOfRange : negative resolution

    Notes
    -----
    GUM (JCGM 100:2008) clause F.2.2.1.

    Examples
    --------
    >>> round(resolution_uncertainty(1), 3)
    0.289
    """
    return rectangular_uncertainty(possible("resolution", resolution, "", at_least=0) / 2)


def combined_uncertainty(*uncertainties: Number) -> Result:
    """Independent standard uncertainties put together.

    u = √(Σ uᵢ²)

    Parameters
    ----------
    uncertainties : standard uncertainties of one unit

    Returns
    -------
    combined standard uncertainty, same unit

    Raises
    ------
    OutOfRange : a negative uncertainty

    Notes
    -----
    GUM (JCGM 100:2008) clause 5.1, sensitivities of 1.

    Examples
    --------
    GUM 4.3.7, example 2: 12 µV scatter and 8.66 µV specification make 15 µV.

    >>> round(combined_uncertainty(12, 8.66))
    15
    """
    parts = (possible("uncertainty", part, "", at_least=0) for part in uncertainties)
    return result(reduce(np.hypot, parts, np.asarray(0.0)))


def reading_uncertainty(
    value: Number,
    *,
    percent: Number,
    counts: Number,
    resolution: Number,
    scatter: Number = 0.0,
) -> Result:
    """Standard uncertainty of one reading: specification and scatter together.

    u = √(a²/3 + s²), a of `half_width`

    Parameters
    ----------
    value : reading
    percent, counts, resolution : specification, as for `half_width`; the counts hold the
        reading of the display, so it is not added again
    scatter : standard deviation of leads, probes and the like, unit of the reading

    Returns
    -------
    standard uncertainty, unit of the reading

    Raises
    ------
    OutOfRange : a negative input other than the reading

    Examples
    --------
    ±(0.5 % + 2 counts of 10 mV) at 12.47 V gives 47.5 mV:

    >>> round(reading_uncertainty(12.47, percent=0.5, counts=2, resolution=0.010), 5)
    0.04754
    """
    half = half_width(value, percent=percent, counts=counts, resolution=resolution)
    return combined_uncertainty(rectangular_uncertainty(half), scatter)


def voltmeter_reading(open_v: Number, source_ohm: Number, *, input_ohm: Number) -> Result:
    """What a voltmeter shows behind a source resistance.

    V = V₀ · R_in / (R_in + R_s)

    Parameters
    ----------
    open_v : voltage with nothing connected [V]
    source_ohm : resistance between source and probe [Ω]; inf for a cut wire
    input_ohm : input resistance of the meter [Ω]

    Returns
    -------
    voltage shown [V]

    Raises
    ------
    OutOfRange : negative source resistance, input resistance not above 0

    Notes
    -----
    Voltage divider. A 10 MΩ meter shows nearly full supply behind a bad contact.

    Examples
    --------
    >>> round(voltmeter_reading(12.6, 100e3, input_ohm=10e6), 2)
    12.48
    """
    voltage = possible("open voltage", open_v, "V")
    source = possible("source resistance", source_ohm, "Ω", at_least=0)
    meter = possible("input resistance", input_ohm, "Ω", above=0)
    return result(voltage / (1 + source / meter))
