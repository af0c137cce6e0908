"""A reading as steps for the person at the bonnet."""

from __future__ import annotations

import attrs
import pytest

from loomwright.diagnosis import Probe, Setting
from loomwright.loom import Point, State, Topology
from loomwright.services.next_words import cautions_of, in_words, where
from sample import jobs as sample

LOOM = Topology(sample.job())
COLD = Setting.of(State.parse("throttle=shut; engine_c=18"), ("CU",))
FIRST = Probe("ohm", Point("CU", "1"), Point("E1"), COLD)


def test_the_first_reading_says_all_that_is_to_be_done() -> None:
    words = in_words(LOOM, FIRST, None)
    assert words[0] == "Key off, take off plug CU (Control unit plug)"
    assert words[-2:] == (
        "Measure ohms: red on CU.1 (Control unit plug, cavity 1)",
        "black on E1 (Earth on the engine)",
    )


def test_the_next_says_only_what_changes() -> None:
    again = attrs.evolve(FIRST, plus=Point("CU", "2"))
    assert in_words(LOOM, again, FIRST) == (
        "Measure ohms: red on CU.2 (Control unit plug, cavity 2)",
        "black on E1 (Earth on the engine)",
    )


@pytest.mark.parametrize(
    ("state", "off", "step"),
    [
        ("throttle=open; engine_c=18", "CU", "Set throttle to open"),
        ("throttle=step_a; engine_c=18", "CU", "Set throttle to step a"),
        ("throttle=shut; engine_c=80", "CU", "Warm the engine to about 80 °C"),
        ("throttle=shut; engine_c=18", "CU T1", "take off plug T1 (Engine sensor plug)"),
        ("throttle=shut; engine_c=18", "", "put back plug CU (Control unit plug)"),
        ("throttle=shut; engine_c=18; key=on", "CU", "Set key to on"),
    ],
)
def test_each_change_is_a_step(state: str, off: str, step: str) -> None:
    setting = Setting.of(State.parse(state), off.split())
    words = in_words(LOOM, attrs.evolve(FIRST, setting=setting), FIRST)
    assert any(step in each for each in words)


def test_plugs_move_before_the_key_is_turned_on() -> None:
    setting = Setting.of(State.parse("throttle=shut; engine_c=18; key=on"), ())
    words = in_words(LOOM, Probe("volt", Point("T1", "1"), Point("E1"), setting), FIRST)
    plug, key = (next(n for n, w in enumerate(words) if t in w) for t in ("put back", "key to on"))
    assert plug < key
    assert words[plug].startswith("Key off")


@pytest.mark.parametrize(
    ("point", "text"),
    [
        ("T1.2", "T1.2 (Engine sensor plug, cavity 2)"),
        ("ECU.3", "ECU.3 (Control unit, pin 3)"),
        ("S1", "S1 (Splice in the sensor earths)"),
        ("ZZ.1", "ZZ.1"),
        ("E9", "E9"),
    ],
)
def test_points_carry_the_label_on_the_persons_own_sheet(point: str, text: str) -> None:
    assert where(LOOM, Point.parse(point)) == text


def test_cautions_come_with_the_reading() -> None:
    assert "probing_receptacle" in {said.rule for said in cautions_of(LOOM, FIRST)}
