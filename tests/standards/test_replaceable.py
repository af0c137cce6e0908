"""The defaults: bounds, standing, and the figures that trade practice states."""

import pytest

from loomwright.loom.errors import NotFound
from loomwright.standards import (
    all_fault_rates,
    all_heat_factors,
    all_survey_factors,
    all_symptom_factors,
    default,
    defaults,
    figure,
    weights,
)

ELEMENT_KINDS = ["resistor", "winding", "thermistor", "contact", "link", "input", "diode"]


@pytest.mark.parametrize(
    ("name", "value", "unit"),
    [
        # common practice, no published source
        ("contact_resistance", 5, "mΩ"),
        ("lay_allowance", 1.08, "1"),
        ("lead_resistance", 0.2, "Ω"),
        ("voltmeter_input_resistance", 10, "MΩ"),
        ("ohmmeter_over_range_limit", 40, "MΩ"),
        ("temperature_uncertainty_engine", 1.5, "K"),
        ("temperature_uncertainty_air", 1, "K"),
        ("temperature_uncertainty_ambient", 3, "K"),
        ("meter_percent", 1, "%"),
        ("meter_counts", 3, "counts"),
        ("minutes_per_ohm_reading", 0.5, "min"),
        ("bad_grade", 3, "1"),
        ("bad_wires_of_branch", 3, "1"),
        ("bad_branches_of_loom", 2, "1"),
        ("brush_least", 0.5, "mm"),
        ("brush_most", 1, "mm"),
        ("minutes_per_volt_reading", 0.8, "min"),
        # working assumptions
        ("wrong_repair_minutes", 60, "min"),
        ("outlier_probability", 0.003, "1"),
        ("false_over_range_probability", 0.003, "1"),
    ],
)
def test_default(name, value, unit):
    found = default(name)
    assert (found.name, found.value, found.unit) == (name, value, unit)


def test_every_default_lies_within_its_own_range_and_says_what_it_is():
    for row in defaults().values():
        assert 0 < row.low <= row.value <= row.high, row.name
        assert row.standing in {"published", "common practice", "assumed"}, row.name
        assert row.note, row.name
        assert row.unit, row.name


@pytest.mark.parametrize("kind", ELEMENT_KINDS)
def test_every_element_kind_has_a_tolerance(kind):
    assert default(f"tolerance_{kind}").unit == "%"


def test_access_lies_between_one_and_six_minutes():
    minutes = [row for name, row in defaults().items() if name.startswith("access_minutes_")]
    assert len(minutes) == 7
    assert all(1 <= row.value <= 6 and row.unit == "min" for row in minutes)


def test_probabilities_stay_below_one_and_the_prior_adds_up():
    assert all(default(name).high < 1 for name in defaults() if name.endswith("_probability"))
    prior = [default(f"prior_{count}").value for count in ("no_fault", "one_fault", "two_faults")]
    assert sum(prior) == pytest.approx(1)


def test_a_slip_of_the_pen_finds_the_nearest_name():
    with pytest.raises(NotFound) as caught:
        default("contact_resistence")
    assert caught.value.where == "defaults"
    assert caught.value.expected.startswith("known, nearest first: contact_resistance,")


def test_defaults_cannot_be_changed_in_place():
    with pytest.raises(TypeError):
        defaults()["contact_resistance"] = None
    with pytest.raises(AttributeError):
        default("contact_resistance").value = 1


def test_every_weight_has_a_name_of_its_own():
    rows = [*all_fault_rates(), *all_survey_factors(), *all_heat_factors(), *all_symptom_factors()]
    assert len(weights()) == len(rows)
    assert not set(weights()) & set(defaults())
    assert figure("rate-drift-element-thermistor-low").value == 0.6
    assert figure("heat-below-125").value == 2
    for row in weights().values():
        assert 0 < row.low < row.value < row.high, row.name
