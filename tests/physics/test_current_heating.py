"""Warming by current against standards' tables, an independent integration, and its laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from loomwright.loom.errors import OutOfRange
from loomwright.physics.conductor import hot_run_length
from loomwright.physics.current_heating import (
    adiabatic_factor,
    current_capacity,
    current_rise,
    onderdonk_current,
    preece_current,
    time_to_temperature,
)
from loomwright.physics.heat import Around, Cylinder, Layer, steady

ALPHA = 0.00393
# ABYC E-11: 3702 circular mils, 105 °C wire in 30 °C air bears 35 A
BOAT = {"rated_a": 35, "rated_rise_k": 75, "rated_ambient_c": 30, "alpha_per_k": ALPHA}
COPPER = {"resistivity_ohm_m": 1.7241e-8, "heat_capacity_j_per_m3_k": 3.45e6}
# NEN 1010 clause 543, the same rows as IEC 60364-5-54: °C, °C, A·√s/mm² as printed
PRINTED_K = [
    (70, 160, 115),
    (85, 220, 134),
    (90, 250, 143),
    (30, 160, 143),
    (30, 220, 166),
    (30, 250, 176),
    (30, 500, 228),
    (30, 200, 159),
    (30, 150, 138),
]
# a pulsed-power firm's technical data: A and inches of copper
PREECE = [(1, 0.0021), (5, 0.0062), (10, 0.0098), (20, 0.0156), (50, 0.0288), (100, 0.0457),
          (200, 0.0725), (300, 0.0950)]  # fmt: skip
# Onderdonk at 25 °C by AWG, worked elsewhere from the same equation: A within 0.1, 1 and 5 s
ONDERDONK = {14: (1900, 601, 269), 16: (1195, 378, 169), 18: (752, 238, 106), 20: (473, 149, 66.8)}


@pytest.mark.parametrize(("first", "last", "printed"), PRINTED_K)
def test_short_circuit_factors_to_the_printed_digits(first, last, printed):
    assert 1e-6 * adiabatic_factor(first, last) == pytest.approx(printed, abs=0.51)


@pytest.mark.parametrize(("amps", "inches"), PREECE)
def test_fusing_in_the_long_run(amps, inches):
    # the printed diameter is rounded to a ten-thousandth of an inch
    low, high = preece_current((inches + np.array([-5e-5, 5e-5])) * 0.0254)
    assert low <= amps <= high


@pytest.mark.parametrize("awg", ONDERDONK)
def test_fusing_within_seconds(awg):
    area = np.pi / 4 * (0.127e-3 * 92 ** ((36 - awg) / 39)) ** 2  # ASTM B258
    found = onderdonk_current(area, np.array([0.1, 1, 5]), ambient_c=25)
    assert found == pytest.approx(ONDERDONK[awg], rel=3.5e-3)  # three digits


def test_the_public_slip_of_sign_is_not_ours():
    # a forum's worked example with 234 − Ta prints 178 A for AWG 16 within 5 s
    assert onderdonk_current(1.309e-6, 5, ambient_c=25) == pytest.approx(168.9, abs=0.15)


def test_the_circulars_example_by_the_square_of_the_current():
    # AC 43.13-1B p. 11-27, with rise as the square: 138.8 °C and 10.57 ft
    rise = current_rise(20, ambient_c=50, rated_a=26, rated_rise_k=150, rated_ambient_c=50,
                        alpha_per_k=0)  # fmt: skip
    assert 50 + rise == pytest.approx(138.8, abs=0.05)
    assert hot_run_length(15.5, 50 + rise) == pytest.approx(10.57, abs=0.005)


def test_the_rating_gives_its_own_rise():
    assert current_rise(35, ambient_c=30, **BOAT) == pytest.approx(75)
    assert current_capacity(75, ambient_c=30, **BOAT) == pytest.approx(35)


def test_a_published_rating_agrees_with_the_heat_that_its_surface_gives_off():
    # the same wire by convection and radiation: stranded 1.88 mm², PVC wall 0.8 mm
    watts = 35**2 * 1.7241e-8 * 1.08 / 1.876e-6 * (1 + ALPHA * 85)
    pvc = Layer(thickness_m=0.8e-3, conductivity_w_mk=0.2, density_kg_m3=1400,
                specific_heat_j_kgk=1000)  # fmt: skip
    wire = Cylinder(core_m=1.8e-3, core_j_mk=6.5, layers=(pvc,), emissivity=0.9)
    found = steady(wire, Around(air_c=30.0), heat_w_m=watts)
    assert found.core_c - 30 == pytest.approx(75, rel=0.25)


def test_a_current_beyond_what_can_be_given_off_heats_without_end():
    assert current_rise(1000, ambient_c=30, **BOAT) == np.inf
    assert current_rise(0, ambient_c=30, **BOAT) == 0


def test_the_way_to_a_temperature_is_that_of_the_differential_equation():
    amps, area, ambient = 60.0, 1.876e-6, 40.0
    watts_per_k = 35**2 * 1.7241e-8 / area * (1 + ALPHA * 85) / 75

    def rate(_t, celsius):
        heat = amps**2 * 1.7241e-8 / area * (1 + ALPHA * (celsius - 20))
        return (heat - watts_per_k * (celsius - ambient)) / (3.45e6 * area)

    ran = solve_ivp(rate, (0, 60), [55.0], rtol=1e-10, atol=1e-10)
    found = time_to_temperature(ran.y[0][1:], current_a=amps, area_m2=area, initial_c=55,
                                ambient_c=ambient, **BOAT, **COPPER)  # fmt: skip
    assert found == pytest.approx(ran.t[1:], rel=1e-6)


def test_without_cooling_it_is_the_short_circuit_rule():
    known = {**BOAT, "rated_rise_k": np.inf, "alpha_per_k": 1 / 254.5}
    seconds = time_to_temperature(160, current_a=400, area_m2=2.5e-6, initial_c=70, ambient_c=70,
                                  **known, resistivity_ohm_m=17.241e-9,
                                  heat_capacity_j_per_m3_k=3.45e6)  # fmt: skip
    assert seconds == pytest.approx((2.5e-6 * adiabatic_factor(70, 160) / 400) ** 2, rel=1e-9)


CURRENT = st.floats(0, 200)
AMBIENT = st.floats(-40, 150)


@given(CURRENT, CURRENT, AMBIENT)
def test_more_current_is_never_cooler(one, other, ambient):
    low, high = sorted((one, other))
    cool, hot = current_rise([low, high], ambient_c=ambient, **BOAT)
    assert cool <= hot


@given(st.floats(0.1, 300), AMBIENT)
def test_capacity_and_rise_undo_each_other(rise, ambient):
    amps = current_capacity(rise, ambient_c=ambient, **BOAT)
    assert current_rise(amps, ambient_c=ambient, **BOAT) == pytest.approx(rise, rel=1e-9)


@given(st.floats(1, 120), AMBIENT, st.floats(1, 200))
def test_a_temperature_is_reached_just_when_the_steady_rise_lies_above_it(amps, ambient, way):
    rise = current_rise(amps, ambient_c=ambient, **BOAT)
    seconds = time_to_temperature(ambient + way, current_a=amps, area_m2=1.876e-6,
                                  initial_c=ambient, ambient_c=ambient, **BOAT,
                                  **COPPER)  # fmt: skip
    if abs(rise - way) > 1e-6 * way:
        assert np.isfinite(seconds) == (rise > way)


@given(st.floats(5, 300), st.floats(5, 300), st.floats(20, 100))
def test_more_current_is_never_slower_and_cooling_never_quicker(one, other, start):
    low, high = sorted((one, other))
    known = {"area_m2": 1.876e-6, "initial_c": start, "ambient_c": 20, **COPPER}
    slow, quick = time_to_temperature(155, current_a=[low, high], **known, **BOAT)
    assert quick <= slow
    bare = {**BOAT, "rated_rise_k": np.inf}
    assert time_to_temperature(155, current_a=high, **known, **bare) <= quick * (1 + 1e-9)


def test_what_is_hot_already_takes_no_time_and_no_current_never_gets_there():
    known = {"area_m2": 1e-6, "ambient_c": 20, **COPPER, **BOAT}
    assert time_to_temperature(90, current_a=1, initial_c=95, **known) == 0
    assert time_to_temperature(90, current_a=0, initial_c=20, **known) == np.inf
    assert time_to_temperature(90, current_a=5, initial_c=np.inf, **known) == 0


@pytest.mark.parametrize(
    ("wrong", "where"),
    [({"rated_a": 0}, "rated current"), ({"rated_rise_k": 0}, "rated rise"),
     ({"rated_ambient_c": -300}, "rated surroundings")],
)  # fmt: skip
def test_impossible_ratings(wrong, where):
    for formula in (current_rise, current_capacity):
        with pytest.raises(OutOfRange) as caught:
            formula(5, ambient_c=30, **{**BOAT, **wrong})
        assert caught.value.where == where


def test_impossible_inputs():
    with pytest.raises(OutOfRange):
        current_rise(-1, ambient_c=30, **BOAT)
    with pytest.raises(OutOfRange):
        adiabatic_factor(160, 70)
    with pytest.raises(OutOfRange):
        onderdonk_current(1e-6, 0, ambient_c=25)
    with pytest.raises(OutOfRange):
        onderdonk_current(1e-6, 1, ambient_c=1083)
    with pytest.raises(OutOfRange):
        preece_current(0)
