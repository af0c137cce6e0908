"""Jobs brought in from files and taken out to files, photos included."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

import attrs
from django.db import transaction

from loomwright.loom import InputProblems, Problem, StorageFailed, Where
from loomwright.services.bringing import Carried, Kept, bring_in, take_out
from loomwright.services.job_names import slug
from loomwright.storage.job_folder import FolderPhotos, JobFolder
from loomwright.storage.job_folder.files import UNCHANGED
from loomwright.storage.job_folder.zipped import write_zip
from loomwright.storage.pictures import without_position
from loomwright.workshop.backup_file import is_backup
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.photo_store import DatabasePhotos
from loomwright.workshop.sent_file import sent_file
from loomwright.workshop.translating import translated

FILES = Kept(JobFolder(), FolderPhotos())
WORKSHOP = Kept(DatabaseJobs(), DatabasePhotos())
_PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".svg")


def bring(source: str, name: str = "", *, over: bool = False) -> Carried:
    """Bring a folder, a .zip or a workbook into the workshop, whole or not at all.

    Parameters
    ----------
    name : what it is to be called; blank to take it from the file's name

    Raises
    ------
    InputProblems
        holding all that is wrong with it, or that the name is taken.
    NotFound, StorageFailed
        when there is no such file, or it could not be kept.
    """
    called = name or _named(source)
    try:
        with translated(), transaction.atomic():
            return bring_in(FILES, WORKSHOP, source, called, clean, over=over)
    except InputProblems as refusal:
        if not is_backup(Path(source)):
            raise
        what = "this is a backup of the whole workshop, not a job"
        cure = "put it back with loomwright restore FILE, on the machine that the workshop runs on"
        raise InputProblems([Problem(Where(Path(source).name), what, cure)]) from refusal


def take(name: str, target: str, *, over: bool = False) -> Carried:
    """Take a job out to a folder, a .zip or a workbook; the last holds no photos.

    Raises
    ------
    InputProblems
        when there is a job in that place already, or this one does not hold together.
    NotFound, StorageFailed
        when there is no such job, or it could not be written.
    """
    path, wanted = Path(target), Path(target).suffix.lower()
    if wanted == ".xlsx" or (wanted != ".zip" and path.exists()):
        with_photos = wanted != ".xlsx"
        return take_out(WORKSHOP, FILES, name, target, with_photos=with_photos, over=over)
    if FILES.jobs.exists(target) and not over:
        what = "there is a file of that name already, and it stays as it is"
        raise InputProblems([Problem(Where(target), what, "choose another name")])
    # Made beside and put in place whole; a zip in one go, for each change of it packs all anew.
    with _beside(path) as made:
        carried = take_out(WORKSHOP, FILES, name, made)
        if wanted == ".zip":
            write_zip(path, _FilesOf(made))
        else:
            made.rename(path)
    return attrs.evolve(carried, name=target)


def taken_zip(name: str) -> BinaryIO:
    """A job as a .zip that is gone when it is closed.

    Raises
    ------
    InputProblems
        when the job does not hold together.
    NotFound, StorageFailed
        when there is no such job, or it could not be written.
    """
    return sent_file(f"{name}.zip", lambda path: take(name, path))


@contextmanager
def _beside(path: Path) -> Iterator[Path]:
    """A folder on the same disk as the path, gone in the end.

    Raises
    ------
    StorageFailed
        when the disk or a permission stops it.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".loomwright-new-", dir=path.parent) as folder:
            yield Path(folder) / "job"
    except OSError as failure:
        raise StorageFailed(
            f'"{path}" cannot be written: {failure.strerror or failure}', expected=UNCHANGED
        ) from failure


def clean(name: str, content: bytes) -> bytes | None:
    """A photo without what it tells of places and people; None for a file of another kind.

    Raises
    ------
    InputProblems
        when it is called a picture and is none, or is broken.
    """
    if name.lower().endswith(_PICTURES):
        return without_position(content, name=name)
    return None


class _FilesOf(Mapping[str, bytes]):
    """The files of a folder by their paths in it, each read when it is asked for."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def __getitem__(self, path: str) -> bytes:
        return (self._folder / path).read_bytes()

    def __iter__(self) -> Iterator[str]:
        found = (each for each in self._folder.rglob("*") if each.is_file())
        return iter(sorted(each.relative_to(self._folder).as_posix() for each in found))

    def __len__(self) -> int:
        return sum(1 for _ in self)


def _named(source: str) -> str:
    """The name of a job by its file's.

    Raises
    ------
    InputProblems
        when nothing of it can be used.
    """
    path = Path(os.path.abspath(source))
    name = slug(path.stem if path.suffix.lower() in (".zip", ".xlsx") else path.name)
    if not name:
        what = f'"{path.name[:80]}" gives no name for the job'
        raise InputProblems([Problem(Where("name"), what, "give one, such as engine-runs-rich")])
    return name
