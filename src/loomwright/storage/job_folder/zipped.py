"""A job folder packed as a .zip. Nothing is ever unpacked to disk."""

from __future__ import annotations

import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path, PurePosixPath

from loomwright.loom import InputProblems, Problem, Where
from loomwright.storage import limits
from loomwright.storage.assembling import Contents
from loomwright.storage.job_folder.archive import BROKEN, damaged, opened_archive, unpacked
from loomwright.storage.job_folder.csv_text import read_tables
from loomwright.storage.job_folder.files import replaced_file, source_file

_CHUNK = 1 << 20
_STAMP = (1980, 1, 1, 0, 0, 0)


def read_zip(path: Path) -> Contents:
    """All tables in a packed folder, and what is wrong with the archive.

    Raises
    ------
    NotFound, StorageFailed
        when there is no such file, or it may not be read.
    """
    with source_file(path) as file:
        try:
            with opened_archive(file, path.name) as archive:
                entries = _tables(archive.infolist())
                limit = limits.MAX_TABLE_BYTES
                contents = read_tables(
                    (PurePosixPath(entry.filename).stem, unpacked(archive, entry, limit=limit))
                    for entry in entries
                )
        except InputProblems as refusal:
            return Contents((), refusal.problems, ".csv")
    return Contents(contents.sheets, contents.problems, ".csv")


def write_zip(path: Path, files: Mapping[str, bytes]) -> None:
    """Pack the files; what else an archive in that place holds is carried over.

    Raises
    ------
    InputProblems
        when the archive in that place is damaged.
    StorageFailed
        when the disk, a lock or a permission stops it.
    """
    try:
        with replaced_file(path) as target, zipfile.ZipFile(target, "w") as archive:
            inner = _carry_over(path, archive, replaced=files) if path.exists() else "."
            for name, data in files.items():
                # A fixed date, so that the same job makes the same bytes.
                entry = zipfile.ZipInfo((PurePosixPath(inner) / name).as_posix(), _STAMP)
                entry.compress_type = zipfile.ZIP_DEFLATED
                archive.writestr(entry, data)
    except BROKEN as failure:
        raise damaged(path.name) from failure


def _tables(entries: Iterable[zipfile.ZipInfo]) -> list[zipfile.ZipInfo]:
    """Tables at the top, or, where there are none, in the one folder that was packed whole."""
    found = [entry for entry in entries if _is_table(entry)]
    depth = min((entry.filename.count("/") for entry in found), default=0)
    top = [entry for entry in found if entry.filename.count("/") == depth]
    folders = {PurePosixPath(entry.filename).parent for entry in top}
    if len(folders) > 1:
        names = ", ".join(f'"{folder}"' for folder in sorted(folders)[:8])
        what = f"the archive holds tables in several folders: {names}"
        raise InputProblems([Problem(Where("tables"), what, "pack one job's folder")])
    if len(top) > limits.MAX_TABLES:
        raise InputProblems([limits.too_many_tables(len(top))])
    return sorted(top, key=lambda entry: entry.filename)


def _is_table(entry: zipfile.ZipInfo) -> bool:
    name = PurePosixPath(entry.filename).name
    hidden = name.startswith((".", "~")) or entry.filename.startswith("__MACOSX/")
    return name.lower().endswith(".csv") and not hidden and not entry.is_dir()


def _carry_over(path: Path, archive: zipfile.ZipFile, *, replaced: Mapping[str, bytes]) -> str:
    """Copy what is not replaced; the folder in which the tables stand."""
    written = {name.casefold() for name in replaced}
    budget = limits.MAX_CARRIED_BYTES
    with source_file(path) as file, opened_archive(file, path.name) as old:
        tables = _tables(old.infolist())
        inner = PurePosixPath(tables[0].filename).parent if tables else PurePosixPath(".")
        for entry in old.infolist():
            at = PurePosixPath(entry.filename)
            if entry.is_dir() or (at.parent == inner and at.name.casefold() in written):
                continue
            budget = _carry(old, entry, archive, budget=budget)
    return str(inner)


def _carry(
    old: zipfile.ZipFile, entry: zipfile.ZipInfo, new: zipfile.ZipFile, *, budget: int
) -> int:
    with old.open(entry) as source, new.open(entry.filename, "w") as target:
        while chunk := source.read(_CHUNK):
            budget -= len(chunk)
            if budget < 0:
                raise InputProblems([limits.too_large(entry.filename, limits.MAX_CARRIED_BYTES)])
            target.write(chunk)
    return budget
