"""Start a new job: every table with its header and a worked line to type over."""

from __future__ import annotations

import os

from loomwright.loom import InputProblems, Job, Problem, Sheet, Where, read_sheets, schema
from loomwright.services.ports import JobRef, Jobs

SECOND_LINES: dict[str, dict[str, str]] = {
    "curves": {"temperature_c": "80", "ohm": "330"},
    "fuelling": {"temperature_c": "80", "factor": "1"},
}
"""A curve needs two points; what its second line has other than the first. Invented figures."""


def new(jobs: Jobs, ref: JobRef) -> Job:
    """Make a job with worked lines and keep it there; the job.

    Raises
    ------
    InputProblems
        when a job is kept there already.
    StorageFailed
        when the disk, a lock or a permission stops it.
    """
    if jobs.exists(ref):
        raise InputProblems(
            [
                Problem(
                    Where(os.fspath(ref)),
                    "there is a job in this place already, and it stays as it is",
                    "choose another name",
                )
            ]
        )
    job = worked_job()
    jobs.write(ref, job)
    return job


def worked_job() -> Job:
    """The job made of the schema's own examples."""
    return read_sheets(_worked_sheet(table) for table in schema.TABLES).job


def _worked_sheet(table: schema.Table) -> Sheet:
    first = {column.name: column.example for column in table.columns}
    lines = [first]
    if table.name in SECOND_LINES:
        lines.append(first | SECOND_LINES[table.name])
    return Sheet(table.name, tuple(first), tuple(tuple(line.values()) for line in lines))
