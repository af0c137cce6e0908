"""Every rule between the tables: told at its place, and only there."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import Job, Problem, Where, inconsistencies
from loomwright.loom.consistency import MOST_OF_ONE_KIND, RULES
from sample import jobs

from .consistency_cases import CASES, GRAVE, Case


def found(case: Case) -> list[Problem]:
    readout = jobs.readout(case.edits)
    assert readout.problems == ()
    return inconsistencies(readout.job)


def test_the_small_job_is_without_fault() -> None:
    assert inconsistencies(jobs.job()) == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_slip_is_told_at_its_place(case: Case) -> None:
    here = [each for each in found(case) if each.where == Where(*case.where)]
    told = [each for each in here if each.warning == case.warning]
    assert [each.what[: len(case.says)] for each in told] == [case.says]
    assert told[0].expected


@pytest.mark.parametrize(
    "case", [case for case in CASES if case not in GRAVE], ids=lambda case: case.name
)
def test_a_light_slip_raises_no_grave_problem(case: Case) -> None:
    assert [each.sentence for each in found(case) if not each.warning] == []


def test_every_rule_is_tried() -> None:
    from loomwright.loom.consistency.naming import Evidence

    evidences = [Evidence(jobs.readout(case.edits).job) for case in CASES]
    evidences.append(Evidence(job_with_impossible_values()))
    evidences.append(Evidence(jobs.job({"plugs": ("mating,TS", "mating,")})))
    idle = [rule.__name__ for rule in RULES if not any(list(rule(each)) for each in evidences)]
    assert idle == []


def job_with_impossible_values() -> Job:
    job = jobs.job()
    wires = (attrs.evolve(job.wires[0], length_mm=-5.0), *job.wires[1:])
    joints = (attrs.evolve(job.joints[0], kind="weld"), *job.joints[1:])
    return attrs.evolve(job, wires=wires, joints=joints)


def test_values_that_no_sheet_gave_are_held_to_the_schema_too() -> None:
    told = inconsistencies(job_with_impossible_values())
    assert [(str(each.where), each.what) for each in told] == [
        ("joints, row 2, kind", '"weld" is not one of the choices'),
        ("wires, row 2, length_mm", '"-5" mm is not possible'),
    ]


def test_a_plug_that_mates_with_nothing_leaves_its_device_unreached() -> None:
    told = inconsistencies(jobs.job({"plugs": ("mating,TS", "mating,")}))
    assert [each.what for each in told] == [
        '"T2" has wires but mates with nothing',
        'no plug mates with "TS"',
    ]
    assert all(each.warning for each in told)


def test_the_nearest_known_name_is_offered() -> None:
    told = inconsistencies(jobs.job({"wires": ("CU.2,T2.1", "CU.2,t2.1")}))
    assert told[0].expected == 'did you mean "T2"?'


def test_a_name_like_no_other_gets_no_guess() -> None:
    told = inconsistencies(jobs.job({"readings": ("OL,DMM", "OL,QWERTY")}))
    assert told[0].expected == "add it to meters, or correct the name"


def test_names_in_rows_that_could_not_be_read_are_not_missed() -> None:
    readout = jobs.readout({"plugs": ("1 2,wire,NTC1", "1 1,wire,NTC1")})
    assert [each.where.column for each in readout.problems] == ["face"]
    told = inconsistencies(readout.job, unread=readout.unread, mentioned=readout.mentioned)
    assert [each.sentence for each in told] == []


def test_a_pin_may_be_read_from_the_back_while_its_plug_is_on() -> None:
    assert jobs.job().readings[2].plus.owner == "ECU"
    assert jobs.job().readings[2].unplugged == ()


def test_the_metal_body_of_a_device_may_be_read() -> None:
    assert inconsistencies(jobs.job({"readings": ("volt,ECU.3,E1", "volt,ECU.3,TS.case")})) == []


def test_a_sensor_behind_an_unplugged_plug_is_out_of_circuit() -> None:
    edits = {"readings": ("CU,key=off; engine_c=18", "CU T1,key=off")}
    assert inconsistencies(jobs.job(edits)) == []


def test_a_flood_of_one_kind_is_cut_off() -> None:
    job = jobs.job()
    wires = tuple(attrs.evolve(job.wires[0], row=row) for row in range(2, 2 + 3 * MOST_OF_ONE_KIND))
    told = inconsistencies(attrs.evolve(job, wires=wires))
    twice = [each for each in told if "is there twice" in each.what]
    assert len(twice) == MOST_OF_ONE_KIND
