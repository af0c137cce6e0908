"""Heat to the air against textbook examples and an independent library."""

import numpy as np
import pytest
from ht.conv_external import Nu_cylinder_Churchill_Bernstein
from ht.conv_free_immersed import Nu_horizontal_cylinder_Churchill_Chu
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.convection import (
    convection_coefficient,
    nusselt_combined,
    nusselt_cylinder_churchill_bernstein,
    nusselt_horizontal_cylinder_churchill_chu,
    radiation_coefficient,
    rayleigh_number,
    reynolds_number,
)

STEAM_LINE = {
    "expansion_per_k": 2.79e-3,
    "kinematic_viscosity_m2_s": 21.798e-6,
    "diffusivity_m2_s": 31.244e-6,
}


@pytest.mark.parametrize(
    ("speed", "diameter", "viscosity", "k", "Pr", "Re", "Nu", "h"),
    [
        # Incropera, example 7.4, film at 350 K: 6071, 40.6, 96 as printed (recalled)
        (10, 0.0127, 20.92e-6, 0.030, 0.700, 6071, 40.64, 95.99),
        # Çengel, problem 7-100: 3.254e4 and 107.0 as printed; h from Nu · k / D
        (4, 0.116, 1.426e-5, 0.02439, 0.7336, 32_539, 107.05, 22.51),
        # a steam line in wind, all properties published with it: 36 700, 112.9, 34.54
        (8, 0.1, 21.798e-6, 0.030608, 0.698, 36_700, 112.9, 34.54),
    ],
)
def test_blown_cylinders_of_the_books(speed, diameter, viscosity, k, Pr, Re, Nu, h):
    found = reynolds_number(speed, diameter, kinematic_viscosity_m2_s=viscosity)
    assert found == pytest.approx(Re, rel=1e-4)
    nusselt = nusselt_cylinder_churchill_bernstein(found, Pr)
    assert nusselt == pytest.approx(Nu, rel=1e-3)
    assert nusselt * k / diameter == pytest.approx(h, rel=1e-3)


def test_a_level_steam_line_calm_and_in_wind():
    # published answers with all properties: 642.36 W/m calm, 1 760.2 W/m at 8 m/s
    Ra = rayleigh_number(130, 0.1, **STEAM_LINE)
    assert Ra == pytest.approx(5.219e6, rel=1e-3)
    still = nusselt_horizontal_cylinder_churchill_chu(Ra, 0.698) * 0.030608 / 0.1
    glow = radiation_coefficient(150, 20, emissivity=0.8)
    area = np.pi * 0.1 * 130
    assert still * area == pytest.approx(291.1, rel=1e-3)
    assert glow * area == pytest.approx(351.2, rel=2e-3)  # many books take 273 for 273.15
    assert (still + glow) * area == pytest.approx(642.36, rel=1e-3)
    Re = reynolds_number(8, 0.1, kinematic_viscosity_m2_s=21.798e-6)
    blown = nusselt_cylinder_churchill_bernstein(Re, 0.698) * 0.030608 / 0.1
    assert (blown + glow) * area == pytest.approx(1760.2, rel=2e-3)


def test_a_level_hot_pipe_in_a_room():
    # Incropera, example 9.4 (recalled): Ra 5.07e6, 763 W/m with radiation
    Ra = rayleigh_number(
        142, 0.1, expansion_per_k=2.725e-3, kinematic_viscosity_m2_s=22.8e-6,
        diffusivity_m2_s=32.8e-6,
    )  # fmt: skip
    assert Ra == pytest.approx(5.071e6, rel=1e-3)
    Nu = nusselt_horizontal_cylinder_churchill_chu(Ra, 0.697)
    assert Nu == pytest.approx(23.09, rel=1e-3)
    h = Nu * 0.0313 / 0.1 + radiation_coefficient(165, 23, emissivity=0.85)
    assert h * np.pi * 0.1 * 142 == pytest.approx(763.4, rel=2e-3)


def test_a_hand_formula_for_pipes_lies_close():
    # teaching page: Gr 6.884e6, Nu = 0.53 (Gr·Pr)^¼ = 24.832; by Churchill and Chu 22.76
    viscosity = 23.13e-6
    Ra = rayleigh_number(
        140, 0.1, expansion_per_k=1 / 373, kinematic_viscosity_m2_s=viscosity,
        diffusivity_m2_s=viscosity / 0.7,
    )  # fmt: skip
    assert Ra / 0.7 == pytest.approx(6.884e6, rel=1e-3)
    Nu = nusselt_horizontal_cylinder_churchill_chu(Ra, 0.7)
    assert Nu == pytest.approx(22.76, rel=1e-3)
    assert Nu == pytest.approx(24.832, rel=0.1)


