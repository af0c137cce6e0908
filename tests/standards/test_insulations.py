"""Insulations: cells typed a second time, what a text tells, and what it leaves unknown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.standards import insulation, insulations, temperature_classes

# a cable maker's page on JASO D611: °C
JAPANESE = {"PVC": 80, "XLPVC": 100, "XLPE": 120}
# published notes on jackets of power cable: normal and short circuit, °C
JACKETS = {"EPDM": (90, 250), "silicone": (180, 250), "chloroprene": (75, 200)}
# IEC 60287-2-1 as quoted, K·m/W
RESISTIVITY = {"XLPE": 3.5, "PVC": 5.0, "butyl": 5.0}
# IEC 60364-5-54: final temperature of a short circuit, °C
SHORT = {"PVC": 160, "XLPE": 250, "butyl": 220}


def row(name):
    return next(each for each in insulations() if each.name == name)


def test_published_temperatures():
    assert {name: row(name).class_c for name in JAPANESE} == JAPANESE
    assert {name: (row(name).class_c, row(name).short_c) for name in JACKETS} == JACKETS
    assert {name: row(name).short_c for name in SHORT} == SHORT
    assert row("rubber").class_c == 60  # Hong Kong wiring code, Table 15(2)


def test_published_thermal_resistivities():
    assert {name: row(name).thermal_resistivity for name in RESISTIVITY} == RESISTIVITY


def test_trade_figures_of_ageing_by_years():
    # common practice: vinyl 10 to 15 years on the engine, 20 to 30 elsewhere; cheap boots 3 to 6
    assert (row("PVC").ages_hot, row("PVC").ages) == ((10, 15), (20, 30))
    assert row("rubber").boot_ages == (3, 6)


def test_bounds_that_nature_sets():
    for each in insulations():
        assert 4 <= each.halving_low_k <= each.halving_k <= each.halving_high_k <= 20
        assert each.hours > 0
        if each.class_c is not None and each.short_c is not None:
            assert each.class_c < each.short_c
        if each.thermal_resistivity is not None:
            assert 2 < each.thermal_resistivity < 8


def test_what_was_not_seen_says_so():
    assert all("from memory" in each.note for each in insulations())
    assert all(each.standing == "assumed" for each in insulations())


def test_words_name_one_material_each():
    words = [word for each in insulations() for word in each.words]
    assert len(words) == len(set(words))


@pytest.mark.parametrize(
    ("text", "name", "celsius"),
    [
        ("PVC 105", "PVC", 105),
        ("PVC", "PVC", 80),
        ("pvc105", "PVC", 105),
        ("XLPE", "XLPE", 120),
        ("XLPE 125 °C", "XLPE", 125),
        ("silicone rubber", "silicone", 180),
        ("straight 2-way, EPDM", "EPDM", 90),
        ("Neoprene", "chloroprene", 75),
        ("ETFE", "ETFE", 150),
        ("C", "class", 125),
        ("class d", "class", 150),
        ("105", "class", 105),
        ("T 125", "class", 125),
    ],
)
def test_a_text_tells_material_and_temperature(text, name, celsius):
    told = insulation(text)
    assert told.material is not None
    assert (told.material.name, told.class_c, told.unknown) == (name, celsius, "")


@pytest.mark.parametrize(
    "text", ["cloth", "straight 2-way", "1.5 mm2", "rectangular 8-way", "xpvcx"]
)
def test_what_is_not_understood_is_not_guessed(text):
    told = insulation(text)
    assert (told.material, told.class_c) == (None, None)
    assert text in told.unknown
    assert "PVC 105" in told.unknown


@pytest.mark.parametrize("text", [None, "", "  "])
def test_nothing_written_is_not_known(text):
    told = insulation(text)
    assert told.class_c is None
    assert told.unknown.startswith("not told; write a material (PVC,")


def test_letters_are_those_of_the_standard():
    for letter, row in temperature_classes().items():
        assert insulation(letter).class_c == row.highest_c


def test_it_reads_as_a_person_says_it():
    assert insulation("PVC 105").name == "PVC of 105 °C"
    assert insulation("C").name == "insulation of 125 °C"
    assert insulation("cloth").name == "cloth"
    assert insulation(None).name == "not told"


@given(st.text(max_size=40))
def test_any_text_either_tells_a_temperature_or_says_what_is_missing(text):
    told = insulation(text)
    assert (told.class_c is None) == bool(told.unknown)
    assert told.class_c is None or 50 <= told.class_c <= 300
