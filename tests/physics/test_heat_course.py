"""Warming and cooling against exact solutions: one lump, a solid cylinder, a balance of heat."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, special

from loomwright.loom.errors import OutOfRange
from loomwright.physics.heat import Around, Cylinder, Layer, steady
from loomwright.physics.heat_course import time_course, time_to_reach

RUBBER = Layer(
    thickness_m=2e-3, conductivity_w_mk=0.2, density_kg_m3=1200, specific_heat_j_kgk=1700
)
BOOTED = Cylinder(core_m=8e-3, core_j_mk=40, layers=(RUBBER,), emissivity=0.9)
LUMP = Cylinder(core_m=0.1 / np.pi, core_j_mk=10)
"""Gives 0.1 W/(m·K) at a film of 1 W/(m²·K): a time constant of 100 s."""


def test_one_lump_follows_its_exponential():
    times = np.linspace(0, 400, 201)
    found = time_course(LUMP, Around(air_c=80, film_w_m2k=1), times_s=times, start_c=20)
    assert found.core_c == pytest.approx(80 - 60 * np.exp(-times / 100), abs=2e-3)


def test_one_lump_with_heat_inside():
    times = np.linspace(0, 400, 201)
    found = time_course(LUMP, Around(air_c=20, film_w_m2k=1), times_s=times, start_c=20, heat_w_m=3)
    assert found.core_c == pytest.approx(50 - 30 * np.exp(-times / 100), abs=2e-3)  # 3 W / 0.1


def test_one_lump_in_air_that_warms_steadily():
    # T' = (a·t − T) / τ from 0: T = a·(t − τ + τ·exp(−t / τ))
    times = np.linspace(0, 300, 151)
    found = time_course(LUMP, Around(air_c=0.2 * times, film_w_m2k=1), times_s=times, start_c=0)
    exact = 0.2 * (times - 100 + 100 * np.exp(-times / 100))
    assert found.core_c == pytest.approx(exact, abs=2e-3)


def centre_of_a_solid_cylinder(biot, fourier):
    """Share of the first difference left at the centre: Carslaw and Jaeger, 7.7, eight terms."""
    ends = np.append(0, special.jn_zeros(0, 8))
    roots = []
    for n in range(8):
        high = special.jn_zeros(0, 8)[n]
        low = 0 if n == 0 else special.jn_zeros(1, 8)[n - 1]
        roots.append(optimize.brentq(lambda x: x * special.j1(x) - biot * special.j0(x), low, high))
    x = np.array(roots)
    assert (x < ends[1:]).all()
    weight = 2 * special.j1(x) / (x * (special.j0(x) ** 2 + special.j1(x) ** 2))
    return weight @ np.exp(-(x**2)[:, None] * fourier)


@pytest.mark.parametrize("biot", [0.1, 1.0, 5.0])
def test_a_solid_cylinder_follows_the_exact_series(biot):
    radius, conducts, held = 5e-3, 0.2, 1200 * 1700.0
    core = 2e-4  # so thin that its being one lump does not matter
    solid = Cylinder(
        core_m=core, core_j_mk=np.pi / 4 * core**2 * held,
        layers=(Layer(thickness_m=radius - core / 2, conductivity_w_mk=conducts,
                      density_kg_m3=1200, specific_heat_j_kgk=1700),),
    )  # fmt: skip
    scale = radius**2 * held / conducts
    times = np.concatenate([[0], scale * np.geomspace(1e-4, 2, 400)])
    film = biot * conducts / radius
    found = time_course(solid, Around(air_c=0, film_w_m2k=film), times_s=times, start_c=1, rings=60)
    late = times > 0.1 * scale
    exact = centre_of_a_solid_cylinder(biot, times[late] / scale)
    assert found.core_c[late] == pytest.approx(exact, abs=1e-3)


def test_the_first_term_of_a_printed_table():
    # one-term table of the textbooks, infinite cylinder, Bi = 1: ζ 1.2558, C 1.2071
    exact = centre_of_a_solid_cylinder(1.0, np.array([0.8]))
    assert exact[0] == pytest.approx(1.2071 * np.exp(-(1.2558**2) * 0.8), rel=1e-3)


@settings(max_examples=25, deadline=None)
@given(
    air=st.floats(-20, 250), speed=st.floats(0, 20), start=st.floats(-20, 150),
    heat=st.floats(0, 20), longest=st.floats(1, 5000),
)  # fmt: skip
def test_no_heat_is_lost_or_made(air, speed, start, heat, longest):
    times = np.concatenate([[0], np.geomspace(longest / 1000, longest, 12)])
    around = Around(air_c=air, speed_m_s=speed, walls_c=20)
    found = time_course(BOOTED, around, times_s=times, start_c=start, heat_w_m=heat)
    assert found.stored_j_m + found.lost_j_m == pytest.approx(heat * times, rel=1e-6, abs=1e-4)


@settings(max_examples=25, deadline=None)
@given(air=st.floats(-20, 250), start=st.floats(-20, 150), step=st.floats(1, 1e6))
def test_no_step_is_too_long(air, start, step):
    times = step * np.arange(6)
    found = time_course(BOOTED, Around(air_c=air, speed_m_s=5), times_s=times, start_c=start)
    low, high = min(air, start), max(air, start)
    # The scheme may overshoot by a fifth of the difference in one giant step, never more.
    slack = 0.21 * (high - low) + 1e-6
    assert (found.core_c >= low - slack).all()
    assert (found.core_c <= high + slack).all()


def test_after_long_it_is_steady():
    around = Around(air_c=30, speed_m_s=1)
    late = time_course(BOOTED, around, times_s=np.linspace(0, 20_000, 201), start_c=20, heat_w_m=5)
    still = steady(BOOTED, around, heat_w_m=5)
    assert late.core_c[-1] == pytest.approx(still.core_c, abs=1e-3)
    assert late.surface_c[-1] == pytest.approx(still.surface_c, abs=1e-3)


def test_the_time_to_reach_is_that_of_the_exponential():
    # 100 s · ln(60 / 30) and 100 s · ln(60 / 1)
    around = Around(air_c=80, film_w_m2k=1)
    found = time_to_reach(LUMP, around, target_c=np.array([50.0, 79.0]), start_c=20)
    assert found == pytest.approx([69.31, 409.4], rel=2e-3)


def test_a_bead_of_a_book():
    # Incropera, example 5.1: 0.706 mm bead, 25 °C into 200 °C, h 400: 199 °C after 5.2 s. As a
    # cylinder of the same time constant, 1 s.
    bead = Cylinder(core_m=0.0025 / np.pi, core_j_mk=1.0)
    found = time_to_reach(bead, Around(air_c=200, film_w_m2k=400), target_c=199, start_c=25)
    assert found == pytest.approx(5.165, rel=2e-3)


def test_what_is_never_reached_takes_for_ever():
    around = Around(air_c=80, film_w_m2k=1)
    assert time_to_reach(LUMP, around, target_c=81, start_c=20) == np.inf
    assert time_to_reach(LUMP, around, target_c=10, start_c=20) == np.inf
    assert time_to_reach(LUMP, around, target_c=20, start_c=20) == 0


def test_cooling_is_timed_as_well():
    # 100 s · ln 2
    found = time_to_reach(LUMP, Around(air_c=20, film_w_m2k=1), target_c=50, start_c=80)
    assert found == pytest.approx(69.31, rel=2e-3)


@settings(max_examples=5, deadline=None)
@given(hot=st.floats(120, 300), wall=st.floats(0.5e-3, 4e-3))
def test_a_boot_slows_the_warming(hot, wall):
    bare = Cylinder(core_m=8e-3, core_j_mk=40, emissivity=0.9)
    boot = Layer(
        thickness_m=wall, conductivity_w_mk=0.2, density_kg_m3=1200, specific_heat_j_kgk=1700
    )
    shielded = Cylinder(core_m=8e-3, core_j_mk=40, layers=(boot,), emissivity=0.9)
    around = Around(air_c=hot, speed_m_s=10, walls_c=20)
    times = [time_to_reach(each, around, target_c=50, start_c=23) for each in (bare, shielded)]
    assert times[1] > times[0]


def test_several_cases_at_once():
    times = np.linspace(0, 100, 21)
    air = np.array([[50.0], [90.0]])
    many = time_course(BOOTED, Around(air_c=air), times_s=times, start_c=[20, 30])
    one = time_course(BOOTED, Around(air_c=90), times_s=times, start_c=30)
    assert many.core_c.shape == (2, 21)
    assert many.core_c[1] == pytest.approx(one.core_c)
    assert many.lost_j_m[1] == pytest.approx(one.lost_j_m)


@pytest.mark.parametrize(
    "call",
    [
        lambda: time_course(LUMP, Around(air_c=20), times_s=[0], start_c=20),
        lambda: time_course(LUMP, Around(air_c=20), times_s=[0, 2, 1], start_c=20),
        lambda: time_course(LUMP, Around(air_c=[1, 2]), times_s=[0, 1, 2], start_c=20),
        lambda: time_course(LUMP, Around(air_c=20), times_s=[0, 1], start_c=20, heat_w_m=-1),
        lambda: time_course(LUMP, Around(air_c=20, speed_m_s=-1), times_s=[0, 1], start_c=20),
        lambda: time_to_reach(LUMP, Around(air_c=-300), target_c=10, start_c=20),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
