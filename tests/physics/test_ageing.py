"""Ageing by heat against published fits and tables, and what every law of it must keep."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.ageing import (
    activation_energy,
    arrhenius_life,
    fit_ageing,
    halving_life,
    life_in_years,
    used_share,
)

# data as a public page on IEC 60216-3 prints them: °C and h
PRINTED = ([220, 200, 180], [480, 1800, 7200])
INDEX = {"reference_c": 105, "reference_hours": 20000, "halving_k": 10}
# TI 105 °C, HIC 10 K worked elsewhere from the same definition: °C, Arrhenius h, rule of thumb h
WORKED = [
    (65, 482_000, 320_000),
    (85, 89_900, 80_000),
    (95, 41_500, 40_000),
    (105, 20_000, 20_000),
    (115, 10_000, 10_000),
    (125, 5_177, 5_000),
    (135, 2_768, 2_500),
    (145, 1_525, 1_250),
]
CELSIUS = st.floats(20, 250)
HALVING = st.floats(4, 20)


def test_printed_data_give_the_index_and_the_energy_of_a_refit():
    found = fit_ageing(*PRINTED)
    assert found.index_c == pytest.approx(166.6, abs=0.05)
    assert found.halving_k == pytest.approx(9.05, abs=0.005)
    assert found.energy_ev == pytest.approx(1.303, abs=5e-4)
    assert found.slope_k == pytest.approx(15_125, abs=1)


def test_the_pages_own_answer_does_not_fit_its_data():
    # it prints slope 9 500 K and TI 105 °C; such a line misses its middle point more than tenfold
    found = fit_ageing(*PRINTED)
    assert abs(found.index_c - 105) > 60
    page = {"reference_c": 105, "reference_hours": 20000}
    halving = 378.15**2 * np.log(2) / 9500  # of its own slope, to first order
    assert arrhenius_life(200, halving_k=halving, **page) < 1800 / 10


def test_the_fit_agrees_with_an_independent_regression():
    from scipy.stats import linregress

    inverse, logs = 1 / (np.array(PRINTED[0]) + 273.15), np.log(PRINTED[1])
    line = linregress(inverse, logs)
    found = fit_ageing(*PRINTED)
    assert found.slope_k == pytest.approx(line.slope, rel=1e-9)
    residual = logs - line.intercept - line.slope * inverse
    assert found.residual_sd == pytest.approx(np.sqrt(residual @ residual), rel=1e-9)  # 3 − 2 = 1


def test_uncertainties_are_those_of_many_made_up_experiments():
    rng = np.random.default_rng(8)
    hot = np.array([150.0, 165.0, 180.0, 195.0, 210.0, 225.0])
    true = arrhenius_life(hot, reference_c=140, reference_hours=20000, halving_k=9)
    fits = [fit_ageing(hot, true * np.exp(0.1 * rng.standard_normal(6))) for _ in range(400)]
    for value, told in (("index_c", "index_sd"), ("halving_k", "halving_sd")):
        scatter = np.std([getattr(fit, value) for fit in fits])
        usual = np.sqrt(np.mean([getattr(fit, told) ** 2 for fit in fits]))
        assert usual == pytest.approx(scatter, rel=0.12)


def test_two_points_make_a_line_but_say_nothing_of_its_doubt():
    found = fit_ageing([200, 180], [1800, 7200])
    assert found.index_sd == np.inf
    assert found.residual_sd == np.inf


@pytest.mark.parametrize(("celsius", "arrhenius", "thumb"), WORKED)
def test_worked_lives(celsius, arrhenius, thumb):
    assert arrhenius_life(celsius, **INDEX) == pytest.approx(arrhenius, rel=1.2e-3)
    assert halving_life(celsius, **INDEX) == pytest.approx(thumb, rel=1e-9)


def test_energies_that_one_interval_means_at_several_temperatures():
    # worked elsewhere: eV for 10 K and for 8 K
    found = activation_energy([80, 100, 105, 125], 10)
    assert found == pytest.approx([0.766, 0.854, 0.877, 0.971], abs=6e-4)
    found = activation_energy([80, 100, 105, 125], 8)
    assert found == pytest.approx([0.952, 1.062, 1.090, 1.207], abs=6e-4)


def test_the_sum_of_spells():
    lives = arrhenius_life([125, 85], **INDEX)
    assert used_share([1000, 7000], lives) == pytest.approx(0.2711, abs=5e-5)  # worked elsewhere


def test_the_published_rule_of_eight_against_ten():
    # Montsinger 1930 prints 8 °C; over 40 K that is 32 times against 16
    known = {"reference_c": 105, "reference_hours": 1.0}
    assert 1 / halving_life(145, halving_k=8, **known) == pytest.approx(32)
    assert 1 / halving_life(145, halving_k=10, **known) == pytest.approx(16)


def test_trade_figures_for_a_wire_above_its_class():
    # common practice: 20 K above it lasts a quarter, 30 K an eighth
    known = {"reference_c": 105, "reference_hours": 3000, "halving_k": 10}
    assert halving_life([125, 135], **known) == pytest.approx([750, 375])


def test_nothing_used_lasts_for_ever():
    assert life_in_years(0) == np.inf
    assert list(life_in_years([0.5, 0])) == [2, np.inf]


@given(CELSIUS, CELSIUS, HALVING)
def test_hotter_never_lasts_longer(one, other, halving):
    known = {"reference_c": 105, "reference_hours": 3000, "halving_k": halving}
    for law in (arrhenius_life, halving_life):
        cool, hot = law(min(one, other), **known), law(max(one, other), **known)
        assert hot <= cool


@given(CELSIUS, HALVING)
def test_the_reference_is_kept_and_the_interval_halves_it(reference, halving):
    known = {"reference_c": reference, "reference_hours": 3000, "halving_k": halving}
    for law in (arrhenius_life, halving_life):
        assert law(reference, **known) == pytest.approx(3000)
        assert law(reference + halving, **known) == pytest.approx(1500, rel=1e-9)


@given(st.floats(120, 200), HALVING, st.lists(st.floats(0, 100), min_size=3, max_size=6,
                                              unique_by=lambda t: round(t)))  # fmt: skip
def test_a_fit_through_lives_without_scatter_gives_back_what_made_them(index, halving, above):
    hot = index + np.array(above)
    lives = arrhenius_life(hot, reference_c=index, reference_hours=20000, halving_k=halving)
    found = fit_ageing(hot, lives)
    assert found.index_c == pytest.approx(index, abs=1e-4)
    assert found.halving_k == pytest.approx(halving, rel=1e-5)
    assert found.residual_sd < 1e-6


@given(st.lists(st.tuples(st.floats(0, 5000), st.floats(1, 1e6)), min_size=1, max_size=5),
       st.randoms())  # fmt: skip
def test_the_order_of_spells_does_not_matter_and_more_hours_use_more(spells, shuffled):
    mixed = [*spells]
    shuffled.shuffle(mixed)
    share = used_share(*zip(*spells, strict=True))
    assert used_share(*zip(*mixed, strict=True)) == pytest.approx(share)
    hours, lives = zip(*spells, strict=True)
    assert used_share([h + 1 for h in hours], lives) > share


@pytest.mark.parametrize(
    ("temperatures", "lives", "where"),
    [
        ([200, 180], [7200, 1800], "ageing data"),  # longer when hotter
        ([200], [1800], "ageing data"),
        ([200, 180], [1800, 7200, 9000], "ageing data"),
        ([200, 200], [1800, 1900], "ageing data"),
        ([200, 180], [0, 7200], "life"),
        ([-300, 180], [10, 7200], "temperature"),
    ],
)
def test_data_that_make_no_endurance_line(temperatures, lives, where):
    with pytest.raises(OutOfRange) as caught:
        fit_ageing(temperatures, lives)
    assert caught.value.where == where


def test_impossible_lives_and_intervals():
    with pytest.raises(OutOfRange):
        arrhenius_life(100, reference_c=105, reference_hours=0, halving_k=10)
    with pytest.raises(OutOfRange):
        halving_life(100, reference_c=105, reference_hours=3000, halving_k=0)
    with pytest.raises(OutOfRange):
        used_share([-1], [100])
    with pytest.raises(OutOfRange):
        life_in_years(-0.1)
