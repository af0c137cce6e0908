"""Symptoms and effects: complete, bounded, and joined as trade practice joins them."""

import pytest

from loomwright.diagnosis.control_side import STATES
from loomwright.diagnosis.effects import EFFECTS
from loomwright.loom.errors import NotFound
from loomwright.loom.schema.bench_tables import SYMPTOMS
from loomwright.standards import all_effects, all_symptom_factors, symptom_factors, values


def test_the_words_of_the_sheet_and_of_the_table_are_the_same():
    assert list(dict.fromkeys(row.symptom for row in all_symptom_factors())) == list(SYMPTOMS)


def test_every_effect_can_be_computed_and_is_spoken_for():
    assert list(all_effects()) == list(EFFECTS)
    assert {row.effect for row in all_symptom_factors()} == set(EFFECTS)
    assert {row.when for row in all_symptom_factors()} == set(STATES)


def test_no_row_stands_twice():
    keys = [(row.symptom, row.when, row.effect) for row in all_symptom_factors()]
    assert len(keys) == len(set(keys))


def test_a_symptom_speaks_for_an_effect_and_less_than_the_cap():
    cap = values()["complaint_cap"]
    assert all(1.0 < row.factor <= cap for row in all_symptom_factors())


def test_sizes_are_possible():
    for effect in all_effects().values():
        assert effect.unit in {"K", "V", "A", "1"}
        assert effect.least > 0
        assert effect.unit != "1" or effect.least < 1
        assert effect.words


@pytest.mark.parametrize(
    ("symptom", "effect"),
    [  # common practice, no published source: the first cause that workshops name
        ("cold_no_start", "engine_hotter"),
        ("hot_start", "engine_colder"),
        ("one_cylinder", "one_load_weak"),
        ("several_cylinders", "several_loads_weak"),
        ("hesitates", "switch_lost"),
        ("idle_hunts", "switch_lost"),
        ("cuts_out", "supply_drop"),
    ],
)
def test_what_a_symptom_speaks_for_first(symptom, effect):
    rows = symptom_factors(symptom)
    assert max(rows, key=lambda row: row.factor).effect == effect


def test_unknown_symptom():
    with pytest.raises(NotFound) as unknown:
        symptom_factors("hot_starts")
    assert unknown.value.expected.startswith("known, nearest first: hot_start")
