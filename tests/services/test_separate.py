"""Hot and cold together: series ohms, leak and shift of one thermistor circuit taken apart."""

from __future__ import annotations

import json

import attrs
import pytest

from loomwright.loom import Reading
from loomwright.services.separate import Separated
from loomwright.services.suspects import suspects
from sample.demo import demo_known
from sample.drawn import loom, reading

#   CU.1 --W1-- T.1 [TH] T.2 --W2-- CU.2
LOOM = loom(
    "W1 CU.1 T.1 300\nW2 CU.2 T.2 300",
    {"CU": "UNIT: 1 . 2", "T": "S: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e6\nTH S.1 S.2 thermistor curve=NTC tolerance_pct=3",
    temperatures={"S": "engine"},
)
LEADS = 0.1  # half of 0.2 ohm, which a value without a meter's name may or may not contain


def taken(*ohms: tuple[float, int]) -> tuple[Reading, ...]:
    return tuple(
        reading(f"R{n}", "ohm CU.1 CU.2", ohm, state=f"engine_c={celsius}")
        for n, (ohm, celsius) in enumerate(ohms)
    )


def separated(*readings: Reading) -> Separated:
    (found,) = suspects(attrs.evolve(LOOM, readings=readings)).separations
    return found


def test_series_ohms_are_the_same_hot_and_cold() -> None:
    """9394 + 100 at -10 °C and 324 + 100 at 80 °C: the curve's own rows."""
    found = separated(*taken((9494.0, -10), (424.0, 80)))
    best = found.explanations[0]
    assert best.causes == ("series",)
    assert best.series_ohm == pytest.approx(100.0, abs=3 * best.series_sd)
    assert best.series_sd < 20


def test_a_leak_pulls_the_cold_reading_down() -> None:
    """9394 beside 20 000 ohm is 6391.8 at -10 °C; 324 beside it 318.8 at 80 °C."""
    found = separated(*taken((6391.8, -10), (318.8, 80)))
    best = found.explanations[0]
    assert best.causes == ("leak",)
    assert best.leak_ohm == pytest.approx(20000.0, rel=0.1)


def test_a_sensor_of_another_temperature_shifts_both() -> None:
    """5887 and 213 ohm are the rows of 0 and 95 °C, read where it is 10 K colder and 15 hotter."""
    found = separated(*taken((2508.0, 10), (596.0, 50)))
    shift = next(each for each in found.explanations if each.causes == ("shift",))
    assert shift.shift_k == pytest.approx(10.0, abs=0.5)


def test_one_temperature_is_not_enough() -> None:
    readings = taken((2608.0, 20), (2610.0, 24))
    assert suspects(attrs.evolve(LOOM, readings=readings)).separations == ()


def test_a_bare_sensor_has_no_circuit_to_take_apart() -> None:
    bare = [
        reading(f"R{n}", "ohm S.1 S.2", ohm, state=f"engine_c={c}", off="CU T")
        for n, (ohm, c) in enumerate([(2508.0, 20), (324.0, 80)])
    ]
    assert suspects(attrs.evolve(LOOM, readings=tuple(bare))).separations == ()


def test_what_a_pass_band_would_let_through_is_named() -> None:
    """66 ohm still pass a published band of 250 to 390 ohm at 80 °C (trade notes 1.2)."""
    found = separated(*taken((2508.0 + 60, 20), (324.0 + 60, 80)))
    assert set(found.hidden_by_band) == {"R0", "R1"}
    gross = separated(*taken((2508.0 + 160, 20), (324.0 + 160, 80)))
    assert set(gross.hidden_by_band) == {"R0"}


def test_the_demo_names_about_112_ohm() -> None:
    """README: 112 ohm; the engine was 18.8 and 81.1 °C where 18 and 82 are written."""
    (found,) = demo_known().suspects.separations
    assert found.element == "NTC-E"
    best = found.explanations[0]
    assert best.causes == ("series",)
    assert best.series_ohm == pytest.approx(112.0, abs=2 * best.series_sd)
    json.dumps(found.json(), allow_nan=False)
