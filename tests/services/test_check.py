"""Check: everything at once, warnings apart, standards included."""

from __future__ import annotations

from pathlib import Path

import attrs
import pytest

from loomwright.loom import NotFound, schema
from loomwright.services.check import CheckReport, check, known_sections
from loomwright.storage.job_folder import JobFolder
from loomwright.storage.memory import JobMemory
from sample import jobs as sample


def checked(edits: sample.Edits | None = None) -> CheckReport:
    jobs = JobMemory()
    jobs.write("job", sample.job(edits))
    return check(jobs, "job")


def test_a_sound_job_passes_with_its_counts() -> None:
    report = checked()
    assert report.passed
    assert report.job == sample.job()
    assert (report.problems, report.warnings) == ((), ())
    counts = dict(report.counts)
    assert list(counts) == [table.name for table in schema.TABLES]
    assert (counts["job"], counts["wires"], counts["readings"]) == (1, 8, 3)


def test_problems_and_warnings_come_apart_and_problems_withhold_the_job() -> None:
    report = checked(
        {
            "wires": ("CU.2,T2.1", "CU.2,T22.1"),
            "curves": ("NTC,80,330,10\n", "NTC,80,330,10\nA,0,9,\nA,9,8,\n"),
        }
    )
    assert not report.passed
    assert report.job is None
    assert [each.what for each in report.problems] == ['there is no plug "T22"']
    assert [each.what for each in report.warnings] == ['no element uses curve "A"']


def test_warnings_alone_do_not_withhold_it() -> None:
    report = checked(
        {"joints": ("BP,battery_plus,bulkhead,Battery post\n", "BP,battery_plus,,\nE2,earth,,\n")}
    )
    assert report.passed
    assert report.job is not None
    assert len(report.warnings) == 1


@pytest.mark.parametrize("colour", ["brown", "BN-WH", "BN/", "BNWH", "XX"])
def test_colours_that_are_no_codes_are_warned_about(colour: str) -> None:
    report = checked({"wires": ("W1,CU.1,T1.1,BN/WH", f"W1,CU.1,T1.1,{colour}")})
    (warning,) = report.warnings
    assert (str(warning.where), warning.what) == (
        "wires, row 2, colour",
        f'"{colour}" is not made of IEC 60757 colour codes',
    )
    assert report.passed


@pytest.mark.parametrize(
    ("colour", "cure"),
    [("brown", "write BN"), ("Red-white", "write RD/WH"), ("bn wh", "write BN/WH")],
)
def test_colours_by_name_are_told_their_codes(colour: str, cure: str) -> None:
    report = checked({"wires": ("W1,CU.1,T1.1,BN/WH", f"W1,CU.1,T1.1,{colour}")})
    assert report.warnings[0].expected == cure


def test_a_cell_is_told_of_once() -> None:
    report = checked({"wires": ("CU.4,E1,BN,1.5,30,0.25", "CU.4,E1,BN,40,,")})
    assert len(report.problems) == 1
    assert report.warnings == ()


def test_the_colour_of_wire_on_sale_is_held_to_the_codes_too() -> None:
    report = checked({"offers": ("0.9,BN/WH", "0.9,brown"), "stock": ("WIRE,BN,", "WIRE,XX,")})
    assert [str(each.where) for each in report.warnings] == [
        "offers, row 4, colour", "stock, row 3, colour",
    ]  # fmt: skip


def test_small_letters_and_several_tracers_are_colour_codes() -> None:
    assert checked({"wires": ("BN/WH", "gn/wh/rd")}).warnings == ()


def test_a_section_in_no_table_is_warned_about_with_the_nearest() -> None:
    report = checked({"wires": ("BN/WH,0.75,24,0.20", "BN/WH,0.9,,")})
    (warning,) = report.warnings
    assert warning.what == '"0.9" mm² is in no table of conductors'
    assert "mm²; keep it if it was measured" in warning.expected


def test_sections_of_trade_and_standard_are_known() -> None:
    # 0.5, 0.75, 1, 1.5, 2.5 mm²: nominal sections of IEC 60228, table 3 (value from memory).
    assert {0.5, 0.75, 1.0, 1.5, 2.5} <= set(known_sections())
    assert list(known_sections()) == sorted(known_sections())


def test_standards_problems_name_the_file_too(tmp_path: Path) -> None:
    jobs = JobFolder()
    job = sample.job()
    wires = tuple(attrs.evolve(wire, colour="brown") for wire in job.wires[:1]) + job.wires[1:]
    jobs.write(tmp_path / "job", attrs.evolve(job, wires=wires))
    assert check(jobs, tmp_path / "job").warnings[0].where.table == "wires.csv"


def test_a_job_of_nothing_is_reported_not_raised(tmp_path: Path) -> None:
    report = check(JobFolder(), tmp_path)
    assert not report.passed
    assert set(dict(report.counts).values()) == {0}


def test_a_job_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(NotFound):
        check(JobFolder(), tmp_path / "nowhere")


def test_an_own_figure_of_an_unknown_name_is_a_problem_with_the_nearest() -> None:
    report = checked({"settings": ("lead_resistance,0.15", "lead_resistence,0.15")})
    (problem,) = report.problems
    assert (problem.where.row, problem.where.column) == (2, "name")
    assert problem.expected.startswith("known, nearest first: lead_resistance,")


def test_weights_can_be_replaced_as_defaults_can() -> None:
    report = checked({"settings": ("lead_resistance,0.15", "rate-open-wire,3")})
    assert report.passed
    assert not report.warnings


def test_an_own_figure_far_from_any_workshops_is_warned_about() -> None:
    report = checked({"settings": ("lead_resistance,0.15", "lead_resistance,15")})
    assert report.passed
    (warning,) = report.warnings
    assert (warning.where.row, warning.where.column) == (2, "value")
