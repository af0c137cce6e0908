"""A reading about to be taken: asked for by hand, made safe, its steps and its temperatures."""

from __future__ import annotations

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.diagnosis import Model, Probe, Setting
from loomwright.loom import InputProblems, Job, Point, State, Topology
from loomwright.loom.errors import Refused
from loomwright.services.asking import as_texts, made_safe, permitted, wished
from loomwright.services.measuring import asked, holds, points, touch
from loomwright.services.warmth import at_temperatures, checked, held, other_heat, temperatures
from sample import jobs as sample

JOB = sample.job()
LOOM = Topology(JOB)
OHMS = {"plus": "CU.1", "minus": "E1"}


def problems(job: Job, **texts: str) -> list[str]:
    with pytest.raises(InputProblems) as refusal:
        wished(job, texts)
    return [each.where.column or "" for each in refusal.value.problems]


def test_ohms_by_hand_are_safe_where_nothing_else_is_said() -> None:
    probe = wished(JOB, OHMS)
    assert probe.quantity == "ohm"
    assert probe.setting.unplugged == {"CU"}
    assert not probe.setting.as_state.powered
    permitted(JOB, probe)


def test_volts_by_hand_have_the_key_on_and_every_plug_on() -> None:
    probe = wished(JOB, {**OHMS, "quantity": "volt"})
    assert probe.setting.as_state.powered
    assert not probe.setting.unplugged


def test_what_is_asked_for_can_be_asked_for_again() -> None:
    for texts in (OHMS, {**OHMS, "quantity": "volt"}, {**OHMS, "unplugged": "CU T1"}):
        probe = wished(JOB, texts)
        assert as_texts(wished(JOB, as_texts(probe))) == as_texts(probe)


def test_all_that_is_wrong_is_told_at_once() -> None:
    assert set(problems(JOB, plus="CU.99", minus="Q", unplugged="ZZ")) == {
        "plus",
        "minus",
        "unplugged",
    }
    assert problems(JOB, plus="CU.1") == ["minus"]
    assert problems(JOB, plus="CU.1", minus="CU.1") == ["minus"]


@pytest.mark.parametrize(
    ("state", "off"), [("key=on", "CU"), ("key=off", ""), ("key=start; crank=one", "")]
)
def test_what_is_refused_can_be_done_safely(state: str, off: str) -> None:
    probe = wished(JOB, {**OHMS, "state": state, "unplugged": off})
    found = asked(JOB, probe, Model(JOB))
    assert found.refusal
    assert found.band is None
    with pytest.raises(Refused) as refusal:
        permitted(JOB, probe)
    assert refusal.value.instead
    safe = made_safe(LOOM, probe)
    assert safe
    permitted(JOB, safe)
    assert (safe.plus, safe.minus) == (probe.plus, probe.minus)


def test_the_last_step_is_left_to_the_probes() -> None:
    job = attrs.evolve(JOB, readings=())
    found = asked(job, wished(job, OHMS), Model(job))
    assert not any(step.words.startswith("Measure") for step in found.before)
    assert any("take off plug CU" in step.words for step in found.before)
    assert any("spreads its spring" in text for text in found.cautions)


@pytest.mark.parametrize(
    ("point", "off", "words"),
    [
        ("CU.1", "CU", "Control unit plug, cavity 1; the plug is off"),
        ("T1.1", "CU", "Engine sensor plug, cavity 1; from the wire side, the plug stays on"),
        ("E1", "CU", "Earth on the engine"),
    ],
)
def test_where_a_probe_goes_and_how(point: str, off: str, words: str) -> None:
    assert touch(LOOM, Point.parse(point), frozenset(off.split())).words == words


def test_what_must_hold_names_the_plugs_that_are_off() -> None:
    probe = wished(JOB, OHMS)
    assert holds(LOOM, probe).endswith("off: plug CU (Control unit plug)")
    live = wished(JOB, {**OHMS, "quantity": "volt"})
    assert holds(LOOM, live).endswith("every plug on")


def test_a_state_is_held_without_its_temperatures_and_gets_those_typed() -> None:
    probe = Probe("ohm", Point("CU", "1"), Point("E1"), Setting.of(State.parse("engine_c=80"), ()))
    assert held(probe) == "key=off; throttle=shut"
    typed = {"engine_c": " 79,5 ", "air_c": ""}
    assert at_temperatures(held(probe), typed) == "key=off; throttle=shut; engine_c=79,5"


def test_temperatures_stand_ready_unless_it_is_to_be_warmer() -> None:
    last = attrs.evolve(JOB.readings[-1], state=State.parse("engine_c=20; air_c=18"))
    warm = Setting.of(State.parse("engine_c=80; air_c=18"), ())
    probe = Probe("ohm", Point("CU", "1"), Point("E1"), warm)
    assert temperatures(probe, last) == {"engine_c": "", "air_c": "18", "ambient_c": ""}
    assert set(temperatures(probe, None).values()) == {""}


@given(st.text(max_size=12))
def test_no_temperature_smuggles_anything_into_a_state(text: str) -> None:
    cells = {"quantity": "ohm", "plus": "CU.1", "minus": "E1", "value": "1"}
    try:
        checked("readings", cells, {"engine_c": text})
    except InputProblems:
        return
    state = State.parse(at_temperatures("key=off", {"engine_c": text}))
    assert state.settings["key"] == "off"
    assert set(state.settings) <= {"key", "throttle", "engine_c"}


def test_a_temperature_that_is_needed_is_missed() -> None:
    cells = {"quantity": "ohm", "plus": "CU.1", "minus": "E1", "value": "lots"}
    with pytest.raises(InputProblems) as refusal:
        checked("readings", cells, {"engine_c": "", "air_c": "900"}, needed="engine_c")
    assert [each.where.column for each in refusal.value.problems] == ["engine_c", "air_c", "value"]


@pytest.mark.parametrize(("state", "heat"), [("engine_c=18", "hot"), ("engine_c=82", "cold"),
                                             ("key=off", "hot")])  # fmt: skip
def test_the_other_heat(state: str, heat: str) -> None:
    assert other_heat(attrs.evolve(JOB.readings[0], state=State.parse(state))) == heat


def test_every_point_that_is_offered_can_be_asked_for() -> None:
    offered = points(JOB)
    assert offered
    assert len(offered) == len(set(offered))
    for point in offered:
        assert LOOM.exists(Point.parse(point)), point
