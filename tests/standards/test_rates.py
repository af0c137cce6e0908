"""Fault rates and their factors: complete, bounded, and in the order trade practice states."""

from itertools import pairwise

import pytest

from loomwright.loom.errors import NotFound, OutOfRange
from loomwright.standards import (
    all_fault_rates,
    all_heat_factors,
    all_survey_factors,
    fault_rates,
    heat_factor,
    survey_factor,
)

KINDS = {
    "open",
    "high_resistance",
    "short_to_earth",
    "short_to_supply",
    "short_between",
    "leak",
    "swapped",
    "drift",
    "wrong_device",
    "bypassed",
    "stuck_open",
    "stuck_closed",
}
PLACES = {"wire", "crimp", "contact", "joint", "earth", "element"}
ELEMENTS = {"resistor", "winding", "thermistor", "contact", "link", "input", "diode"}
NO_MAGNITUDE = {"open", "swapped", "stuck_open", "stuck_closed"}
ASPECTS = {"boot", "shell", "terminal", "insulation", "strands"}
# common practice, no published source
RANGES = {
    "high_resistance": {(1, 100_000)},
    "short_to_earth": {(0.1, 1000)},
    "short_to_supply": {(0.1, 100_000)},
    "short_between": {(0.1, 1000)},
    "leak": {(1000, 1_000_000)},
    "drift": {(0.3, 0.92), (1.08, 3)},
}


def weight(kind, place, element=""):
    return sum(rate.weight for rate in fault_rates(place, element=element) if rate.kind == kind)


def test_every_kind_place_and_element_is_there():
    assert {rate.kind for rate in all_fault_rates()} == KINDS
    assert {rate.place for rate in all_fault_rates()} == PLACES
    at_elements = {rate.element for rate in all_fault_rates() if rate.place == "element"}
    assert at_elements == ELEMENTS
    assert {rate.element for rate in all_fault_rates() if rate.place != "element"} == {""}


def test_no_row_stands_twice():
    keys = [(rate.kind, rate.place, rate.element, rate.low) for rate in all_fault_rates()]
    assert len(keys) == len(set(keys))


def test_weights_and_magnitudes_are_possible():
    for rate in all_fault_rates():
        assert 0.01 <= rate.weight <= 20, rate
        if rate.kind in NO_MAGNITUDE:
            assert (rate.low, rate.high, rate.unit) == (None, None, ""), rate
        else:
            assert 0 < rate.low < rate.high, rate
            assert rate.unit in {"Ω", "1"}, rate


@pytest.mark.parametrize("kind", RANGES)
def test_magnitude_range(kind):
    found = {(rate.low, rate.high) for rate in all_fault_rates() if rate.kind == kind}
    assert found == RANGES[kind]


def test_order_of_decay():
    # common practice: terminals and earth points corrode first, then insulation cracks; a
    # conductor broken inside whole insulation is rarer; swapped terminals rarer still
    terminals = weight("high_resistance", "contact")
    earths = weight("high_resistance", "earth")
    insulation = weight("short_to_earth", "wire") + weight("leak", "wire")
    assert terminals > earths > insulation > weight("open", "wire") > weight("swapped", "contact")
    assert weight("high_resistance", "contact") > weight("high_resistance", "crimp")
    assert weight("short_to_earth", "wire") > weight("short_to_supply", "wire")


def test_unknown_place_or_element():
    with pytest.raises(NotFound) as place:
        fault_rates("boot")
    assert "wire" in place.value.expected
    with pytest.raises(NotFound) as element:
        fault_rates("element", element="windings")
    assert element.value.expected.startswith("known, nearest first: winding")
    with pytest.raises(NotFound):
        fault_rates("wire", element="winding")


def test_survey_factors_start_at_one_and_rise_with_the_grade():
    assert {row.aspect for row in all_survey_factors()} == ASPECTS
    for aspect in ASPECTS:
        family = [survey_factor(aspect, grade) for grade in range(5)]
        assert family[0].factor == 1
        assert all(worse.factor > better.factor for better, worse in pairwise(family))
        assert family[4].factor <= 20
        assert len({(row.kinds, row.places) for row in family}) == 1


def test_factors_act_on_known_faults():
    for row in (*all_survey_factors(), *all_heat_factors()):
        assert set(row.kinds) <= KINDS
        assert set(row.places) <= PLACES
        acted_on = [r for r in all_fault_rates() if r.kind in row.kinds and r.place in row.places]
        assert acted_on, row


def test_survey_factor_refuses_what_is_not_on_the_scale():
    with pytest.raises(NotFound):
        survey_factor("colour", 1)
    for grade in (-1, 5):
        with pytest.raises(OutOfRange):
            survey_factor("boot", grade)


def test_heat_bands_join_and_rise():
    bands = all_heat_factors()
    for cool, hot in pairwise(bands):
        assert cool.soak_below_c == hot.soak_from_c
        assert 1 < hot.factor / cool.factor <= 2
    assert heat_factor(90).factor == 1  # wing and bulkhead are the reference


@pytest.mark.parametrize(("soak", "factor"), [(65, 0.7), (70, 1), (110, 2), (130, 4), (170, 8)])
def test_heat_factor(soak, factor):
    assert heat_factor(soak).factor == factor


@pytest.mark.parametrize("soak", [-61, 300, float("nan")])
def test_heat_factor_outside_all_bands(soak):
    with pytest.raises(OutOfRange):
        heat_factor(soak)
