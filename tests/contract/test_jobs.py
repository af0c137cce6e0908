"""One suite for everything that keeps jobs: each adapter, and each form of file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import attrs
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomwright.loom import (
    About,
    ForeignTable,
    InputProblems,
    Job,
    NotFound,
    Reading,
    inconsistencies,
)
from loomwright.services.ports import JobRef, Jobs
from loomwright.storage.job_folder import JobFolder
from loomwright.storage.memory import JobMemory
from loomwright.workshop.database import DatabaseJobs
from sample import jobs as sample
from sample.strategies import any_job

pytestmark = pytest.mark.django_db
Place = tuple[Jobs, JobRef]
FORMS: dict[str, Callable[[Path], Place]] = {
    "memory": lambda folder: (JobMemory(), "a job"),
    "folder": lambda folder: (JobFolder(), folder / "a job"),
    "folder as text": lambda folder: (JobFolder(), str(folder / "a job")),
    "zip": lambda folder: (JobFolder(), folder / "a job.zip"),
    "workbook": lambda folder: (JobFolder(), folder / "A job.XLSX"),
    "database": lambda folder: (DatabaseJobs(), f"job-{folder.name}"),
}


@pytest.fixture(params=FORMS)
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Place:
    return FORMS[request.param](tmp_path)


def public(thing: type) -> set[str]:
    return {name for name in vars(thing) if not name.startswith("_")}


@pytest.mark.parametrize("adapter", [JobFolder, JobMemory, DatabaseJobs])
def test_an_adapter_does_what_the_port_says_and_no_more(adapter: type) -> None:
    assert public(adapter) == public(Jobs)
    assert len(public(Jobs)) <= 5


def test_what_is_written_is_read(place: Place) -> None:
    jobs, ref = place
    jobs.write(ref, sample.job())
    assert jobs.read(ref) == sample.job()
    assert jobs.inspect(ref) == (sample.job(), ())


def test_writing_again_leaves_nothing_of_the_old(place: Place) -> None:
    jobs, ref = place
    jobs.write(ref, sample.job())
    later = attrs.evolve(sample.job(), survey=(), readings=sample.job().readings[:1])
    jobs.write(ref, later)
    assert jobs.read(ref) == later


def test_rows_come_back_with_their_number(place: Place) -> None:
    jobs, ref = place
    jobs.write(ref, sample.job())
    assert [wire.row for wire in jobs.read(ref).wires] == list(range(2, 10))


def test_there_or_not(place: Place) -> None:
    jobs, ref = place
    assert not jobs.exists(ref)
    jobs.write(ref, sample.job())
    assert jobs.exists(ref)


def test_what_is_not_there_is_not_found(place: Place) -> None:
    jobs, ref = place
    with pytest.raises(NotFound, match=r"(?i)^(there is no|no job)"):
        jobs.read(ref)
    with pytest.raises(NotFound):
        jobs.inspect(ref)


def test_reading_refuses_with_all_grave_problems_and_inspecting_tells_all(place: Place) -> None:
    jobs, ref = place
    broken = sample.job(
        {
            "wires": ("CU.2,T2.1", "CU.2,T22.1"),
            "readings": ("key=off; throttle", "key=on; throttle"),
            "joints": (
                "BP,battery_plus,bulkhead,Battery post\n",
                "BP,battery_plus,,\nE2,earth,,\n",
            ),
        }
    )
    jobs.write(ref, broken)
    job, problems = jobs.inspect(ref)
    assert job == broken
    expected = inconsistencies(broken)
    assert [each.what for each in problems] == [each.what for each in expected]
    assert {each.warning for each in problems} == {True, False}
    with pytest.raises(InputProblems) as caught:
        jobs.read(ref)
    grave = [each.what for each in expected if not each.warning]
    assert [each.what for each in caught.value.problems] == grave


def test_problems_name_the_table_as_it_is_called_there(place: Place) -> None:
    jobs, ref = place
    jobs.write(ref, sample.job({"wires": ("CU.2,T2.1", "CU.2,T22.1")}))
    _, problems = jobs.inspect(ref)
    assert problems[0].where.table == jobs.table_label(ref, "wires")


@pytest.mark.parametrize("text", ["\0", "a\x0bb", "\ud800", "x" * 10_001])
def test_what_no_sheet_can_hold_is_refused_and_nothing_is_written(place: Place, text: str) -> None:
    jobs, ref = place
    with pytest.raises(InputProblems):
        jobs.write(ref, Job(about=About(title="A job", complaint=text)))
    assert not jobs.exists(ref)


def test_unknown_columns_and_tables_are_carried(place: Place) -> None:
    jobs, ref = place
    job = sample.job()
    zones = tuple(
        attrs.evolve(zone, extra=(("Shelf", " 007"), ("=x", "=1+1"))) for zone in job.zones
    )
    foreign = (ForeignTable("crimps done", ("a", "b"), (("=SUM(A1)", ""), ("", " x "))),)
    job = attrs.evolve(job, zones=zones, foreign=foreign)
    jobs.write(ref, job)
    assert jobs.read(ref) == job


def test_two_tables_of_one_name_are_refused(place: Place) -> None:
    jobs, ref = place
    twin = ForeignTable("Wires", ("a",), (("1",),))
    with pytest.raises(InputProblems):
        jobs.write(ref, attrs.evolve(sample.job(), foreign=(twin,)))


@pytest.mark.parametrize("name", ["../out", "a/b", "", ".x", "a:b", "x" * 32, "con\0"])
def test_a_table_name_that_could_leave_the_place_is_refused(place: Place, name: str) -> None:
    jobs, ref = place
    foreign = (ForeignTable(name, ("a",), (("1",),)),)
    with pytest.raises(InputProblems):
        jobs.write(ref, attrs.evolve(sample.job(), foreign=foreign))


HARD_TEXTS = [
    "=1+1", "+1", "-1", "@x", "'quoted", '"', '""', ",", ";", "a\nb", "\na", " lead",
    "trail ", "\ttab", "007", "1e5", "TRUE", "#N/A", "#REF!", "_x000D_", "_x005F_x000D_",
    "<b>&amp;", "½ Ω µ 温度 🔧", "2026-05-14", "1,5", "OL", "nan",
]  # fmt: skip


def test_texts_that_programs_like_to_change_come_back_unchanged(place: Place) -> None:
    jobs, ref = place
    first = sample.job().readings[0]
    readings: tuple[Reading, ...] = tuple(
        attrs.evolve(first, reading=f"R{number}", note=text, extra=(("mine", text),))
        for number, text in enumerate(HARD_TEXTS)
    )
    job = attrs.evolve(sample.job(), readings=readings)
    jobs.write(ref, job)
    assert jobs.inspect(ref)[0] == job


@pytest.mark.parametrize("value", [0.1 + 0.2, 1e-7, 1e11 / 3, 123456789.123456789])
def test_numbers_keep_their_last_digit(place: Place, value: float) -> None:
    jobs, ref = place
    readings = (attrs.evolve(sample.job().readings[0], value=value),)
    jobs.write(ref, attrs.evolve(sample.job(), readings=readings))
    assert jobs.inspect(ref)[0].readings[0].value == value


@pytest.mark.parametrize("form", ["memory", "folder", "zip", "workbook", "database"])
def test_any_job_is_written_and_read_without_loss(
    form: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    examples = 15 if form == "workbook" else 40

    @settings(max_examples=examples, deadline=None, suppress_health_check=[HealthCheck.too_slow])
    @given(any_job(), st.booleans())
    def unchanged(job: Job, again: bool) -> None:
        jobs, ref = FORMS[form](tmp_path_factory.mktemp("job"))
        jobs.write(ref, job)
        if again:
            jobs.write(ref, jobs.inspect(ref)[0])
        assert jobs.inspect(ref)[0] == job

    unchanged()