def test_a_warm_pipe_radiates_as_the_book_says():
    # Holman, example 1-6: 30.6 W/m to the air with h = 6.5, 25.1 W/m radiated
    area = np.pi * 0.05 * 30
    assert 6.5 * area == pytest.approx(30.6, abs=0.05)
    assert radiation_coefficient(50, 20, emissivity=0.8) * area == pytest.approx(25.1, abs=0.05)


@pytest.mark.parametrize(
    ("hot", "cold", "diameter", "speed", "printed"),
    # the whole chain with our own air: examples 7.4 (h 96) and 9.4 (h 7.23), recalled
    [(128.4, 26.2, 0.0127, 10, 95.99), (165, 23, 0.1, 0, 7.23)],
)
def test_the_whole_chain_meets_the_books(hot, cold, diameter, speed, printed):
    h = convection_coefficient(hot, cold, diameter_m=diameter, speed_m_s=speed)
    assert h == pytest.approx(printed, rel=0.02)


@given(Re=st.floats(0.3, 1e7), Pr=st.floats(0.68, 0.75))
def test_forced_convection_of_an_independent_library(Re, Pr):
    theirs = Nu_cylinder_Churchill_Bernstein(Re=Re, Pr=Pr)
    assert nusselt_cylinder_churchill_bernstein(Re, Pr) == pytest.approx(theirs, rel=1e-9)


@given(Ra=st.floats(1e-5, 1e12), Pr=st.floats(0.68, 0.75))
def test_natural_convection_of_an_independent_library(Ra, Pr):
    theirs = Nu_horizontal_cylinder_Churchill_Chu(Pr=Pr, Gr=Ra / Pr)
    assert nusselt_horizontal_cylinder_churchill_chu(Ra, Pr) == pytest.approx(theirs, rel=1e-9)


def test_without_any_wind_or_warmth_the_books_limits_are_left():
    assert nusselt_cylinder_churchill_bernstein(0, 0.7) == 0.3
    assert nusselt_horizontal_cylinder_churchill_chu(0, 0.7) == pytest.approx(0.36)


@given(speed=st.floats(0, 30), more=st.floats(0.01, 30), hot=st.floats(-20, 300))
def test_more_wind_takes_more_heat(speed, more, hot):
    of = {"diameter_m": 0.01}
    less = convection_coefficient(hot, 20, speed_m_s=speed, **of)
    assert convection_coefficient(hot, 20, speed_m_s=speed + more, **of) > less


@given(forced=st.floats(0, 1e6), natural=st.floats(0, 1e6))
def test_both_kinds_together_lie_above_the_larger_and_below_the_sum(forced, natural):
    both = nusselt_combined(forced, natural)
    assert both == nusselt_combined(natural, forced)
    assert (
        max(forced, natural) * (1 - 1e-12) - 1e-300
        <= both
        <= (forced + natural) * (1 + 1e-12) + 1e-300
    )


@given(hot=st.floats(-50, 400), cold=st.floats(-50, 400), share=st.floats(0, 1))
def test_radiation_is_the_law_of_the_fourth_power(hot, cold, share):
    found = radiation_coefficient(hot, cold, emissivity=share) * (hot - cold)
    law = share * 5.670374e-8 * ((hot + 273.15) ** 4 - (cold + 273.15) ** 4)
    assert found == pytest.approx(law, rel=1e-6, abs=1e-6)


def test_array_equals_scalar():
    speeds = np.array([0.0, 1.0, 5.0])
    many = convection_coefficient([[50.0], [100.0]], 20, diameter_m=0.01, speed_m_s=speeds)
    assert many.shape == (2, 3)
    assert many[1, 2] == convection_coefficient(100.0, 20, diameter_m=0.01, speed_m_s=5.0)
    assert isinstance(reynolds_number(1, 1, kinematic_viscosity_m2_s=1), float)


@pytest.mark.parametrize(
    "call",
    [
        lambda: reynolds_number(-1, 0.01, kinematic_viscosity_m2_s=1e-5),
        lambda: reynolds_number(1, 0, kinematic_viscosity_m2_s=1e-5),
        lambda: rayleigh_number(10, -1, **STEAM_LINE),
        lambda: nusselt_cylinder_churchill_bernstein(-1, 0.7),
        lambda: nusselt_cylinder_churchill_bernstein(1, 0),
        lambda: nusselt_horizontal_cylinder_churchill_chu(-1, 0.7),
        lambda: nusselt_combined(-1, 1),
        lambda: convection_coefficient(20, 20, diameter_m=0.01, speed_m_s=-1),
        lambda: radiation_coefficient(20, 20, emissivity=1.1),
        lambda: radiation_coefficient(-300, 20, emissivity=0.9),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
