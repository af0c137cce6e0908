"""A warming run as it is typed: how lines are read, what is refused, all of it or nothing."""

from __future__ import annotations

import pytest

from loomwright.loom import InputProblems
from loomwright.services.entering import Bench
from loomwright.services.warming_log import POINTS, log_run
from loomwright.storage.memory import JobMemory, MemoryRows
from loomwright.storage.memory.rows import Kept
from sample import jobs as sample

JOB = "a job"


@pytest.fixture
def bench() -> Bench:
    kept: Kept = {}
    made = Bench(JobMemory(kept), MemoryRows(kept))
    made.jobs.write(JOB, sample.job())
    return made


@pytest.fixture
def plug() -> str:
    return str(sample.job().plugs[0].plug)


def told(plug: str, **cells: str) -> dict[str, str]:
    return {"plug": plug, "boot": "off", "air_c": "120", "note": ""} | cells


@pytest.mark.parametrize(
    "lines",
    ["0 23\n10 31,5\n20 38", "0\t23\n10\t31.5\n\n20\t38\n", "0;23\r\n10;31,5\r\n20; 38",
     "0, 23\n10, 31.5\n20, 38", "  0   23\n10  31.5  \n 20 38"],
)  # fmt: skip
def test_lines_are_read_however_the_two_numbers_stand_apart(
    bench: Bench, plug: str, lines: str
) -> None:
    kept = log_run(bench, JOB, told(plug), lines)
    rows = bench.jobs.read(JOB).warmings[-3:]
    assert kept.readings == 3
    assert [(row.seconds, row.temperature_c) for row in rows] == [(0, 23), (10, 31.5), (20, 38)]
    assert {(row.run, row.plug, row.boot, row.air_c) for row in rows} == {
        (kept.run, plug, "off", 120)
    }


def test_every_run_gets_a_name_of_its_own_and_a_note_stands_once(bench: Bench, plug: str) -> None:
    first = log_run(bench, JOB, told(plug, note="slid back"), "0 23\n10 40")
    second = log_run(bench, JOB, told(plug, boot="on"), "0 23\n10 25")
    assert first.run != second.run
    notes = [row.note for row in bench.jobs.read(JOB).warmings if row.run == first.run]
    assert notes == ["slid back", None]


def test_all_that_is_wrong_is_told_at_once_and_nothing_is_kept(bench: Bench) -> None:
    before = bench.jobs.read(JOB)
    with pytest.raises(InputProblems) as caught:
        log_run(bench, JOB, {"air_c": "warm"}, "0 23\n10\n20 hot\n-5 30\n0 24")
    problems = caught.value.problems
    assert {each.where.column for each in problems} == {"plug", "boot", "air_c", POINTS}
    lines = [each.what for each in problems if each.where.column == POINTS]
    assert len(lines) == 4
    for line, said in zip(lines, ("line 2", "line 3", "line 4", "lines 1 and 5"), strict=True):
        assert line.startswith(said)
    assert all(each.expected for each in problems)
    assert bench.jobs.read(JOB) == before


def test_a_run_without_readings_is_none(bench: Bench, plug: str) -> None:
    with pytest.raises(InputProblems) as caught:
        log_run(bench, JOB, told(plug), " \n\n")
    assert [each.where.column for each in caught.value.problems] == [POINTS]


def test_a_plug_that_the_job_does_not_have_is_refused_with_all_rows(bench: Bench) -> None:
    before = bench.jobs.read(JOB)
    with pytest.raises(InputProblems) as caught:
        log_run(bench, JOB, told("T44"), "0 23\n10 31")
    assert {each.where.column for each in caught.value.problems} == {"plug"}
    assert bench.jobs.read(JOB) == before
