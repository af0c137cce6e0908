"""What the services need from outside, as protocols. Adapters live in `storage`."""

from __future__ import annotations

import os
from typing import Protocol

from loomwright.loom import Job, Problem

JobRef = str | os.PathLike[str]
"""Where a job is kept: a path for files, any name for memory."""


class Jobs(Protocol):
    """Where jobs are kept.

    Law: after `write(ref, job)`, `read(ref)` gives an equal job, provided that every row of a
    table carries the same unknown columns and that `ref` held no tables the job does not mention.
    """

    def read(self, ref: JobRef) -> Job:
        """The job.

        Raises
        ------
        InputProblems
            holding every problem that is not a mere warning.
        NotFound
            when nothing is kept there.
        StorageFailed
            when the disk or a permission stops it.
        """
        ...

    def inspect(self, ref: JobRef) -> tuple[Job, tuple[Problem, ...]]:
        """The job as far as it can be read, and everything wrong with it, warnings included.

        A cell that could not be read is blank in the job, a row may be missing: a job with grave
        problems is for looking at, not for writing back.

        Raises
        ------
        NotFound
            when nothing is kept there.
        StorageFailed
            when the disk or a permission stops it.
        """
        ...

    def write(self, ref: JobRef, job: Job) -> None:
        """Keep the job there, whole or not at all; what is no table of the job stays untouched.

        Raises
        ------
        InputProblems
            when the job holds what no sheet can hold, such as control characters.
        StorageFailed
            when the disk, a lock or a permission stops it.
        """
        ...

    def exists(self, ref: JobRef) -> bool:
        """Whether a job is kept there, readable or not."""
        ...

    def table_label(self, ref: JobRef, table: str) -> str:
        """What the person calls that table there: `wires.csv` in a folder, for example."""
        ...


class Papers(Protocol):
    """Where finished drawings and papers are put.

    Law: what was put under a name last is what stands there, and nothing else is touched.
    """

    def put(self, name: str, content: bytes) -> str:
        """Put a paper there, whole or not at all; where it stands now, as a person calls it.

        Raises
        ------
        StorageFailed
            when the name is no plain file name, or the disk or a permission stops it.
        """
        ...
