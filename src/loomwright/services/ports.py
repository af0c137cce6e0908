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


class Photos(Protocol):
    """The photos of a job, kept with it.

    Law: what was written under a name last is read under it, whole, and nothing else of the job is
    touched. Names that differ in capitals only are one name: the last spelling written counts.
    """

    def names(self, ref: JobRef) -> tuple[str, ...]:
        """File names of all photos, sorted; none where no job is kept.

        Files are not opened: what stands there may turn out to be no picture.

        Raises
        ------
        InputProblems
            when what holds the photos is damaged.
        StorageFailed
            when the disk or a permission stops it.
        """
        ...

    def read(self, ref: JobRef, name: str) -> bytes:
        """The photo's file.

        Raises
        ------
        InputProblems
            when it is damaged or too large.
        NotFound
            when there is no such photo.
        StorageFailed
            when the disk or a permission stops it.
        """
        ...

    def write(self, ref: JobRef, name: str, content: bytes) -> None:
        """Keep the photo with a job that is there, whole or not at all.

        Raises
        ------
        InputProblems
            when it is too large, or what holds the photos is damaged or full.
        NotFound
            when no job is kept there.
        StorageFailed
            when the name is no plain file name, the job is of a form that holds no photos, or the
            disk, a lock or a permission stops it.
        """
        ...

    def remove(self, ref: JobRef, name: str) -> None:
        """Take the photo away; nothing happens when there is none of that name.

        Raises
        ------
        InputProblems
            when what holds the photos is damaged.
        StorageFailed
            when the disk, a lock or a permission stops it.
        """
        ...
