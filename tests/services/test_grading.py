"""Grades: what can be looked at, and one row for each aspect whoever enters it first."""

from __future__ import annotations

import pytest

from loomwright.loom import InputProblems
from loomwright.loom.errors import Conflict
from loomwright.services.entering import Bench, enter, take_away
from loomwright.services.grading import Aspect, aspects, grade_item
from loomwright.services.kept_rows import Cells, KeptRow
from loomwright.storage.memory import JobMemory
from loomwright.storage.memory.rows import Kept, MemoryRows
from sample import jobs as sample

REF = "a job"


@pytest.fixture
def bench() -> Bench:
    kept: Kept = {}
    made = Bench(JobMemory(kept), MemoryRows(kept))
    made.jobs.write(REF, sample.job())
    for row in made.rows.rows(REF, "survey"):
        made.rows.remove(REF, "survey", row.key)
    return made


def rows(bench: Bench) -> tuple[KeptRow, ...]:
    return bench.rows.rows(REF, "survey")


def looked(bench: Bench, item: str) -> dict[str, Aspect]:
    job, _ = bench.jobs.inspect(REF)
    return {each.aspect: each for each in aspects(job, rows(bench), item)}


def give(bench: Bench, item: str, aspect: str, typed: Cells, before: Cells | None = None) -> None:
    grade_item(bench, REF, item, aspect, typed, before or {})


@pytest.mark.parametrize(
    ("item", "wanted"),
    [
        ("T1", ["boot", "shell", "terminal"]),
        ("W1", ["insulation", "strands"]),
        ("E1", ["terminal"]),
        ("S1", ["insulation"]),
        ("NTC1", ["shell", "terminal"]),
    ],
)
def test_each_kind_of_item_has_its_aspects(bench: Bench, item: str, wanted: list[str]) -> None:
    found = looked(bench, item)
    assert list(found) == wanted
    assert all(each.grade is None and not each.said for each in found.values())


def test_a_plug_without_a_boot_by_design_is_not_asked_for_one(bench: Bench) -> None:
    row = next(row for row in bench.rows.rows(REF, "plugs") if row.cells["plug"] == "T1")
    enter(bench, REF, "plugs", {"boot": "none"}, key=row.key)
    assert list(looked(bench, "T1")) == ["shell", "terminal"]


def test_every_grade_is_told_in_words(bench: Bench) -> None:
    looks = looked(bench, "T1")["boot"].looks
    assert [grade for grade, _ in looks] == ["0 as new", "1 aged", "2 worn", "3 bad", "4 danger"]
    assert len({words for _, words in looks}) == 5


def test_the_first_grade_makes_a_row_and_the_next_changes_it(bench: Bench) -> None:
    give(bench, "T1", "boot", {"grade": "2"})
    give(bench, "T1", "boot", {"grade": "3"}, {"grade": "2"})
    (row,) = rows(bench)
    assert row.cells == {"item": "T1", "aspect": "boot", "grade": "3"}
    found = looked(bench, "T1")["boot"]
    assert found.grade == 3
    assert found.said.startswith("3 bad: torn through")
    assert "Usually: renew the boot" in found.said


def test_a_note_leaves_the_grade_as_it_is(bench: Bench) -> None:
    give(bench, "T1", "boot", {"grade": "2"})
    give(bench, "T1", "boot", {"note": "hard"}, {"note": ""})
    assert looked(bench, "T1")["boot"].cells["grade"] == "2"
    assert looked(bench, "T1")["boot"].cells["note"] == "hard"


def test_a_wire_is_graded_by_its_strands(bench: Bench) -> None:
    give(bench, "W1", "strands", {"strands_left": "22"})
    found = looked(bench, "W1")["strands"]
    assert found.grade == 2
    assert "by the strands left" in found.said


def test_two_people_who_grade_at_once_are_shown_both_grades(bench: Bench) -> None:
    give(bench, "T1", "boot", {"grade": "2"}, {"grade": ""})
    with pytest.raises(Conflict) as caught:
        give(bench, "T1", "boot", {"grade": "3"}, {"grade": ""})
    (disputed,) = caught.value.disputed
    assert (disputed.before, disputed.theirs, disputed.yours) == ("", "2", "3")


def test_a_grade_that_another_took_away_is_not_brought_back_in_silence(bench: Bench) -> None:
    give(bench, "T1", "boot", {"grade": "2"})
    take_away(bench, REF, "survey", rows(bench)[0].key)
    with pytest.raises(Conflict) as caught:
        give(bench, "T1", "boot", {"grade": "3"}, {"grade": "2"})
    assert caught.value.disputed[0].theirs == ""
    assert not rows(bench)


@pytest.mark.parametrize(
    ("item", "aspect", "typed", "column"),
    [
        ("T1", "boot", {"grade": "5"}, "grade"),
        ("T1", "lid", {"grade": "1"}, "aspect"),
        ("T9", "boot", {"grade": "1"}, "item"),
        ("W1", "strands", {"strands_left": "25"}, "strands_left"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(
    bench: Bench, item: str, aspect: str, typed: Cells, column: str
) -> None:
    with pytest.raises(InputProblems) as caught:
        give(bench, item, aspect, typed)
    assert column in {each.where.column for each in caught.value.problems}
    assert not rows(bench)


def test_of_two_rows_for_one_aspect_the_worse_is_shown_and_changed(bench: Bench) -> None:
    for grade in ("1", "3", "2"):
        enter(bench, REF, "survey", {"item": "T1", "aspect": "boot", "grade": grade})
    found = looked(bench, "T1")["boot"]
    assert (found.grade, found.cells["grade"]) == (3, "3")
