"""Jobs, photos and papers kept in memory, for tests and for trying things out."""

from __future__ import annotations

import os

from loomwright.loom import Job, NotFound, Problem
from loomwright.services.ports import JobRef, Jobs
from loomwright.storage.assembling import (
    Contents,
    job_and_problems,
    job_or_refusal,
    writable_sheets,
)
from loomwright.storage.memory.rows import Kept, MemoryRows, kept_sheets
from loomwright.storage.paper_folder import plain_name
from loomwright.storage.photo_names import checked_photo, kept_spelling, spellings

__all__ = ["JobMemory", "MemoryPapers", "MemoryPhotos", "MemoryRows"]


class JobMemory:
    """Jobs by name. They are kept as sheets, so that they meet the same checks as files.

    Parameters
    ----------
    kept : the sheets by name of the job, shared with whoever changes their rows
    """

    def __init__(self, kept: Kept | None = None) -> None:
        self._kept: Kept = {} if kept is None else kept

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
        return Contents(kept_sheets(self._kept, ref))


class MemoryPapers:
    """Papers by name, in `kept`."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}

    def put(self, name: str, content: bytes) -> str:
        """See `services.ports.Papers.put`."""
        self.kept[plain_name(name)] = content
        return name


class MemoryPhotos:
    """Photos of jobs that `jobs` keeps."""

    def __init__(self, jobs: Jobs) -> None:
        self._jobs = jobs
        self._kept: dict[str, dict[str, bytes]] = {}

    def names(self, ref: JobRef) -> tuple[str, ...]:
        """See `services.ports.Photos.names`."""
        return tuple(sorted(self._photos(ref)))

    def read(self, ref: JobRef, name: str) -> bytes:
        """See `services.ports.Photos.read`."""
        photos = self._photos(ref)
        return photos[kept_spelling(photos, name)]

    def write(self, ref: JobRef, name: str, content: bytes) -> None:
        """See `services.ports.Photos.write`."""
        checked_photo(name, content)
        if not self._jobs.exists(ref):
            raise NotFound(f'no job is kept as "{os.fspath(ref)}"')
        self.remove(ref, name)
        self._kept.setdefault(os.fspath(ref), {})[name] = content

    def remove(self, ref: JobRef, name: str) -> None:
        """See `services.ports.Photos.remove`."""
        photos = self._photos(ref)
        for spelling in spellings(photos, name):
            del photos[spelling]

    def _photos(self, ref: JobRef) -> dict[str, bytes]:
        return self._kept.get(os.fspath(ref), {})
