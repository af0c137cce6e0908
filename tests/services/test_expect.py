"""Bands and verdicts on the demo job, as its own notes say how the readings were made."""

from __future__ import annotations

import json
import math
from pathlib import Path

import attrs
import pytest

from loomwright.loom import Job
from loomwright.services.expect import Expectation, expect
from loomwright.storage.job_folder import JobFolder
from sample.drawn import loom, reading

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"

# examples/README.md: what a sound loom reads at the stated temperatures, calculated there by node
# voltages (`tests/reference/dense.py`), leads apart.
SOUND = {
    "R01": 12.50, "R02": 0.04, "R03": math.inf, "R04": 89.4, "R05": 347.4, "R06": 2718.0,
    "R07": 322.9, "R08": 0.34, "R09": math.inf, "R10": 2.85, "R11": 306.1, "R12": 306.0,
    "R13": 306.0, "R14": 2.98,
}  # fmt: skip
LEADS = 0.2  # the demo's meter row; every reading at up to 400 ohm contains it


@pytest.fixture(scope="module")
def demo() -> Job:
    return JobFolder().read(DEMO)


@pytest.fixture(scope="module")
def rows(demo: Job) -> dict[str, Expectation]:
    return {str(row.reading): row for row in expect(demo)}


def test_nominal_is_what_a_sound_loom_reads(rows: dict[str, Expectation]) -> None:
    assert rows.keys() == SOUND.keys()
    for name, row in rows.items():
        leads = LEADS if row.quantity == "ohm" else 0.0
        # The notes' last printed digit.
        assert row.nominal == pytest.approx(SOUND[name] + leads, rel=1e-3, abs=0.006), name
        assert row.low <= row.nominal <= row.high


def test_only_what_the_two_faults_move_is_outside_its_band(rows: dict[str, Expectation]) -> None:
    """112 ohm in series at TE.1 shows hot, not cold; 4.85 kohm across TH.1 and TH.3 is no open."""
    odd = {name: row.verdict for name, row in rows.items() if row.verdict != "as expected"}
    assert odd == {"R09": "not open", "R11": "too high", "R12": "too high"}


def test_the_injector_group_names_its_side_paths(rows: dict[str, Expectation]) -> None:
    """Three injectors of equal ohms, each with its resistor: a third of the current each."""
    paths = {path.device: path.share for path in rows["R10"].side_paths}
    assert {"INJ1", "INJ3"} <= paths.keys() or {"INJ3", "INJ5"} <= paths.keys()
    for share in paths.values():
        assert share == pytest.approx(1 / 3, abs=0.01)
    assert rows["R06"].side_paths == ()


def test_untaken_readings_are_offered_on_request_and_not_twice(demo: Job) -> None:
    every = expect(demo, include_untaken=True)
    untaken = [row for row in every if row.reading is None]
    assert untaken
    assert {row.verdict for row in untaken} == {"not taken"}
    assert all(row.taken is None and math.isfinite(row.nominal) for row in untaken)
    assert all(row.unplugged == ("CU",) for row in untaken)
    taken = {(row.quantity, row.plus, row.minus) for row in every if row.reading}
    assert not taken & {(row.quantity, row.plus, row.minus) for row in untaken}


def test_rows_are_json_with_over_range_as_text(demo: Job) -> None:
    rows = [row.json() for row in expect(demo, include_untaken=True)]
    json.loads(json.dumps(rows, allow_nan=False))
    by_name = {row["reading"]: row for row in rows}
    assert (by_name["R03"]["low"], by_name["R03"]["taken"]) == ("OL", "OL")
    assert set(by_name["R01"]) == {
        "reading", "quantity", "plus", "minus", "unplugged", "state", "low", "nominal", "high",
        "taken", "verdict", "side_paths", "cautions", "drop",
    }  # fmt: skip


#   CU.1 --W1-- T.1 [100] T.2 --W2-- CU.2      BP --W3-- CU.3
LOOM = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 BP CU.3",
    {"CU": "UNIT: 1 2 3", "T": "S: 1 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e6\nR S.1 S.2 resistor ohm=100 tolerance_pct=5",
    {"BP": "battery_plus", "E1": "earth"},
)


@pytest.mark.parametrize(
    ("text", "value", "verdict"),
    [
        ("ohm CU.1 CU.2", 101.0, "as expected"),
        ("ohm CU.1 CU.2", 140.0, "too high"),
        ("ohm CU.1 CU.2", 60.0, "too low"),
        ("ohm CU.1 CU.2", "OL", "open"),
        ("ohm CU.1 CU.3", "OL", "as expected"),
        ("ohm CU.1 CU.3", 5000.0, "not open"),
    ],
)
def test_each_verdict(text: str, value: float | str, verdict: str) -> None:
    job = attrs.evolve(LOOM, readings=(reading("R1", text, value),))
    (row,) = expect(job)
    assert row.verdict == verdict


def test_the_band_covers_tolerance_twice_over() -> None:
    """5 % as a rectangle is 2.9 % (GUM 4.3.7); twice that lies inside the band, 12 % outside."""
    job = attrs.evolve(LOOM, readings=(reading("R1", "ohm CU.1 CU.2", 100.0),))
    (row,) = expect(job)
    assert row.low < 100 * (1 - 0.057)
    assert row.high > 100 * (1 + 0.057)
    assert row.low > 88
    assert row.high < 112


def test_ohms_with_the_supply_on_are_refused() -> None:
    job = attrs.evolve(LOOM, readings=(reading("R1", "ohm CU.1 CU.2", 100.0, state="key=on"),))
    (row,) = expect(job)
    assert row.verdict == "refused"
    assert any(caution.refuses for caution in row.cautions)


def test_a_point_with_nothing_is_over_range_and_no_error() -> None:
    job = attrs.evolve(LOOM, readings=(reading("R1", "ohm T.1 ZZ.9", "OL"),))
    (row,) = expect(job)
    assert row.nominal == math.inf
    json.dumps(row.json(), allow_nan=False)
