"""New: a job that passes its own check, in every form, and never over another."""

from __future__ import annotations

from pathlib import Path

import pytest

from loomwright.bootstrap import jobs
from loomwright.loom import InputProblems, schema
from loomwright.services.check import check
from loomwright.services.new import new, worked_job
from loomwright.storage.memory import JobMemory

NAMES = ["job", "job.zip", "job.xlsx"]


def test_the_worked_lines_fit_together() -> None:
    kept = JobMemory()
    new(kept, "job")
    report = check(kept, "job")
    assert (report.problems, report.warnings) == ((), ())


@pytest.mark.parametrize("name", NAMES)
def test_a_new_job_is_read_as_it_was_made(tmp_path: Path, name: str) -> None:
    made = new(jobs(), tmp_path / name)
    assert jobs().read(tmp_path / name) == made == worked_job()


def test_every_table_has_its_file_and_at_least_one_worked_line(tmp_path: Path) -> None:
    made = new(jobs(), tmp_path / "job")
    files = {path.name for path in (tmp_path / "job").iterdir()}
    assert files == {f"{table.name}.csv" for table in schema.TABLES} | {"datapackage.json"}
    assert all(made.rows(table.name) for table in schema.TABLES)


@pytest.mark.parametrize("name", NAMES)
def test_a_job_that_is_there_stays_as_it_is(tmp_path: Path, name: str) -> None:
    new(jobs(), tmp_path / name)
    with pytest.raises(InputProblems) as caught:
        new(jobs(), tmp_path / name)
    (problem,) = caught.value.problems
    assert problem.what == "there is a job in this place already, and it stays as it is"
    assert problem.where.table.endswith(name)


def test_a_folder_of_photos_becomes_a_job(tmp_path: Path) -> None:
    (tmp_path / "t1.jpg").write_bytes(b"picture")
    new(jobs(), tmp_path)
    assert (tmp_path / "t1.jpg").read_bytes() == b"picture"
    assert check(jobs(), tmp_path).passed
