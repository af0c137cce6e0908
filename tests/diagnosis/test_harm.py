"""Each rule of the harm gate: what it refuses or warns of, and what it lets pass."""

from __future__ import annotations

import pytest

from loomwright.diagnosis.harm import RULES, Attempt, cautions, control_plugs, permit
from loomwright.loom import Point, State, Topology
from loomwright.loom.errors import Refused
from sample import jobs as sample
from sample.drawn import loom

LOOM = Topology(sample.job())  # control unit ECU on plug CU, sensors on T1 and T2, pair X1/X2
INJECTION = Topology(
    loom(
        "W1 CU.1 I.1\nW2 I.2 E1\nW3 CU.2 H.1\nW4 H.2 E1",
        {"CU": "UNIT: 1 2", "I": "INJ: 1 2", "H": "HEAT: 1 2"},
        """
        IN UNIT.1 UNIT.2 input ohm=1e4
        C INJ.1 INJ.2 winding ohm=2.4
        R HEAT.1 HEAT.2 winding ohm=90
        """,
        {"E1": "earth"},
    )
)
ALL_OFF = "CU T1 T2"


def attempt(
    quantity: str, points: str, state: str = "", off: str = "", loom_: Topology = LOOM
) -> Attempt:
    return Attempt(
        loom_,
        quantity,  # type: ignore[arg-type]
        tuple(Point.parse(text) for text in points.split()),
        State.parse(state),
        frozenset(off.split()),
    )


REFUSED = {
    "ohms_with_supply": [
        attempt("ohm", "T1.1 E1", "key=on", "CU"),
        attempt("megohm", "T1.1 E1", "key=start", ALL_OFF),
    ],
    "ohms_with_control_unit": [attempt("ohm", "T1.1 E1"), attempt("ohm", "T1.1 E1", "", "T1")],
    "megohm_with_electronics": [
        attempt("megohm", "T1.1 E1", "", "CU"),
        attempt("megohm", "T1.1 E1", "", "CU T1"),
    ],
    "battery_on_winding": [
        attempt("feed", "INJ.1 E1", "key=on", "CU", INJECTION),
        attempt("feed", "I.1 E1", "key=on", "CU I", INJECTION),
    ],
}
WARNED = {
    "plug_with_key_off": [attempt("volt", "CU.3 E1", "key=on", "CU")],
    "fuel_with_key_on": [attempt("volt", "T1.1 E1", "key=on")],
    "turning_engine": [
        attempt("volt", "T1.1 E1", "key=start"),
        attempt("ohm", "T1.1 E1", "crank=tr1", "CU"),
    ],
    "hot_engine": [attempt("ohm", "T1.1 E1", "engine_c=80", "CU")],
    "probing_receptacle": [attempt("ohm", "CU.1 E1", "", "CU")],
}
PASSED = [
    attempt("ohm", "T1.1 E1", "engine_c=20", "CU"),
    attempt("ohm", "T2.1 T2.2", "throttle=open", "CU"),
    attempt("ohm", "BP E1", "key=off; engine_c=49.9", "CU"),
    attempt("volt", "BP E1", "key=off"),
    attempt("feed", "HEAT.1 E1", "key=off", "CU", INJECTION),
]


def rules_of(each: Attempt) -> list[str]:
    return [said.rule for said in cautions(each)]


@pytest.mark.parametrize("rule", REFUSED)
def test_what_can_hurt_is_refused_with_a_way_round(rule: str) -> None:
    for each in REFUSED[rule]:
        said = {caution.rule: caution for caution in cautions(each)}
        assert said[rule].refuses
        with pytest.raises(Refused) as refusal:
            permit(each)
        assert refusal.value.instead
        assert refusal.value.expected == refusal.value.instead


@pytest.mark.parametrize("rule", WARNED)
def test_what_needs_care_passes_with_a_caution(rule: str) -> None:
    for each in WARNED[rule]:
        said = {caution.rule: caution for caution in permit(each)}
        assert not said[rule].refuses
        assert said[rule].reason
        assert said[rule].instead


@pytest.mark.parametrize("each", PASSED)
def test_what_is_harmless_passes_in_silence(each: Attempt) -> None:
    assert permit(each) == ()


def test_every_rule_has_its_case() -> None:
    seen = {rule for group in (REFUSED, WARNED) for cases in group.values()
            for each in cases for rule in rules_of(each)}  # fmt: skip
    assert seen == REFUSED.keys() | WARNED.keys()
    assert len(RULES) == len(seen)


def test_refusals_come_first_and_say_their_own_alternative() -> None:
    each = attempt("ohm", "CU.1 E1", "key=on; engine_c=90", "T1")
    said = cautions(each)
    assert [caution.refuses for caution in said] == sorted((c.refuses for c in said), reverse=True)
    with pytest.raises(Refused, match="supply feeds the loom"):
        permit(each)


@pytest.mark.parametrize(
    ("state", "rules"),
    [("engine_c=50", ["hot_engine"]), ("engine_c=49.9", []), ("air_c=80", [])],
)
def test_hot_starts_at_fifty_degrees(state: str, rules: list[str]) -> None:
    assert rules_of(attempt("ohm", "T1.1 E1", state, "CU")) == rules


def test_control_plugs_are_those_on_a_device_with_inputs() -> None:
    assert control_plugs(LOOM) == ("CU",)
    assert control_plugs(Topology(loom("W1 A.1 E1", {"A": ": 1"}, "", {"E1": "earth"}))) == ()
