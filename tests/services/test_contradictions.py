"""Slips of the hand: which reading is named, and which slip."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import Job, Reading
from loomwright.services.contradictions import Contradiction
from loomwright.services.suspects import suspects
from sample.drawn import loom, reading

#   CU.1 --W1-- T.1 [TH] T.2 --W2-- CU.2
#   CU.3 --W3-- V.1 [47] V.2 --W4-- E1      V.1 [P 10] V.3 --W5-- E1
LOOM = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2", "V": "D: 1 . 2"},
    """
    IN UNIT.1 UNIT.2 input ohm=1e5
    TH S.1 S.2 thermistor curve=NTC tolerance_pct=3
    R D.1 D.2 resistor ohm=47 tolerance_pct=3
    """,
    {"E1": "earth"},
    temperatures={"S": "engine"},
)
COLD, HOT = "engine_c=20", "engine_c=80"
GOOD = (
    reading("R1", "ohm CU.1 CU.2", 2508.0, state=COLD),
    reading("R2", "ohm T.1 T.2", 2510.0, state=COLD),
    reading("R3", "ohm CU.3 E1", 47.2, state=COLD),
    reading("R4", "ohm V.1 E1", 47.1, state=COLD),
    reading("R5", "ohm CU.1 CU.3", "OL", state=COLD),
    reading("R6", "ohm CU.1 E1", "OL", state=COLD),
)


def said(*readings: Reading, job: Job = LOOM) -> dict[tuple[str, ...], Contradiction]:
    found = suspects(attrs.evolve(job, readings=readings)).contradictions
    return {each.readings: each for each in found}


def test_readings_that_agree_are_let_be() -> None:
    assert said(*GOOD) == {}
    assert said() == {}


def test_a_value_typed_a_thousand_times_too_high() -> None:
    """2.508 kΩ written as 2508 kΩ, between others that are as they should be."""
    found = said(*GOOD, reading("R7", "ohm T.1 T.2", 2_508_000.0, state=COLD), *again(2))
    assert ("R7",) in found
    assert "thousand" in found[("R7",)].slip


def test_a_value_typed_a_thousand_times_too_low() -> None:
    found = said(*GOOD, reading("R7", "ohm T.1 T.2", 2.508, state=COLD), *again(2))
    assert ("R7",) in found
    assert "kΩ range" in found[("R7",)].slip


def again(count: int) -> tuple[Reading, ...]:
    return tuple(
        reading(f"R{8 + n}", "ohm CU.1 CU.2", 2508.0 + n, state=COLD) for n in range(count)
    )


@pytest.mark.parametrize("value", ["OL", 3900.0])
def test_the_same_reading_twice_with_different_values(value: float | str) -> None:
    found = said(*GOOD, reading("R7", "ohm CU.1 CU.2", value, state=COLD))
    assert ("R1", "R7") in found
    assert "2.51 kΩ" in found[("R1", "R7")].what
    assert found[("R1", "R7")].slip


def test_ohms_with_the_probes_changed_over_is_the_same_reading() -> None:
    found = said(*GOOD, reading("R7", "ohm CU.2 CU.1", 3900.0, state=COLD))
    assert ("R1", "R7") in found


def test_the_same_twice_within_the_meter_is_no_contradiction() -> None:
    assert said(*GOOD, reading("R7", "ohm CU.1 CU.2", 2512.0, state=COLD)) == {}


def test_a_plug_that_was_left_on() -> None:
    """With T off, CU.1 to CU.2 is open; 2508 ohm say that T was on."""
    left_on = reading("R7", "ohm CU.1 CU.2", 2508.0, state=COLD, off="CU T")
    found = said(*GOOD, *again(1), left_on)
    assert "plug T was left on" in found[("R7",)].slip


def test_a_temperature_that_was_guessed_wrong() -> None:
    """596 ohm is the curve's 60 °C; the sheet says 80, and cold all was well."""
    wrong = reading("R7", "ohm CU.1 CU.2", 596.0, state=HOT)
    alone = reading("R8", "ohm S.1 S.2", 324.0, state=HOT, off="CU T")
    more = reading("R9", "ohm T.1 T.2", 324.2, state=HOT)
    found = said(*GOOD, alone, more, wrong)
    assert ("R7",) in found
    assert "temperature" in found[("R7",)].slip


def test_a_sentence_names_the_readings_and_ends() -> None:
    found = said(*GOOD, reading("R7", "ohm CU.1 CU.2", "OL", state=COLD))
    assert found
    for each in found.values():
        assert each.sentence.startswith(each.readings[0])
        assert each.sentence.endswith(".")
