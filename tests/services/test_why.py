"""Which readings speak for a suspect, and which against."""

from __future__ import annotations

import attrs

from loomwright.loom import Job, Reading
from loomwright.services.suspects import Suspect, suspects
from sample.drawn import loom, reading

#   CU.1 --W1-- T.1 [R 100] T.2 --W2-- CU.2      CU.3 --W3-- V.1 [Q 47] V.2 --W4-- E1
LOOM = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2", "V": "D: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100\nQ D.1 D.2 resistor ohm=47",
    {"E1": "earth"},
)


def leading(*readings: Reading, job: Job = LOOM) -> Suspect:
    return suspects(attrs.evolve(job, readings=readings)).suspects[0]


def test_readings_that_see_the_fault_speak_for_it_and_others_keep_silent() -> None:
    first = leading(
        reading("R1", "ohm CU.1 CU.2", 900.0),
        reading("R2", "ohm T.1 T.2", 900.0),
        reading("R3", "ohm CU.3 E1", 47.0),
    )
    assert {reason.reading for reason in first.because} == {"R1", "R2"}
    assert first.against == ()
    for reason in first.because:
        assert reason.nats > 0
        assert reason.sentence.startswith(f"{reason.reading} reads 900 Ω")


def test_ranges_hold_the_value_with_the_fault_and_not_without() -> None:
    first = leading(reading("R1", "ohm CU.1 CU.2", 900.0), reading("R2", "ohm T.1 T.2", 902.0))
    assert all(reason.without != reason.suspect for reason in first.because)
    assert all("OL" not in reason.without for reason in first.because)


def test_an_open_is_said_as_over_range() -> None:
    first = leading(reading("R1", "ohm CU.1 CU.2", "OL"), reading("R2", "ohm CU.1 T.1", "OL"))
    assert {reason.suspect for reason in first.because} == {"OL"}


def test_the_strongest_comes_first_and_few_are_named() -> None:
    many = [reading(f"R{n}", "ohm CU.1 CU.2", 900.0 + n) for n in range(7)]
    first = leading(*many)
    weights = [abs(reason.nats) for reason in first.because]
    assert weights == sorted(weights, reverse=True)
    assert len(first.because) <= 4


def test_a_reading_against_the_suspect_is_named_too() -> None:
    """Wire W1 over-range three times, and the whole circuit once as it should be."""
    first = leading(
        reading("R1", "ohm CU.1 T.1", "OL"),
        reading("R2", "ohm CU.1 T.1", "OL"),
        reading("R4", "ohm CU.1 T.1", "OL"),
        reading("R3", "ohm CU.1 CU.2", 100.0),
    )
    assert first.kind == "open"
    assert "W1" in first.items
    assert {reason.reading for reason in first.because} == {"R1", "R2", "R4"}
    assert [reason.reading for reason in first.against] == ["R3"]
    assert first.against[0].nats < 0


THERMISTOR = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 E1\nW5 CU.2 E1\nW6 BP B.1\nW7 BM E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2", "V": "D: 1 . 2", "B": ": 1"},
    "IN UNIT.1 UNIT.2 input pull_up_ohm=1800 pull_up_v=8\n"
    "TH S.1 S.2 thermistor curve=NTC\nQ D.1 D.2 resistor ohm=47",
    {"E1": "earth", "BP": "battery_plus", "BM": "battery_minus"},
    temperatures={"S": "engine"},
)


def test_a_complaint_that_speaks_for_a_suspect_is_said_last_among_the_reasons() -> None:
    about = attrs.evolve(THERMISTOR.about, symptoms=("hot_start",))
    state = "key=off; engine_c=80"
    found = reading("R1", "ohm CU.1 CU.2", 700.0, off="CU", state=state)
    told = leading(found, job=attrs.evolve(THERMISTOR, about=about))
    silent = leading(found, job=THERMISTOR)
    assert told.complaint == (
        'the complaint "hot_start" speaks for it: with it the control unit takes the engine for '
        "colder than it is"
    )
    assert told.json()["because"][-1] == told.complaint
    assert silent.complaint == ""
    assert all("complaint" not in sentence for sentence in silent.json()["because"])
