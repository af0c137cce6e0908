"""Steady heat through layers against IEC 60287 figures, textbooks and a wiring circular."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.heat import (
    Around,
    Cylinder,
    Layer,
    critical_radius,
    layers_resistance,
    steady,
)


def layer(thickness, conductivity=0.2, density=1200.0, specific_heat=1500.0):
    return Layer(
        thickness_m=thickness, conductivity_w_mk=conductivity, density_kg_m3=density,
        specific_heat_j_kgk=specific_heat,
    )  # fmt: skip


def wire(core, *layers, emissivity=0.0):
    return Cylinder(core_m=core, core_j_mk=5.0, layers=layers, emissivity=emissivity)


@pytest.mark.parametrize(
    ("resistivity", "core", "wall", "published"),
    # IEC 60287 form T1 = ρ / (2π) · ln(1 + 2t / d), worked elsewhere
    [(5.0, 1.1, 0.25, 0.2982), (3.5, 1.1, 0.25, 0.2087), (5.0, 2.2, 0.35, 0.2198),
     (5.0, 1.55, 0.6, 0.4563)],
)  # fmt: skip
def test_resistance_of_insulation(resistivity, core, wall, published):
    one = wire(core * 1e-3, layer(wall * 1e-3, 1 / resistivity))
    assert layers_resistance(one) == pytest.approx(published, abs=5e-5)


def test_a_layer_in_two_is_the_same_layer():
    whole = wire(1e-3, layer(2e-3))
    halves = wire(1e-3, layer(1e-3), layer(1e-3))
    assert layers_resistance(halves) == pytest.approx(layers_resistance(whole))
    assert halves.heat_capacity_j_mk == pytest.approx(whole.heat_capacity_j_mk)
    assert halves.outside_m == pytest.approx(5e-3)


def test_heat_capacity_is_core_and_layers():
    # ring of 1 to 2 mm radius, 1200 kg/m³, 1500 J/(kg·K): 3π·1e-6 · 1.8e6 = 16.96 J/(m·K)
    assert wire(2e-3, layer(1e-3)).heat_capacity_j_mk == pytest.approx(5 + 16.965, abs=1e-3)


@pytest.mark.parametrize(
    ("outside_mm", "total"),
    # Incropera, example 3.5 (recalled): tube of 5 mm radius, k 0.055, h 5; in K·m/W
    [(5, 6.366), (6, 5.833), (10, 5.189), (11, 5.175), (12, 5.186), (20, 5.603)],
)
def test_more_insulation_may_cool_a_thin_tube(outside_mm, total):
    layers = (layer((outside_mm - 5) * 1e-3, 0.055),) if outside_mm > 5 else ()
    found = steady(wire(0.01, *layers), Around(air_c=0, film_w_m2k=5), heat_w_m=1)
    assert found.core_c == pytest.approx(total, abs=5e-4)
    assert critical_radius(0.055, 5) == pytest.approx(0.011)


def test_a_heated_wire_lies_near_the_chart_of_the_circular():
    # FAA AC 43.13-1B, chart reading of p. 11-27: AWG 14 alone in free air carries 47 A at 150 K
    # above 50 °C; 10.04 mΩ/m at 20 °C by its table. Outside 2.2 to 2.6 mm and emissivity are ours.
    heat = 47**2 * 10.04e-3 * (1 + 0.00393 * 180)
    for outside in (2.2e-3, 2.6e-3):
        one = wire(1.9e-3, layer((outside - 1.9e-3) / 2, 0.25), emissivity=0.9)
        found = steady(one, Around(air_c=50), heat_w_m=heat)
        assert found.core_c - 50 == pytest.approx(150, rel=0.10)


def test_still_air_and_wind_of_a_book():
    # steam line with published answers, 642.36 W/m calm and 1 760.2 W/m in 8 m/s, at 150 °C
    line = Cylinder(core_m=0.1, core_j_mk=1.0, emissivity=0.8)
    calm = steady(line, Around(air_c=20), heat_w_m=642.36)
    windy = steady(line, Around(air_c=20, speed_m_s=8), heat_w_m=1760.2)
    assert calm.surface_c == pytest.approx(150, abs=2)
    assert windy.surface_c == pytest.approx(150, abs=2)


@settings(max_examples=30, deadline=None)
@given(
    heat=st.floats(0.01, 200), speed=st.floats(0, 20), air=st.floats(-20, 150),
    emissivity=st.floats(0, 1),
)  # fmt: skip
def test_what_is_produced_leaves(heat, speed, air, emissivity):
    one = wire(2e-3, layer(1e-3), emissivity=emissivity)
    around = Around(air_c=air, speed_m_s=speed)
    found = steady(one, around, heat_w_m=heat)
    film, to = around.given(one, found.surface_c)
    leaves = np.pi * one.outside_m * film * (found.surface_c - to)
    assert leaves == pytest.approx(heat, rel=1e-6, abs=1e-6)
    assert found.core_c - found.surface_c == pytest.approx(heat * layers_resistance(one))


@settings(max_examples=20, deadline=None)
@given(heat=st.floats(0, 100), more=st.floats(0.1, 100))
def test_more_heat_is_warmer(heat, more):
    one = wire(2e-3, layer(1e-3), emissivity=0.9)
    less = steady(one, Around(air_c=20), heat_w_m=heat)
    assert steady(one, Around(air_c=20), heat_w_m=heat + more).core_c > less.core_c


def test_without_heat_it_is_as_warm_as_the_air():
    assert steady(wire(1e-3), Around(air_c=80)).core_c == pytest.approx(80, abs=1e-6)


def test_hot_walls_warm_it_above_the_air():
    found = steady(wire(1e-2, emissivity=0.9), Around(air_c=20, walls_c=200))
    assert 20 < found.surface_c < 200


def test_several_cases_at_once():
    one = wire(2e-3, layer(1e-3), emissivity=0.9)
    many = steady(one, Around(air_c=np.array([20.0, 80.0])), heat_w_m=10)
    assert many.core_c.shape == (2,)
    assert many.core_c[1] == pytest.approx(steady(one, Around(air_c=80), heat_w_m=10).core_c)


@pytest.mark.parametrize(
    "call",
    [
        lambda: layer(0),
        lambda: layer(1e-3, conductivity=-1),
        lambda: layer(1e-3, density=0),
        lambda: layer(1e-3, specific_heat=0),
        lambda: wire(0),
        lambda: wire(1e-3, emissivity=1.2),
        lambda: Cylinder(core_m=1e-3, core_j_mk=0),
        lambda: critical_radius(0, 5),
        lambda: steady(wire(1e-3), Around(air_c=20), heat_w_m=-1),
        lambda: steady(wire(1e-3), Around(air_c=20, film_w_m2k=1e-9), heat_w_m=100),
        lambda: steady(wire(1e-3), Around(air_c=20, film_w_m2k=0), heat_w_m=1),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
