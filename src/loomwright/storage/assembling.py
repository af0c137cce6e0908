"""From sheets, wherever they came from, to a job and everything wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs

from loomwright.loom import (
    InputProblems,
    Job,
    Problem,
    Sheet,
    inconsistencies,
    read_sheets,
    schema,
    write_sheets,
)
from loomwright.storage import limits

KNOWN_TABLES = frozenset(table.name for table in schema.TABLES)


@attrs.frozen
class Contents:
    """What was found at a place.

    Attributes
    ----------
    sheets : the tables that could be opened
    problems : what is wrong with files and sheets as a whole
    suffix : what a table's file has after the table's name, for messages
    """

    sheets: tuple[Sheet, ...]
    problems: tuple[Problem, ...] = ()
    suffix: str = ""

    @property
    def broken(self) -> frozenset[str]:
        """Tables that are there but cannot be opened; the empty name when that is unclear."""
        names = {each.where.table.strip().casefold() for each in self.problems if not each.warning}
        return frozenset(name if name in KNOWN_TABLES else "" for name in names)


def job_and_problems(contents: Contents) -> tuple[Job, tuple[Problem, ...]]:
    """The job as far as it can be read, and all problems.

    Tables are compared with each other only when all of them could be opened: a table that is
    missing would make every mention of its rows look wrong.
    """
    readout = read_sheets(contents.sheets)
    problems = list(contents.problems)
    problems += [each for each in readout.problems if not _follows(each, contents.broken)]
    if not contents.broken and not readout.unopened:
        told = {each.where for each in readout.problems}
        problems += [
            each
            for each in inconsistencies(
                readout.job, unread=readout.unread, mentioned=readout.mentioned
            )
            if each.where not in told  # a cell that could not be read now looks blank
        ]
    return readout.job, tuple(_on_file(each, contents.suffix) for each in problems)


def job_or_refusal(contents: Contents) -> Job:
    """The job.

    Raises
    ------
    InputProblems
        holding every problem that is not a mere warning.
    """
    return sound_job(*job_and_problems(contents))


def sound_job(job: Job, problems: Iterable[Problem]) -> Job:
    """The job, when nothing grave is wrong with it.

    Raises
    ------
    InputProblems
        holding every problem that is not a mere warning.
    """
    grave = [each for each in problems if not each.warning]
    if grave:
        raise InputProblems(grave)
    return job


def writable_sheets(job: Job) -> tuple[Sheet, ...]:
    """The job's sheets.

    Raises
    ------
    InputProblems
        when they hold what could not be read back.
    """
    sheets = write_sheets(job)
    problems = limits.sheets_problems(sheets)
    if problems:
        raise InputProblems(problems)
    return sheets


def check_cells(table: str, cells: Mapping[str, str]) -> None:
    """See that a row can be written down.

    Raises
    ------
    InputProblems
        when it holds what no sheet can hold.
    """
    problems = limits.cell_problems(Sheet(table, tuple(cells), (tuple(cells.values()),)))
    if problems:
        raise InputProblems(problems)


def _follows(problem: Problem, broken: frozenset[str]) -> bool:
    """Whether `job` seems missing only because it could not be opened."""
    about_table = problem.where.table == "job" and problem.where.row is None
    return about_table and bool(broken & {"job", ""})


def _on_file(problem: Problem, suffix: str) -> Problem:
    table = problem.where.table
    if not suffix or table not in KNOWN_TABLES:
        return problem
    return attrs.evolve(problem, where=attrs.evolve(problem.where, table=table + suffix))
