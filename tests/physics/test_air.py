"""Dry air against a printed table, the standard atmosphere and an independent library."""

import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics import air
from loomwright.physics.quantities import ABSOLUTE_ZERO_C

# Incropera, Table A.4, recalled: K, kg/m³, kJ/(kg·K), 1e-7 Pa·s, 1e-3 W/(m·K), Pr
PRINTED = [
    (250, 1.3947, 1.006, 159.6, 22.3, 0.720),
    (300, 1.1614, 1.007, 184.6, 26.3, 0.707),
    (350, 0.9950, 1.009, 208.2, 30.0, 0.700),
    (400, 0.8711, 1.014, 230.1, 33.8, 0.690),
    (450, 0.7740, 1.021, 250.7, 37.3, 0.686),
    (500, 0.6964, 1.030, 270.1, 40.7, 0.684),
    (600, 0.5804, 1.051, 305.8, 46.9, 0.685),
]


@pytest.mark.parametrize(("kelvin", "weight", "held", "flows", "conducts", "ratio"), PRINTED)
def test_a_printed_table_is_met_within_two_percent(kelvin, weight, held, flows, conducts, ratio):
    celsius = kelvin + ABSOLUTE_ZERO_C
    assert air.density(celsius) == pytest.approx(weight, rel=0.02)
    assert 1e-3 * air.specific_heat(celsius) == pytest.approx(held, rel=0.01)
    assert 1e7 * air.viscosity(celsius) == pytest.approx(flows, rel=0.015)
    assert 1e3 * air.conductivity(celsius) == pytest.approx(conducts, rel=0.01)
    assert air.prandtl(celsius) == pytest.approx(ratio, rel=0.02)


@pytest.mark.parametrize("celsius", [-50, -20, 15, 80, 200, 400])
def test_an_independent_library_has_the_same_atmosphere(celsius):
    kelvin = celsius - ABSOLUTE_ZERO_C
    assert air.viscosity(celsius) == pytest.approx(ATMOSPHERE_1976.viscosity(kelvin), rel=1e-6)
    conducts = ATMOSPHERE_1976.thermal_conductivity(kelvin)
    assert air.conductivity(celsius) == pytest.approx(conducts, rel=1e-6)
    weight = ATMOSPHERE_1976.density(kelvin, 101_325.0)
    assert air.density(celsius) == pytest.approx(weight, rel=1e-4)


@given(celsius=st.floats(*air.RANGE_C))
def test_what_is_derived_agrees_with_its_parts(celsius):
    found = air.air(celsius)
    viscosity = air.viscosity(celsius) / air.density(celsius)
    assert found.kinematic_viscosity_m2_s == pytest.approx(viscosity)
    assert found.kinematic_viscosity_m2_s / found.diffusivity_m2_s == pytest.approx(found.prandtl)
    assert found.expansion_per_k * (celsius - ABSOLUTE_ZERO_C) == pytest.approx(1)


@given(celsius=st.floats(-50, 390), warmer=st.floats(1, 10))
def test_warm_air_is_thinner_and_conducts_better(celsius, warmer):
    assert air.density(celsius + warmer) < air.density(celsius)
    assert air.conductivity(celsius + warmer) > air.conductivity(celsius)
    assert air.viscosity(celsius + warmer) > air.viscosity(celsius)


def test_array_equals_scalar():
    many = air.air(np.array([[0.0, 50.0], [100.0, 200.0]]))
    assert many.prandtl.shape == (2, 2)
    assert many.diffusivity_m2_s[1, 0] == air.air(100.0).diffusivity_m2_s
    assert isinstance(air.density(20), float)


@pytest.mark.parametrize(
    "law", [air.air, air.density, air.viscosity, air.conductivity, air.specific_heat,
            air.prandtl, air.expansion],
)  # fmt: skip
def test_colder_than_anything_is_refused(law):
    with pytest.raises(OutOfRange):
        law(-273.15)
