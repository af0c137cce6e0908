"""The check of what is physically possible."""

import numpy as np
import pytest

from loomwright.loom.errors import OutOfRange
from loomwright.physics.quantities import kelvin, possible, result


def test_the_error_names_the_value_the_unit_and_the_cure():
    with pytest.raises(OutOfRange) as caught:
        possible("length", [1, -2, 3], "m", at_least=0)
    error = caught.value
    assert (error.where, error.what) == ("length", "-2 m is not possible")
    assert error.expected == "give 0 m or more"


@pytest.mark.parametrize("bounds", [{}, {"above": 0}, {"at_least": 0}])
def test_not_a_number_is_never_possible(bounds):
    with pytest.raises(OutOfRange):
        possible("area", float("nan"), "m²", **bounds)


def test_bounds():
    assert possible("count", 0, "", at_least=0) == 0
    with pytest.raises(OutOfRange):
        possible("count", 0, "", above=0)


def test_a_single_number_comes_back_as_a_float():
    assert type(result(np.float64(1.5))) is float
    assert result(np.array([1.5, 2])).shape == (2,)


def test_kelvin():
    assert kelvin(25) == pytest.approx(298.15)
    with pytest.raises(OutOfRange):
        kelvin(-273.15)
