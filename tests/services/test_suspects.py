"""The report of suspects: its keys, its sums, and jobs that lack nearly everything."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import attrs
import pytest

from loomwright.loom import About, Job, MeterRange, Point, Reading
from loomwright.loom.errors import Stopped
from loomwright.services.diagnose import diagnose
from loomwright.services.expect import expect
from loomwright.services.sees import sees
from loomwright.services.suspects import SuspectsReport, ranked, suspects
from loomwright.services.trace import trace
from loomwright.storage.job_folder import JobFolder
from reference.looms import make_job
from sample import jobs
from sample.drawn import loom, reading

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"
KEYS = {
    "job", "readings_used", "sound", "unmodelled", "suspects", "next_readings", "stop",
    "contradictions",
}  # fmt: skip
SUSPECT = {"items", "kind", "at", "probability", "ohm", "because", "against"}
NEXT = {
    "quantity", "plus", "minus", "unplugged", "state", "gain_bits", "minutes", "expect", "cautions",
}  # fmt: skip
KINDS = {
    "open", "high_resistance", "short_to_earth", "short_to_supply", "short_between", "leak",
    "swapped", "drift", "wrong_device", "bypassed", "stuck_open", "stuck_closed",
}  # fmt: skip


def checked(report: SuspectsReport) -> dict[str, Any]:
    """The report as JSON, after every check that holds of any report."""
    text = json.dumps(report.json(), allow_nan=False)
    found: dict[str, Any] = json.loads(text)
    assert found.keys() >= KEYS
    assert 0 <= found["sound"] <= 1
    assert 0 <= found["unmodelled"] <= 1
    assert isinstance(found["stop"], bool)
    for suspect in found["suspects"]:
        assert suspect.keys() >= SUSPECT
        assert suspect["kind"] in KINDS
        assert 0 <= suspect["probability"] <= 1
        assert suspect["items"]
        if suspect["ohm"] is not None:
            assert suspect["ohm"] == sorted(suspect["ohm"])
    shares = [suspect["probability"] for suspect in found["suspects"]]
    assert shares == sorted(shares, reverse=True)
    for offered in found["next_readings"]:
        assert offered.keys() >= NEXT
        assert offered["quantity"] in ("ohm", "volt")
        assert offered["gain_bits"] >= 0
        assert offered["minutes"] > 0
        for row in offered["expect"]:
            assert row.keys() >= {"suspect", "low", "high"}
            assert -1 <= row["suspect"] < len(found["suspects"])
    return found


@pytest.fixture(scope="module")
def demo() -> Job:
    return JobFolder().read(DEMO)


@pytest.fixture(scope="module")
def report(demo: Job) -> dict[str, Any]:
    return checked(suspects(demo))


def test_the_two_faults_of_the_demo_lead(report: dict[str, Any]) -> None:
    """README: 112 ohm at cavity 1 of TE, and 4.85 kohm between cavities 1 and 3 of TH."""
    first, second = report["suspects"][:2]
    assert "TE.1" in first["items"]
    assert first["kind"] == "high_resistance"
    assert first["probability"] > 0.9
    assert first["ohm"][0] < 112 < first["ohm"][2]
    assert any(sentence.startswith("R11 ") for sentence in first["because"])
    assert {"TH.1", "TH.3"} <= set(second["items"])
    assert second["kind"] == "leak"
    assert second["ohm"][0] < 4850 < second["ohm"][2]


def test_the_suspects_alone_are_the_same() -> None:
    whole = suspects(jobs.job())
    assert ranked(diagnose(jobs.job())) == (whole.suspects, whole.claimed)


def test_the_demo_needs_one_more_reading_to_settle_the_leak(report: dict[str, Any]) -> None:
    """README: R09 makes TH suspect but does not settle it; one more reading parts the two."""
    assert not report["stop"]
    points = {offered[end] for offered in report["next_readings"] for end in ("plus", "minus")}
    assert points & {"CU.9", "CU.10", "CU.12", "TH.1", "TH.2", "TH.3"}


def test_words_name_plugs_by_their_labels(report: dict[str, Any]) -> None:
    words = report["next_readings"][0]["words"]
    assert any("red on" in step for step in words)
    assert any("(" in step for step in words)


#   CU.1 --W1-- T.1 [R 100] T.2 --W2-- CU.2      CU.3 --W3-- E1
LOOM = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2"},
    "IN UNIT.1 UNIT.3 input pull_up_ohm=1000 pull_up_v=5\nR S.1 S.2 resistor ohm=100",
    {"E1": "earth"},
)


def with_readings(job: Job, *readings: Reading) -> Job:
    return attrs.evolve(job, readings=readings)


def test_no_reading_gives_the_prior_and_a_first_reading() -> None:
    found = checked(suspects(LOOM))
    assert found["readings_used"] == 0
    assert found["next_readings"]
    assert not found["stop"]
    assert found["sound"] == pytest.approx(0.03 / 1.01, abs=1e-3)  # the shipped shares


def test_one_reading_of_an_open_circuit_blames_that_circuit() -> None:
    found = checked(suspects(with_readings(LOOM, reading("R1", "ohm CU.1 CU.2", "OL"))))
    assert found["readings_used"] == 1
    circuit = {"W1", "W2", "CU.1", "CU.2", "T.1", "T.2", "S"}
    blamed = sum(s["probability"] for s in found["suspects"] if set(s["items"]) <= circuit)
    assert blamed > 0.8
    assert all(s["kind"] in ("open", "high_resistance") for s in found["suspects"][:3])


def test_nothing_is_claimed_on_one_reading() -> None:
    found = suspects(with_readings(LOOM, reading("R1", "ohm CU.1 CU.2", "OL")))
    assert found.claimed is None


def bare(**tables: Any) -> Job:
    return Job(about=About(title="Nearly nothing"), **tables)


LACKING: dict[str, Job] = {
    "nothing at all": bare(),
    "plugs and no wire yet": loom("", {"CU": "UNIT: 1 2"}, ""),
    "inputs of a device that is not listed": attrs.evolve(LOOM, devices=()),
    "no plugs": attrs.evolve(
        loom("W1 S1 E1\nW2 S1 S2", {}, "", {"S1": "splice", "S2": "splice", "E1": "earth"}),
        readings=(reading("R1", "ohm S2 E1", 0.4, off=""),),
    ),
    "no readings": LOOM,
    "parts that nothing joins": attrs.evolve(
        loom(
            "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 A.1 B.1\nW4 A.2 B.2",
            {"CU": "UNIT: 1 2", "T": "S: 1 2", "A": "D: 1 2", "B": "E: 1 2"},
            """
            IN UNIT.1 UNIT.2 input ohm=1000
            R S.1 S.2 resistor ohm=100
            Q D.1 D.2 resistor ohm=10
            P E.1 E.2 resistor ohm=10
            """,
        ),
        readings=(reading("R1", "ohm CU.1 A.1", "OL"), reading("R2", "ohm CU.1 CU.2", 100.0)),
    ),
    "no meter": with_readings(LOOM, reading("R1", "ohm CU.1 CU.2", 101.0)),
    "a meter without specification": attrs.evolve(
        LOOM,
        meters=(MeterRange(meter="M", quantity="ohm", full_scale=2000.0),),
        readings=(attrs.evolve(reading("R1", "ohm CU.1 CU.2", 101.0), meter="M"),),
    ),
    "a point with nothing at it": with_readings(
        LOOM, reading("R1", "ohm CU.1 ZZ.9", "OL"), reading("R2", "ohm T.9 CU.1", 5.0)
    ),
    "no control unit": attrs.evolve(
        loom("W1 A.1 E1", {"A": "D: 1 2"}, "R D.1 D.2 resistor ohm=50", {"E1": "earth"}),
        readings=(reading("R1", "ohm A.1 E1", 0.3, off=""),),
    ),
    "a volt reading without battery": with_readings(
        LOOM, reading("R1", "volt CU.1 CU.3", 0.0, state="key=on", off="")
    ),
    "a wire to itself": loom("W1 S1 S1", {}, "", {"S1": "splice"}),
    "a reading of one point": with_readings(LOOM, reading("R1", "ohm CU.1 CU.1", 0.2)),
}


@pytest.mark.parametrize("name", LACKING)
def test_jobs_that_lack_nearly_everything_are_answered(name: str) -> None:
    job = LACKING[name]
    checked(suspects(job))
    for row in expect(job, include_untaken=True):
        json.dumps(row.json(), allow_nan=False)
    json.dumps(sees(job).json(), allow_nan=False)
    points = diagnose(job).diagnosis.model.network.points
    for point in points:
        if not point.owner.startswith("~"):
            json.dumps(trace(job, str(point)).json(), allow_nan=False)


def test_a_reading_at_nothing_is_set_aside_with_its_reason() -> None:
    report = suspects(LACKING["a point with nothing at it"])
    assert [name for name, _ in report.set_aside] == ["R1", "R2"]
    assert report.readings_used == 0


def test_a_reading_that_the_gate_refuses_is_set_aside() -> None:
    job = with_readings(LOOM, reading("R1", "ohm CU.1 CU.2", 100.0, state="key=on"))
    report = suspects(job)
    assert report.readings_used == 0
    ((name, why),) = report.set_aside
    assert name == "R1"
    assert "supply" in why


def test_good_readings_lower_the_suspicion_of_what_they_pass_through() -> None:
    good = [reading("R1", "ohm CU.1 CU.2", 100.2), reading("R2", "ohm CU.3 E1", 0.25)]
    before, after = suspects(LOOM), suspects(with_readings(LOOM, *good, *good))
    assert after.sound > before.sound
    assert after.coverage > before.coverage == 0.0


def test_progress_is_told_and_may_stop_the_work(demo: Job) -> None:
    told: list[tuple[str, float]] = []

    def going_on(what: str, share: float) -> bool:
        told.append((what, share))
        return True

    diagnose(demo, going_on)
    shares = [share for _, share in told]
    assert len(shares) == len(demo.readings)
    assert shares == sorted(shares)
    assert all(0 <= share <= 1 for share in shares)

    def stopping(what: str, share: float) -> bool:
        return share < 0.5

    with pytest.raises(Stopped):
        suspects(demo, stopping)


def test_a_whole_random_job_reads_through() -> None:
    job = make_job(24, 1)
    readings = tuple(
        Reading(
            reading=f"R{n}", quantity="ohm", plus=Point("CU", name), minus=Point("E1"),
            unplugged=("CU",), value=math.inf if n % 2 else 5.0,
        )
        for n, name in enumerate(job.plugs[0].face.cavities[:6])
    )  # fmt: skip
    checked(suspects(attrs.evolve(job, readings=readings)))
