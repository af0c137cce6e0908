"""Jobs and papers kept in memory, for tests and for trying things out."""

from __future__ import annotations

import os

from loomwright.loom import Job, NotFound, Problem, Sheet
from loomwright.services.ports import JobRef
from loomwright.storage.assembling import (
    Contents,
    job_and_problems,
    job_or_refusal,
    writable_sheets,
)
from loomwright.storage.paper_folder import plain_name

__all__ = ["JobMemory", "MemoryPapers"]


class JobMemory:
    """Jobs by name. They are kept as sheets, so that they meet the same checks as files."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[Sheet, ...]] = {}

    def read(self, ref: JobRef) -> Job:
        """See `services.ports.Jobs.read`."""
        return job_or_refusal(self._contents(ref))

    def inspect(self, ref: JobRef) -> tuple[Job, tuple[Problem, ...]]:
        """See `services.ports.Jobs.inspect`."""
        return job_and_problems(self._contents(ref))

    def write(self, ref: JobRef, job: Job) -> None:
        """See `services.ports.Jobs.write`."""
        self._kept[os.fspath(ref)] = writable_sheets(job)

    def exists(self, ref: JobRef) -> bool:
        """See `services.ports.Jobs.exists`."""
        return os.fspath(ref) in self._kept

    def table_label(self, ref: JobRef, table: str) -> str:
        """See `services.ports.Jobs.table_label`."""
        return table

    def _contents(self, ref: JobRef) -> Contents:
        try:
            return Contents(self._kept[os.fspath(ref)])
        except KeyError as failure:
            raise NotFound(f'no job is kept as "{os.fspath(ref)}"') from failure


class MemoryPapers:
    """Papers by name, in `kept`."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}

    def put(self, name: str, content: bytes) -> str:
        """See `services.ports.Papers.put`."""
        self.kept[plain_name(name)] = content
        return name
