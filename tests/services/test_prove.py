"""Before and after: what counts as better, and the uncertainty of the change."""

from __future__ import annotations

import math
from pathlib import Path

import attrs
import numpy as np
import pytest

from loomwright.loom import Job, MeterRange, Reading
from loomwright.services.expect import Expectation
from loomwright.services.prove import Proof, ProveReport, off_in_bands, prove
from loomwright.storage.job_folder import JobFolder
from sample.drawn import COOLANT, loom, reading

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"

#   CU.1 --W1-- T.1 [thermistor] T.2 --W2-- CU.2      CU.3 --W3-- V.1 [47] V.2 --W4-- E1
LOOM = attrs.evolve(
    loom(
        "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 E1",
        {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2", "V": "D: 1 . 2"},
        "IN UNIT.1 UNIT.2 input ohm=1e5\n"
        "TH S.1 S.2 thermistor curve=NTC\n"
        "Q D.1 D.2 resistor ohm=47",
        {"E1": "earth"},
        temperatures={"S": "engine"},
    ),
    meters=(MeterRange(meter="M", quantity="ohm", full_scale=40000.0, percent=1.0, counts=2.0,
                       resolution=0.1, leads_ohm=0.0),),
)  # fmt: skip
SENSOR, COIL = "ohm CU.1 CU.2", "ohm CU.3 E1"


def at(name: str, text: str, value: float, celsius: float = 80.0) -> Reading:
    return attrs.evolve(reading(name, text, value, state=f"engine_c={celsius:g}"), meter="M")


def compared(before: list[Reading], after: list[Reading], job: Job = LOOM) -> ProveReport:
    return prove(attrs.evolve(job, readings=tuple(before), proof=tuple(after)))


def one(before: Reading, after: Reading) -> Proof:
    (found,) = compared([before], [after]).proofs
    return found


@pytest.mark.parametrize(
    ("text", "before", "after", "verdict"),
    [
        (SENSOR, 440.0, 326.0, "better"),
        (SENSOR, 326.0, 324.0, "same"),
        (SENSOR, 326.0, 440.0, "worse"),
        (SENSOR, 440.0, 438.0, "not shown"),
        (SENSOR, math.inf, 326.0, "better"),
        (SENSOR, 326.0, math.inf, "worse"),
        (SENSOR, math.inf, math.inf, "not shown"),
        (COIL, 60.0, 47.5, "better"),
        (COIL, 600.0, 60.0, "better"),
    ],
)
def test_verdicts(text: str, before: float, after: float, verdict: str) -> None:
    assert one(at("R1", text, before), at("R1", text, after)).verdict == verdict


def test_a_value_at_another_temperature_is_held_against_its_own() -> None:
    """2508 ohm at 20 °C and 324 ohm at 80 °C are one and the same good sensor."""
    found = one(at("R1", SENSOR, 2508.0, 20.0), at("R1", SENSOR, 324.0, 80.0))
    assert found.verdict == "same"
    assert found.change is not None
    assert abs(found.change) < 2.0


def test_the_uncertainty_is_the_scatter_of_repeated_comparisons() -> None:
    """Monte Carlo of two days with one meter and one sensor (JCGM 101:2008, propagation)."""
    rng, draws = np.random.default_rng(5), 20000
    celsius, ohm = (np.array(column, float) for column in zip(*COOLANT, strict=True))
    # Near 80 °C the curve falls by this much per kelvin, by central difference of its logarithm.
    per_k = np.interp(80.0, celsius, np.gradient(np.log(ohm), celsius))
    gain = rng.uniform(-0.01, 0.01, draws)

    def day(added: float) -> np.ndarray:
        true = 324.0 * np.exp(per_k * rng.normal(0.0, 1.5, draws)) + added
        return true * (1.0 + gain) + rng.uniform(-0.2, 0.2, draws) + rng.normal(0.0, 0.05, draws)

    scatter = float(np.std(day(0.0) - day(110.0)))
    found = one(at("R1", SENSOR, 434.0), at("R1", SENSOR, 324.0))
    assert found.uncertainty is not None
    assert found.uncertainty / 2.0 == pytest.approx(scatter, rel=0.1)


def test_probes_the_other_way_round_are_the_same_ohms() -> None:
    found = one(at("R1", "ohm CU.1 CU.2", 440.0), at("P1", "ohm CU.2 CU.1", 326.0))
    assert found.verdict == "better"


def test_among_several_the_nearest_in_temperature_is_compared() -> None:
    before = [at("R1", SENSOR, 2508.0, 20.0), at("R2", SENSOR, 434.0, 82.0)]
    (found,) = compared(before, [at("P1", SENSOR, 330.0, 79.0)]).proofs
    assert found.before is not None
    assert found.before.reading == "R2"


def test_what_was_not_read_again_is_named_and_nothing_is_proved() -> None:
    report = compared([at("R1", SENSOR, 440.0), at("R2", COIL, 90.0)], [at("R1", SENSOR, 326.0)])
    assert report.unproved == ("R2",)
    assert not report.proved
    done = compared(
        [at("R1", SENSOR, 440.0), at("R2", COIL, 90.0)],
        [at("R1", SENSOR, 326.0), at("R2", COIL, 47.4)],
    )
    assert done.unproved == ()
    assert done.proved


def test_without_a_reading_before_only_the_band_counts() -> None:
    report = compared([], [at("P1", COIL, 47.2), at("P2", SENSOR, 900.0)])
    assert [proof.verdict for proof in report.proofs] == ["in order", "not in order"]
    assert not report.proved


def test_no_reading_after_the_work_proves_nothing() -> None:
    report = compared([at("R1", COIL, 47.2)], [])
    assert report.proofs == ()
    assert not report.proved


def test_a_reading_against_the_rules_is_set_aside() -> None:
    live = attrs.evolve(at("P1", COIL, 47.0), state=at("x", COIL, 1).state.changed(key="on"))
    report = compared([at("R1", COIL, 90.0)], [live])
    assert [name for name, _ in report.set_aside] == ["P1"]
    assert report.unproved == ("R1",)


def test_the_demo_shows_the_terminal_put_right_and_the_damp_still_there() -> None:
    report = prove(JobFolder().read(DEMO))
    assert {proof.after.reading: proof.verdict for proof in report.proofs} == {
        "R11": "better", "R12": "better", "R06": "same",
    }  # fmt: skip
    assert report.unproved == ("R09",)


def test_edges_of_the_band_are_one_whatever_the_temperature() -> None:
    for celsius in (20.0, 80.0):
        nominal, row = _band(celsius)
        assert off_in_bands(attrs.evolve(row, taken=nominal)) == pytest.approx(0.0)
        assert off_in_bands(attrs.evolve(row, taken=row.low)) == pytest.approx(-1.0)
        assert off_in_bands(attrs.evolve(row, taken=row.high)) == pytest.approx(1.0)


def test_over_range_has_a_side() -> None:
    _, row = _band(20.0)
    broken = attrs.evolve(row, taken=math.inf, verdict="open")
    assert off_in_bands(broken) == math.inf
    open_ = attrs.evolve(row, low=math.inf, nominal=math.inf, high=math.inf)
    assert off_in_bands(attrs.evolve(open_, taken=900.0, verdict="not open")) == -math.inf
    assert off_in_bands(attrs.evolve(open_, taken=math.inf, verdict="as expected")) == 0.0
    assert off_in_bands(attrs.evolve(row, taken=None)) is None


def _band(celsius: float) -> tuple[float, Expectation]:
    row = compared([], [at("R1", SENSOR, 500.0, celsius)]).proofs[0].after
    return row.nominal, row
