"""Condition: grades by aspect, what was not looked at, the rules for branches and loom."""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright import standards
from loomwright.loom import Branch, Job, SurveyRow, Wire
from loomwright.loom.identity import Point
from loomwright.repair.condition import (
    BranchCondition,
    ItemCondition,
    branch_conditions,
    conditions,
    loom_condition,
)
from sample import jobs

VALUE = standards.values()


def row(item: str, aspect: str, grade: int | None = None, **more: object) -> SurveyRow:
    return SurveyRow(item=item, aspect=aspect, grade=grade, **more)  # type: ignore[arg-type]


def surveyed(*rows: SurveyRow, job: Job | None = None) -> dict[str, ItemCondition]:
    found = conditions(attrs.evolve(job or jobs.job(), survey=rows))
    return {each.item: each for each in found}


def test_every_plug_wire_and_joint_is_there_and_devices_that_were_surveyed() -> None:
    found = surveyed(row("NTC1", "shell", 1))
    job = jobs.job()
    names = [each.plug for each in job.plugs] + [each.wire for each in job.wires]
    names += [each.joint for each in job.joints]
    assert set(found) == {*names, "NTC1"}


def test_an_item_is_as_bad_as_its_worst_aspect_and_says_what_follows() -> None:
    plug = surveyed(row("T1", "shell", 1), row("T1", "terminal", 3, note="green"))["T1"]
    assert (plug.worst, plug.verdict) == (3, "renew the terminal in this job")
    assert [(each.aspect, each.note) for each in plug.looked] == [("terminal", "green"),
                                                                  ("shell", "")]  # fmt: skip
    assert plug.not_looked_at == ("boot",)
    assert (plug.grade("shell"), plug.grade("boot")) == (1, None)


def test_of_two_rows_for_one_aspect_the_worse_counts() -> None:
    assert surveyed(row("T1", "boot", 3), row("T1", "boot", 1))["T1"].worst == 3


def test_what_was_not_looked_at_has_no_grade() -> None:
    found = surveyed(row("T1", "boot", None, note="not reached"))
    assert found["T1"].worst is None
    assert found["T1"].verdict == "not looked at"
    assert found["T1"].not_looked_at == ("boot", "shell", "terminal")
    assert found["W1"].not_looked_at == ("insulation", "strands")
    assert found["S1"].not_looked_at == ("insulation",)
    assert found["E1"].not_looked_at == ("terminal",)


def test_a_plug_without_a_boot_by_design_misses_none() -> None:
    job = jobs.job()
    job = attrs.evolve(job, plugs=tuple(attrs.evolve(each, boot="none") for each in job.plugs))
    assert surveyed(job=job)["T1"].not_looked_at == ("shell", "terminal")


def test_strands_left_grade_a_wire_unless_a_grade_was_given() -> None:
    counted = surveyed(row("W1", "strands", None, strands_left=20))["W1"].looked[0]
    assert (counted.grade, counted.by_strands) == (3, True)  # 4 of 24 broken
    given_too = surveyed(row("W1", "strands", 1, strands_left=20))["W1"].looked[0]
    assert (given_too.grade, given_too.by_strands) == (1, False)


def test_strands_left_of_a_wire_whose_strands_are_not_known_grade_nothing() -> None:
    job = jobs.job()
    job = attrs.evolve(job, wires=tuple(attrs.evolve(each, strands=None) for each in job.wires))
    assert surveyed(row("W1", "strands", None, strands_left=20), job=job)["W1"].worst is None


def test_the_worst_come_first_and_the_unseen_last() -> None:
    found = conditions(
        attrs.evolve(jobs.job(), survey=(row("T2", "boot", 1), row("W3", "insulation", 4)))
    )
    assert [each.item for each in found][:2] == ["W3", "T2"]
    assert all(each.worst is None for each in found[2:])


def graded(grades: Sequence[int | None], value: dict[str, float] = VALUE) -> BranchCondition:
    """A branch with a wire for each grade; None was not looked at."""
    wires = tuple(
        Wire(wire=f"W{n}", from_point=Point("A", str(n)), to_point=Point("B", str(n)),
             branches=("B1",))
        for n in range(len(grades))
    )  # fmt: skip
    survey = tuple(
        row(f"W{n}", "insulation", grade) for n, grade in enumerate(grades) if grade is not None
    )
    branch = Branch(branch="B1", from_place="a", to_place="b")
    job = attrs.evolve(jobs.job(), wires=wires, branches=(branch,), survey=survey)
    (found,) = branch_conditions(job, conditions(job), value=value)
    return found


# common practice, no published source: three bad wires on a branch, and it is replaced
@pytest.mark.parametrize(
    ("grades", "verdict"),
    [
        ([3, 3, 3, 0, 0], "replace"),
        ([3, 4, 2, 2, 0], "keep"),
        ([3, 3, None, 0], "not decided"),
        ([3, None, 0, 0], "keep"),
        ([3, 3], "replace"),  # all of the two there are
        ([3, 0], "keep"),
        ([], "not decided"),
        ([None, None], "not decided"),
    ],
)
def test_branch_rule(grades: list[int | None], verdict: str) -> None:
    assert graded(grades).verdict == verdict


def test_the_branch_rule_is_a_default_to_replace() -> None:
    assert graded([3, 3, 0, 0], {**VALUE, "bad_wires_of_branch": 2}).verdict == "replace"
    assert graded([2, 2, 2, 0], {**VALUE, "bad_grade": 2}).verdict == "replace"


@given(st.lists(st.none() | st.integers(0, 4), max_size=8), st.data())
def test_looking_at_one_wire_more_never_turns_a_decision_round(
    grades: list[int | None], data: st.DataObject
) -> None:
    before = graded(grades).verdict
    looked = [data.draw(st.integers(0, 4)) if grade is None else grade for grade in grades]
    assert before == "not decided" or graded(looked).verdict == before


# common practice, no published source: two branches to replace, and the loom is priced
@pytest.mark.parametrize(
    ("verdicts", "verdict"),
    [
        ([[3, 3], [3, 3], [0]], "replace"),
        ([[3, 3], [0], [0]], "keep"),
        ([[3, 3], [None], [0]], "not decided"),
        ([], "not decided"),
    ],
)
def test_loom_rule(verdicts: list[list[int | None]], verdict: str) -> None:
    branches = tuple(graded(grades) for grades in verdicts)
    assert loom_condition(branches, value=VALUE).verdict == verdict
