"""The running list of plugs."""

from __future__ import annotations

import attrs

from loomwright.loom import Job, Point, SurveyRow, TaskRow
from loomwright.services.loom_list import PlugLine, running_list
from sample import jobs as sample


def line(job: Job, plug: str) -> PlugLine:
    return next(each for each in running_list(job) if each.plug == plug)


def with_survey(*rows: SurveyRow) -> Job:
    return attrs.evolve(sample.job(), survey=rows)


def test_plugs_come_in_sheet_order_with_their_wires_counted() -> None:
    assert [(each.plug, each.wires) for each in running_list(sample.job())] == [
        ("CU", 4), ("T1", 2), ("T2", 2), ("X1", 1), ("X2", 1),
    ]  # fmt: skip
    assert line(sample.job(), "T1").place == "engine"


def test_a_wire_with_both_ends_in_one_plug_counts_once() -> None:
    job = sample.job()
    bridge = attrs.evolve(job.wires[0], wire="B", to_point=Point("CU", "6"))
    assert line(attrs.evolve(job, wires=(*job.wires, bridge)), "CU").wires == 5


def test_the_worst_aspect_is_the_plugs_grade() -> None:
    job = with_survey(
        SurveyRow(item="T1", aspect="boot", grade=1),
        SurveyRow(item="T1", aspect="terminal", grade=3),
    )
    assert line(job, "T1").grade_words == "grade 3, bad"
    assert line(job, "T2").grade_words == "not looked at"


def test_a_plug_is_recorded_when_the_last_word_says_so() -> None:
    done = TaskRow(task="D1", item="T1", step="record", state="done")
    again = TaskRow(task="D2", item="T1", step="record", state="begun")
    assert line(attrs.evolve(sample.job(), tasks=(done,)), "T1").recorded
    assert not line(attrs.evolve(sample.job(), tasks=(done, again)), "T1").recorded
    assert not line(attrs.evolve(sample.job(), tasks=()), "T1").recorded
