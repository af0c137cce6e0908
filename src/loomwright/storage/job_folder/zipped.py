"""A job folder packed as a .zip. Nothing is ever unpacked to disk."""

from __future__ import annotations

import threading
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path, PurePosixPath

from loomwright.loom import InputProblems, Problem, Where
from loomwright.storage import limits
from loomwright.storage.assembling import Contents
from loomwright.storage.job_folder.archive import (
    BROKEN,
    damaged,
    opened_archive,
    refuse_many_entries,
    unpacked,
)
from loomwright.storage.job_folder.csv_text import read_tables
from loomwright.storage.job_folder.files import replaced_file, source_file

_CHUNK = 1 << 20
_STAMP = (1980, 1, 1, 0, 0, 0)
_PACKED_ALREADY = (".jpg", ".jpeg", ".png", ".webp")
# A zip is rewritten whole, so that of two writers at once one would lose what the other wrote.
_ONE_AT_A_TIME = threading.Lock()


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


def write_zip(
    path: Path,
    files: Mapping[str, bytes],
    *,
    dropped: Iterable[str] = (),
    room: int = limits.MAX_CARRIED_BYTES,
) -> None:
    """Pack the files; what else an archive in that place holds is carried over.

    Parameters
    ----------
    files : content by path, from the folder in which the tables stand
    dropped : such paths that are not carried over
    room : bytes that may be carried over

    Raises
    ------
    InputProblems
        when the archive in that place is damaged, or holds too much to carry over.
    StorageFailed
        when the disk, a lock or a permission stops it.
    """
    left_out = [*files, *dropped]
    try:
        with _ONE_AT_A_TIME, replaced_file(path) as target, zipfile.ZipFile(target, "w") as archive:
            inner = _carry_over(path, archive, left_out, room) if path.exists() else "."
            for name, data in files.items():
                # A fixed date, so that the same job makes the same bytes.
                entry = zipfile.ZipInfo((PurePosixPath(inner) / name).as_posix(), _STAMP)
                packed = name.lower().endswith(_PACKED_ALREADY)
                entry.compress_type = zipfile.ZIP_STORED if packed else zipfile.ZIP_DEFLATED
                archive.writestr(entry, data)
            refuse_many_entries(len(archive.infolist()), path.name)
    except BROKEN as failure:
        raise damaged(path.name) from failure


def folder_of_tables(entries: Iterable[zipfile.ZipInfo]) -> PurePosixPath:
    """The folder inside the archive in which the tables stand, or its top.

    Raises
    ------
    InputProblems
        when they stand in several.
    """
    tables = _tables(entries)
    return PurePosixPath(tables[0].filename).parent if tables else PurePosixPath(".")


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


def _carry_over(path: Path, archive: zipfile.ZipFile, left_out: Iterable[str], room: int) -> str:
    """Copy what is not left out; the folder in which the tables stand."""
    with source_file(path) as file, opened_archive(file, path.name) as old:
        inner = folder_of_tables(old.infolist())
        skipped = {(inner / name).as_posix().casefold() for name in left_out}
        for entry in old.infolist():
            at = PurePosixPath(entry.filename).as_posix()
            if entry.is_dir() or at.casefold() in skipped:
                continue
            room = _carry(old, entry, archive, room=room)
            if room < 0:
                raise InputProblems([_too_much_to_carry(path.name)])
    return str(inner)


def _carry(old: zipfile.ZipFile, entry: zipfile.ZipInfo, new: zipfile.ZipFile, *, room: int) -> int:
    """Copy an entry; the room that is left, below zero when it was not enough."""
    with old.open(entry) as source, new.open(_same_entry(entry), "w") as target:
        while room >= 0 and (chunk := source.read(_CHUNK)):
            room -= len(chunk)
            target.write(chunk)
    return room


def _too_much_to_carry(name: str) -> Problem:
    megabytes = limits.MAX_CARRIED_BYTES // 1_000_000
    what = f"its photos and other files come to more than {megabytes} MB"
    return Problem(Where(name), what, "unpack it, and keep the job as a folder")


def _same_entry(entry: zipfile.ZipInfo) -> zipfile.ZipInfo:
    """With the date it had; deflated only where that gained something, for photos take long."""
    made = zipfile.ZipInfo(entry.filename, entry.date_time)
    made.external_attr = entry.external_attr
    gained = entry.compress_size * 10 < entry.file_size * 9
    made.compress_type = zipfile.ZIP_DEFLATED if gained else zipfile.ZIP_STORED
    return made
