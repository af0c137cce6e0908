"""The types of the formulas, and the check that an input is physically possible."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loomwright.loom.errors import OutOfRange

Number: TypeAlias = ArrayLike
"""A float or an array of floats; formulas broadcast."""

Result: TypeAlias = Any
"""A float when every input was a single number, otherwise an array."""

ABSOLUTE_ZERO_C = -273.15
"""Absolute zero [°C]."""


def result(values: NDArray[np.float64] | np.float64) -> Result:
    """A float for a single number, the array otherwise."""
    array = np.asarray(values, dtype=np.float64)
    return array.item() if array.ndim == 0 else array


def possible(
    name: str,
    values: Number,
    unit: str,
    *,
    above: float | None = None,
    at_least: float | None = None,
) -> NDArray[np.float64]:
    """The values as an array, once every one is known to be possible.

    Parameters
    ----------
    name, unit : for the message
    values : what was given
    above : every value must lie above this
    at_least : every value must be this or more

    Raises
    ------
    OutOfRange : a value is below the bound or is not a number
    """
    array = np.asarray(values, dtype=np.float64)
    bad = np.isnan(array)
    if above is not None:
        bad |= ~(array > above)
    if at_least is not None:
        bad |= ~(array >= at_least)
    if bad.any():
        got = float(array[bad].flat[0])
        raise OutOfRange(
            f"{got:g} {unit}".strip() + " is not possible",
            where=name,
            expected=_what_is_possible(above, at_least, unit),
        )
    return array


def kelvin(temperature_c: Number, name: str = "temperature") -> NDArray[np.float64]:
    """Celsius to kelvin: T = t + 273.15.

    Raises
    ------
    OutOfRange : a temperature is not above absolute zero
    """
    celsius = possible(name, temperature_c, "°C", above=ABSOLUTE_ZERO_C)
    return np.asarray(celsius - ABSOLUTE_ZERO_C)


def _what_is_possible(above: float | None, at_least: float | None, unit: str) -> str:
    if above is not None:
        return f"give a value above {above:g} {unit}"
    if at_least is not None:
        return f"give {at_least:g} {unit} or more"
    return "give a number"
