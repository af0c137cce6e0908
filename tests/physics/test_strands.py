"""Areas against ASTM B258 and published builds; what broken strands do."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.conductor import strand_resistance, wire_resistance
from loomwright.physics.strands import awg_area, awg_diameter, broken_strands, strand_area

RHO = 1.7241e-8  # Ω·m, annealed copper at 20 °C, IEC 60028
FOOT = 0.3048  # m, exact

# geometry by the ASTM B258 formula, worked elsewhere; Ω/1000 ft from a published wire table
AWG = [
    (10, 2.588, 5.261, 10383, 3.277, 0.9989),
    (12, 2.053, 3.309, 6530, 5.211, 1.588),
    (14, 1.628, 2.081, 4107, 8.285, 2.525),
    (16, 1.291, 1.309, 2583, 13.17, 4.016),
    (18, 1.024, 0.8230, 1624, 20.95, 6.385),
    (20, 0.812, 0.5176, 1022, 33.31, 10.15),
    (22, 0.644, 0.3255, 642.4, 52.96, 16.14),
    (24, 0.511, 0.2047, 404.0, 84.21, 25.67),
]


@pytest.mark.parametrize(("awg", "mm", "mm2", "cmil", "mohm_m", "ohm_1000ft"), AWG)
def test_awg_row(awg, mm, mm2, cmil, mohm_m, ohm_1000ft):
    assert 1e3 * awg_diameter(awg) == pytest.approx(mm, abs=6e-4)
    area = awg_area(awg)
    assert 1e6 * area == pytest.approx(mm2, rel=4e-4)
    assert (awg_diameter(awg) / 25.4e-6) ** 2 == pytest.approx(cmil, rel=5e-4)
    assert 1e3 * wire_resistance(1, area, resistivity_ohm_m=RHO) == pytest.approx(mohm_m, rel=4e-4)
    foot = wire_resistance(1000 * FOOT, area, resistivity_ohm_m=RHO)
    assert foot == pytest.approx(ohm_1000ft, rel=4e-4)


@pytest.mark.parametrize(
    ("awg", "ohm_1000ft"),
    [(13, 2.003), (15, 3.184), (17, 5.064), (19, 8.051), (23, 20.36)],  # the same published table
)
def test_odd_awg_sizes(awg, ohm_1000ft):
    foot = wire_resistance(1000 * FOOT, awg_area(awg), resistivity_ohm_m=RHO)
    assert foot == pytest.approx(ohm_1000ft, rel=4e-4)


def test_the_two_sizes_that_define_awg():
    # ASTM B258: 0.005 in at AWG 36, 0.46 in at 4/0
    assert awg_diameter([36, -3]) == pytest.approx([0.005 * 25.4e-3, 0.46 * 25.4e-3])


@pytest.mark.parametrize(
    ("strands", "mm", "mm2", "mohm_m"),
    [  # number/diameter: area and ideal resistance, worked elsewhere
        (9, 0.30, 0.636, 27.10),
        (14, 0.30, 0.990, 17.42),
        (28, 0.30, 1.979, 8.711),
        (44, 0.30, 3.110, 5.543),
        (65, 0.30, 4.595, 3.752),
        (57, 0.32, 4.584, 3.761),
        (16, 0.20, 0.503, 34.30),
        (30, 0.25, 1.473, 11.71),
        (50, 0.25, 2.454, 7.025),
    ],
)
def test_strand_builds(strands, mm, mm2, mohm_m):
    assert 1e6 * strand_area(strands, mm * 1e-3) == pytest.approx(mm2, abs=6e-4)
    ohm = strand_resistance(1, strands=strands, strand_m=mm * 1e-3, resistivity_ohm_m=RHO)
    assert 1e3 * ohm == pytest.approx(mohm_m, rel=3e-4)


def test_broken_strands_add_milliohms_but_cost_strength_and_heat():
    hurt = broken_strands(0.005, strands=28, strands_left=4, ohm_per_m=0.0094)
    # by hand: 9.4 mΩ/m · 5 mm · 6 = 0.282 mΩ
    assert hurt.added_ohm == pytest.approx(0.282e-3)
    assert (hurt.current_density_ratio, hurt.heat_ratio) == (7, 7)
    assert hurt.strength_ratio == pytest.approx(1 / 7)


def test_broken_strands_at_the_two_ends():
    hurt = broken_strands([0.01, 0.01, 0], strands=7, strands_left=[7, 0, 0], ohm_per_m=0.03)
    assert hurt.added_ohm == pytest.approx([0, np.inf, np.inf])
    assert hurt.heat_ratio == pytest.approx([1, np.inf, np.inf])
    assert hurt.strength_ratio == pytest.approx([1, 0, 0])


@given(left=st.integers(1, 84), more=st.integers(0, 84), length=st.floats(0, 10))
def test_broken_strands_equal_two_wires_in_series(left, more, length):
    whole = left + more
    hurt = broken_strands(length, strands=whole, strands_left=left, ohm_per_m=0.01)
    sound, thin = (
        strand_resistance(length, strands=n, strand_m=3e-4, resistivity_ohm_m=RHO)
        for n in (whole, left)
    )
    scale = 0.01 / strand_resistance(1, strands=whole, strand_m=3e-4, resistivity_ohm_m=RHO)
    assert hurt.added_ohm == pytest.approx((thin - sound) * scale, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: strand_area(-1, 3e-4),
        lambda: strand_area(7, 0),
        lambda: awg_diameter(float("nan")),
        lambda: broken_strands(0.01, strands=7, strands_left=8, ohm_per_m=0.01),
        lambda: broken_strands(-0.01, strands=7, strands_left=5, ohm_per_m=0.01),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
