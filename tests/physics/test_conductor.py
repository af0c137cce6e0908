"""Wire resistance against IEC 60228, AC 43.13-1B and published cable pages."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.conductor import (
    hot_run_length,
    resistance_at,
    resistance_at_reference,
    resistance_by_length,
    run_limit,
    strand_resistance,
    wire_resistance,
)

RHO = 1.7241e-8  # Ω·m, annealed copper at 20 °C, IEC 60028
ALPHA = 0.00393  # 1/K, IEC 60028


@pytest.mark.parametrize(
    ("strands", "mm", "mohm_m"),
    # JIS C 3406 type AV, a cable maker's catalogue: highest resistance
    [(7, 0.32, 32.7), (16, 0.32, 14.3), (41, 0.32, 5.59), (20, 0.18, 36.7), (37, 0.26, 9.50)],
)
def test_lay_allowance_meets_a_vehicle_wire_catalogue(strands, mm, mohm_m):
    ohm = strand_resistance(
        1, strands=strands, strand_m=mm * 1e-3, resistivity_ohm_m=RHO, lay_factor=1.08
    )
    assert 1e3 * ohm == pytest.approx(mohm_m, rel=0.015)


@pytest.mark.parametrize(
    ("mm2", "metres", "mohm"), [(0.75, 2, 50), (1.0, 3, 56), (1.5, 3, 37), (2.5, 5, 37)]
)
def test_what_a_wire_alone_should_give(mm2, metres, mohm):
    # trade figures, worked from 17.24 Ω·mm²/km and 8 %
    ohm = wire_resistance(metres, mm2 * 1e-6, resistivity_ohm_m=1.724e-8, lay_factor=1.08)
    assert 1e3 * ohm == pytest.approx(mohm, abs=0.5)


@pytest.mark.parametrize(
    ("celsius", "ratio"),
    [
        (-40, 0.7642),
        (0, 0.9214),
        (60, 1.1572),
        (70, 1.1965),
        (85, 1.2554),
        (90, 1.2751),
        (100, 1.3144),
        (105, 1.3341),
        (125, 1.4127),
        (150, 1.5109),
    ],
)
def test_temperature_ratio(celsius, ratio):
    # 1 + 0.00393·(T − 20), worked elsewhere
    assert resistance_at(1, celsius, alpha_per_k=ALPHA) == pytest.approx(ratio, abs=6e-5)


@pytest.mark.parametrize(
    ("celsius", "factor"),
    # IEC 60228 annex: factor to bring a measured resistance to 20 °C, exact form for copper
    [
        (0, 1.085),
        (5, 1.063),
        (10, 1.041),
        (15, 1.020),
        (20, 1.0),
        (25, 0.981),
        (30, 0.962),
        (35, 0.944),
        (40, 0.927),
    ],
)
def test_factor_to_20_degrees(celsius, factor):
    found = resistance_at_reference(1, celsius, alpha_per_k=1 / 254.5)
    assert found == pytest.approx(factor, abs=6e-4)
    assert resistance_at_reference(1, celsius, alpha_per_k=ALPHA) == pytest.approx(factor, abs=2e-3)


def test_hot_run_length():
    # AC 43.13-1B, par. 11-66 and its worked example; the second with the rise taken as I²
    assert hot_run_length([15.5, 15.5], [181.6, 138.8]) == pytest.approx([9.48, 10.57], abs=6e-3)
    # the same law as the resistance ratio with the constant 234.5 °C
    assert 1 / hot_run_length(1, 90) == pytest.approx(resistance_at(1, 90, alpha_per_k=1 / 254.5))


@pytest.mark.parametrize(
    ("ohm_ft", "feet", "amps", "volts"),
    # AC 43.13-1B, Tables 11-7 and 11-8; the printed 0.366 V of one row is a misprint for 0.491
    [
        (0.00044, 107, 20, 0.942),
        (0.00028, 90, 20, 0.504),
        (0.00306, 100, 20, 6.12),
        (0.00126, 39, 20, 0.98),
        (0.00126, 19.5, 20, 0.491),
        (0.00126, 156, 20, 3.93),
        (0.00126, 273, 20, 6.88),
    ],
)
def test_volt_drop_of_the_circular(ohm_ft, feet, amps, volts):
    assert amps * resistance_by_length(feet, ohm_ft) == pytest.approx(volts, abs=4e-3)


def test_run_limit_adds_up():
    limit = run_limit(0.050, contact_pairs=2, contact_pair_ohm=0.005, meter_ohm=0.1)
    assert limit == pytest.approx(0.160)


@given(ohm=st.floats(1e-6, 1e6), celsius=st.floats(-100, 300))
def test_to_temperature_and_back(ohm, celsius):
    hot = resistance_at(ohm, celsius, alpha_per_k=ALPHA)
    assert resistance_at_reference(hot, celsius, alpha_per_k=ALPHA) == pytest.approx(ohm)


def test_array_equals_scalar():
    lengths, areas = np.array([[0.5], [2.0]]), np.array([0.5e-6, 1e-6, 2.5e-6])
    table = wire_resistance(lengths, areas, resistivity_ohm_m=RHO)
    assert table.shape == (2, 3)
    assert table[1, 2] == wire_resistance(2.0, 2.5e-6, resistivity_ohm_m=RHO)
    assert isinstance(wire_resistance(1, 1e-6, resistivity_ohm_m=RHO), float)


def test_no_length_has_no_resistance():
    assert wire_resistance(0, 1e-6, resistivity_ohm_m=RHO) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: wire_resistance(-1, 1e-6, resistivity_ohm_m=RHO),
        lambda: wire_resistance(1, 0, resistivity_ohm_m=RHO),
        lambda: wire_resistance(1, 1e-6, resistivity_ohm_m=0),
        lambda: resistance_by_length(-1, 0.01),
        lambda: resistance_by_length(1, -0.01),
        lambda: strand_resistance(1, strands=0, strand_m=3e-4, resistivity_ohm_m=RHO),
        lambda: resistance_at(-1, 20, alpha_per_k=ALPHA),
        lambda: resistance_at(1, -300, alpha_per_k=ALPHA),
        lambda: resistance_at(1, -260, alpha_per_k=ALPHA),
        lambda: hot_run_length(-1, 20),
        lambda: hot_run_length(1, -234.5),
        lambda: run_limit(0.1, contact_pairs=-1, contact_pair_ohm=0.005),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
