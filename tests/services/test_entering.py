"""Rows that people enter one at a time."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import InputProblems, NotFound
from loomwright.loom.errors import Conflict
from loomwright.services.entering import (
    Bench,
    enter,
    enter_all,
    next_name,
    row_of,
    take_away,
)
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


def reading(**cells: str) -> dict[str, str]:
    return {"quantity": "ohm", "plus": "CU.1", "minus": "CU.4", "value": "2600"} | cells


def test_a_reading_without_a_name_gets_the_next_one(bench: Bench) -> None:
    kept = enter(bench, JOB, "readings", reading())
    assert kept.cells["reading"] == "R4"
    assert bench.jobs.read(JOB).readings[-1].reading == "R4"


def test_two_readings_entered_one_after_the_other_are_both_kept(bench: Bench) -> None:
    first, second = (enter(bench, JOB, "readings", reading(value=text)) for text in "12")
    assert [first.cells["reading"], second.cells["reading"]] == ["R4", "R5"]


def test_everything_wrong_with_a_row_is_told_and_nothing_is_kept(bench: Bench) -> None:
    before = bench.jobs.read(JOB)
    with pytest.raises(InputProblems) as caught:
        enter(bench, JOB, "readings", reading(value="much", quantity="amp", plus=""))
    assert {each.where.column for each in caught.value.problems} == {"value", "quantity", "plus"}
    assert bench.jobs.read(JOB) == before


def test_what_does_not_fit_the_rest_is_refused_and_nothing_is_kept(bench: Bench) -> None:
    before = bench.jobs.read(JOB)
    with pytest.raises(InputProblems) as caught:
        enter(bench, JOB, "readings", reading(plus="T44.1"))
    (problem,) = caught.value.problems
    assert (problem.where.table, problem.where.column) == ("readings", "plus")
    assert bench.jobs.read(JOB) == before


def test_it_may_be_kept_all_the_same_and_is_told_then(bench: Bench) -> None:
    kept = enter(bench, JOB, "readings", reading(plus="T44.1"), anyhow=True)
    assert not kept.warnings[0].warning
    with pytest.raises(InputProblems):
        bench.jobs.read(JOB)
    # The old fault does not stand in the way of other rows.
    sound = reading(unplugged="CU", state="key=off; engine_c=18")
    assert enter(bench, JOB, "readings", sound).warnings == ()


def test_a_second_row_of_one_name_is_refused(bench: Bench) -> None:
    with pytest.raises(InputProblems):
        enter(bench, JOB, "readings", reading(reading="R1"))


def test_two_people_change_different_fields(bench: Bench) -> None:
    row = row_of(bench.rows.rows(JOB, "wires"), "wire", "W1")
    enter(bench, JOB, "wires", {"length_mm": "1250"}, key=row.key, before=row.cells)
    enter(bench, JOB, "wires", {**row.cells, "colour": "RD"}, key=row.key, before=row.cells)
    wire = bench.jobs.read(JOB).wires[0]
    assert (wire.length_mm, wire.colour) == (1250, "RD")


def test_two_people_change_one_field(bench: Bench) -> None:
    row = row_of(bench.rows.rows(JOB, "wires"), "wire", "W1")
    enter(bench, JOB, "wires", {"length_mm": "1250"}, key=row.key, before=row.cells)
    with pytest.raises(Conflict) as caught:
        enter(bench, JOB, "wires", {"length_mm": "1300"}, key=row.key, before=row.cells)
    (disputed,) = caught.value.disputed
    assert (disputed.before, disputed.theirs, disputed.yours) == ("1200", "1250", "1300")
    assert bench.jobs.read(JOB).wires[0].length_mm == 1250


def test_a_row_that_another_took_away(bench: Bench) -> None:
    row = row_of(bench.rows.rows(JOB, "readings"), "reading", "R1")
    take_away(bench, JOB, "readings", row.key)
    with pytest.raises(Conflict, match="took this row away"):
        enter(bench, JOB, "readings", {"note": "x"}, key=row.key, before=row.cells)
    with pytest.raises(NotFound):
        take_away(bench, JOB, "readings", row.key)


def test_what_others_speak_of_is_not_taken_away(bench: Bench) -> None:
    plug = row_of(bench.rows.rows(JOB, "plugs"), "plug", "T1")
    with pytest.raises(InputProblems):
        take_away(bench, JOB, "plugs", plug.key)
    assert len(bench.jobs.read(JOB).plugs) == 5
    take_away(bench, JOB, "plugs", plug.key, anyhow=True)
    assert len(bench.jobs.inspect(JOB)[0].plugs) == 4


@given(st.lists(st.integers(0, 300).map(lambda number: f"R{number}"), unique=True))
def test_the_next_name_is_nobodys(names: list[str]) -> None:
    assert next_name(names, "R1") not in names


@pytest.mark.parametrize(
    ("names", "expected"),
    [((), "R1"), (("R1", "R7"), "R8"), (("hot1", "X9"), "R1"), (("R",), "R1"), (("R10",), "R11")],
)
def test_the_next_name_follows_the_highest(names: tuple[str, ...], expected: str) -> None:
    assert next_name(names, "R1") == expected


def test_rows_that_belong_together_are_kept_all_or_none(bench: Bench) -> None:
    point = {"run": "RUN1", "seconds": "0", "temperature_c": "23"}
    before = bench.jobs.read(JOB)
    with pytest.raises(InputProblems) as caught:
        enter_all(bench, JOB, "warmings", [point, point | {"seconds": "x"}, point | {"run": ""}])
    assert {each.where.column for each in caught.value.problems} == {"seconds", "run"}
    assert bench.jobs.read(JOB) == before
    enter_all(bench, JOB, "warmings", [point, point | {"seconds": "9", "temperature_c": "40"}])
    kept = bench.jobs.read(JOB).warmings
    assert [row.seconds for row in kept[len(before.warmings) :]] == [0, 9]


def test_rows_that_no_longer_hold_together_are_not_kept(bench: Bench) -> None:
    before = bench.jobs.read(JOB)
    point = {"run": "RUN1", "plug": "T44", "seconds": "0", "temperature_c": "23"}
    with pytest.raises(InputProblems):
        enter_all(bench, JOB, "warmings", [point])
    assert bench.jobs.read(JOB) == before
