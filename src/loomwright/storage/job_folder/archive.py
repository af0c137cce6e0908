"""Zip archives that nobody has reason to trust: packed jobs, and workbooks, which are zips too."""

from __future__ import annotations

import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO

from loomwright.loom import InputProblems, Problem, Where
from loomwright.storage import limits

_END = b"PK\x05\x06"
_END_64 = b"PK\x06\x07"
_END_SIZE = 22
_LONGEST_COMMENT = 65_535
_MAX_DIRECTORY_BYTES = limits.MAX_ZIP_ENTRIES * 400
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_OUTSIDE = re.compile(r"^/|^[A-Za-z]:|\\|(^|/)\.\.(/|$)|\x00")

BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError,
          struct.error)  # fmt: skip
"""What the zip library raises on truncated, encrypted, odd or hostile archives."""


@contextmanager
def opened_archive(file: BinaryIO, name: str) -> Iterator[zipfile.ZipFile]:
    """The archive, after a look at its directory.

    Raises
    ------
    InputProblems
        when it is no zip, is damaged, or holds what an honest one does not.
    """
    _look_at_end(file, name)
    try:
        archive = zipfile.ZipFile(file)
    except BROKEN as failure:
        raise damaged(name) from failure
    with archive:
        problems = _entry_problems(archive.infolist(), name)
        if problems:
            raise InputProblems(problems)
        yield archive


def unpacked(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, *, limit: int) -> bytes:
    """The entry's bytes, or one more byte than the limit when it is larger.

    The size that the directory tells is not believed.

    Raises
    ------
    InputProblems
        when the entry is damaged.
    """
    try:
        with archive.open(entry) as packed:
            return packed.read(limit + 1)
    except BROKEN as failure:
        raise damaged(entry.filename) from failure


def _look_at_end(file: BinaryIO, name: str) -> None:
    """Refuse a directory of millions of entries before the library reads it into memory."""
    size = file.seek(0, 2)
    file.seek(max(0, size - _END_SIZE - _LONGEST_COMMENT))
    tail = file.read()
    for found in re.finditer(re.escape(_END), tail):
        record = tail[found.start() : found.start() + _END_SIZE]
        huge = tail[max(0, found.start() - 20) : found.start()].startswith(_END_64)
        directory = struct.unpack_from("<L", record, 12)[0] if len(record) == _END_SIZE else 0
        if huge or directory > _MAX_DIRECTORY_BYTES:
            raise InputProblems([_too_many(name)])
    file.seek(0)


def _entry_problems(entries: list[zipfile.ZipInfo], name: str) -> list[Problem]:
    refuse_many_entries(len(entries), name)
    problems: list[Problem] = []
    seen: set[str] = set()
    for entry in entries:
        fault = _fault(entry)
        if entry.filename.casefold() in seen:
            fault = "stands in the archive twice"
        seen.add(entry.filename.casefold())
        if fault:
            what = f'"{entry.filename[:80]}" {fault}'
            problems.append(Problem(Where(name), what, "pack the folder anew"))
    return problems


def _fault(entry: zipfile.ZipInfo) -> str:
    if _OUTSIDE.search(entry.filename):
        return "points outside the folder"
    if entry.header_offset < 0:
        return "lies before the start of the archive"
    if stat.S_ISLNK(entry.external_attr >> 16):
        return "is a link, not a file"
    if entry.flag_bits & 0x1:
        return "is encrypted"
    if entry.compress_type not in _METHODS:
        return "is packed in an unusual way"
    return ""


def _too_many(name: str) -> Problem:
    what = f"the archive holds more than {limits.MAX_ZIP_ENTRIES} files"
    return Problem(Where(name), what, "pack only the job's folder")


def refuse_many_entries(count: int, name: str) -> None:
    """Nothing, or a refusal.

    Raises
    ------
    InputProblems
        when an archive of so many entries would not be read again.
    """
    if count > limits.MAX_ZIP_ENTRIES:
        raise InputProblems([_too_many(name)])


def damaged(name: str) -> InputProblems:
    """The problem of a file that its library cannot make sense of."""
    what = "the file is damaged, cut short, or not what its name says"
    return InputProblems([Problem(Where(name[:80]), what, "save or pack it anew")])
