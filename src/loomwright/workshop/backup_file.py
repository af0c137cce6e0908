"""A backup as a file: one zip with a manifest, the records and the photos, each with its SHA-256.

Of a file that somebody hands over nothing is believed: neither its sizes nor its names.
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO

import attrs

from loomwright.loom import InputProblems, Problem, Where
from loomwright.storage.job_folder.archive import BROKEN, damaged
from loomwright.storage.job_folder.files import replaced_file, source_file
from loomwright.storage.limits import MAX_PHOTO_BYTES

MANIFEST = "manifest.json"
RECORDS = "workshop.jsonl"
PHOTOS = "photos/"
FORMAT = "loomwright workshop"
VERSION = 1
MOST_MEMBERS = 200_000
"""Photos, and the two others, in one backup."""
MOST_RECORD_BYTES = 4_000_000_000
"""Size of all records together, unpacked."""
MOST_LINE_BYTES = 100_000_000
"""Size of one record: a job carries the tables that are not its own with it."""
_MOST_MANIFEST_BYTES = 60_000_000
_CHUNK = 1 << 20
_STAMP = (1980, 1, 1, 0, 0, 0)
_PHOTO = re.compile(r"photos/[0-9a-f]{64}\Z")
_END_RECORD, _END_64 = b"PK\x05\x06", b"PK\x06\x06"


@attrs.frozen(kw_only=True)
class Manifest:
    """What a backup says it holds.

    Attributes
    ----------
    made_at : moment, in ISO 8601
    counts : records of each kind
    members : SHA-256 of every other member by its name
    missing : photos whose file was not there or damaged, by their digest
    """

    made_at: str
    counts: dict[str, int]
    members: dict[str, str]
    missing: tuple[str, ...] = ()


class BackupWriter:
    """A backup that is being written."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self.members: dict[str, str] = {}

    def add(self, name: str, chunks: Iterable[bytes], *, packed: bool) -> None:
        """Add a member, deflated when `packed`."""
        entry = zipfile.ZipInfo(name, _STAMP)
        entry.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
        entry.external_attr = 0o600 << 16
        digest = hashlib.sha256()
        with self._archive.open(entry, "w", force_zip64=True) as member:
            for chunk in chunks:
                digest.update(chunk)
                member.write(chunk)
        self.members[name] = digest.hexdigest()

    def close(self, manifest: Manifest) -> None:
        """Add the manifest."""
        told = {"format": FORMAT, "version": VERSION, **attrs.asdict(manifest)}
        text = json.dumps(told, indent=1, sort_keys=True) + "\n"
        self.add(MANIFEST, [text.encode()], packed=True)


@contextmanager
def new_backup(path: Path) -> Iterator[BackupWriter]:
    """A backup that takes the path's place when the block ends well.

    Raises
    ------
    StorageFailed
        when the disk or a permission stops it.
    """
    with replaced_file(path) as file, zipfile.ZipFile(file, "w") as archive:
        yield BackupWriter(archive)


class BackupReader:
    """A backup whose every byte was held against its manifest."""

    def __init__(self, archive: zipfile.ZipFile, manifest: Manifest) -> None:
        self._archive = archive
        self.manifest = manifest

    def lines(self) -> Iterator[bytes]:
        """The records, one a line."""
        with self._archive.open(RECORDS) as member:
            while line := member.readline(MOST_LINE_BYTES):
                yield line

    def photos(self) -> Iterator[tuple[str, bytes]]:
        """The photos by digest."""
        for name in self.manifest.members:
            if name.startswith(PHOTOS):
                yield name.removeprefix(PHOTOS), self._archive.read(name)


@contextmanager
def checked_backup(path: Path) -> Iterator[BackupReader]:
    """A backup, read through once.

    Raises
    ------
    InputProblems
        holding all that is wrong with the file.
    NotFound, StorageFailed
        when there is no such file, or it may not be read.
    """
    with source_file(path) as file:
        _look_at_end(file, path.name)
        try:
            archive = zipfile.ZipFile(file)
        except BROKEN as failure:
            raise damaged(path.name) from failure
        with archive:
            manifest = _manifest(archive, path.name)
            problems = [*_wrong_members(archive, manifest, path.name)]
            problems = problems or [*_wrong_bytes(archive, manifest, path.name)]
            if problems:
                raise InputProblems(problems)
            yield BackupReader(archive, manifest)


def is_backup(path: Path) -> bool:
    """Whether a file is a backup by its members, whole or not."""
    try:
        with path.open("rb") as file, zipfile.ZipFile(file) as archive:
            return {MANIFEST, RECORDS} <= {*archive.namelist()}
    except (OSError, *BROKEN):
        return False


def _look_at_end(file: BinaryIO, name: str) -> None:
    """Refuse a directory of millions of members before the library reads it into memory."""
    size = file.seek(0, 2)
    file.seek(max(0, size - 70_000))
    tail = file.read()
    file.seek(0)
    counts = [_number(tail, at + 10, 2) for at in _places(tail, _END_RECORD)]
    sizes = [_number(tail, at + 12, 4) for at in _places(tail, _END_RECORD)]
    counts += [_number(tail, at + 32, 8) for at in _places(tail, _END_64)]
    sizes += [_number(tail, at + 40, 8) for at in _places(tail, _END_64)]
    # What does not fit in the old record is all ones there, and stands in the new one.
    most = {0xFFFF: 0, 0xFFFFFFFF: 0}
    if max((most.get(each, each) for each in counts), default=0) > MOST_MEMBERS or (
        max((most.get(each, each) for each in sizes), default=0) > MOST_MEMBERS * 200
    ):
        raise InputProblems([_problem(name, f"it holds more than {MOST_MEMBERS} files")])


def _places(tail: bytes, sign: bytes) -> list[int]:
    return [found.start() for found in re.finditer(re.escape(sign), tail)]


def _number(data: bytes, at: int, length: int) -> int:
    return int.from_bytes(data[at : at + length], "little")


def _manifest(archive: zipfile.ZipFile, name: str) -> Manifest:
    try:
        with archive.open(MANIFEST) as member:
            told = json.loads(member.read(_MOST_MANIFEST_BYTES))
    except (KeyError, UnicodeDecodeError, RecursionError, *BROKEN) as failure:
        raise InputProblems([_problem(name, "it is no backup of a workshop")]) from failure
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise InputProblems([_problem(name, "it is no backup of a workshop")])
    if told.get("version") != VERSION:
        what = f"it is of the form {told.get('version')!r}, and this program reads {VERSION}"
        raise InputProblems([Problem(Where(name), what[:200], "use the program that made it")])
    if not _well_told(told):
        raise InputProblems([_problem(name, "its manifest is damaged")])
    return Manifest(
        made_at=told["made_at"],
        counts=told["counts"],
        members=told["members"],
        missing=tuple(told["missing"]),
    )


def _well_told(told: dict[str, Any]) -> bool:
    counts, members, missing = (told.get(name) for name in ("counts", "members", "missing"))
    return (
        isinstance(told.get("made_at"), str)
        and isinstance(counts, dict)
        and all(isinstance(count, int) for count in counts.values())
        and isinstance(members, dict)
        and RECORDS in members
        and all(isinstance(digest, str) for digest in members.values())
        and isinstance(missing, list)
        and all(isinstance(digest, str) for digest in missing)
    )


def _wrong_members(archive: zipfile.ZipFile, manifest: Manifest, name: str) -> Iterator[Problem]:
    entries = archive.infolist()
    names = [entry.filename for entry in entries]
    told = {MANIFEST, *manifest.members}
    for extra in sorted({*names} - told)[:20]:
        yield _problem(name, f'"{extra[:80]}" stands in it, but not in its manifest')
    for missing in sorted(told - {*names})[:20]:
        yield _problem(name, f'"{missing[:80]}" is missing')
    if len({*names}) < len(names):
        yield _problem(name, "a member stands in it twice")
    for entry in entries:
        photo = _PHOTO.match(entry.filename)
        if not photo and entry.filename not in (MANIFEST, RECORDS):
            yield _problem(name, f'"{entry.filename[:80]}" is none of a backup\'s files')
        elif entry.flag_bits & 0x1:
            yield _problem(name, f'"{entry.filename}" is encrypted')
        elif photo and manifest.members.get(entry.filename) != entry.filename[len(PHOTOS) :]:
            yield _problem(name, f'"{entry.filename}" is not called by its digest')


def _wrong_bytes(archive: zipfile.ZipFile, manifest: Manifest, name: str) -> Iterator[Problem]:
    for member, digest in manifest.members.items():
        most = MOST_RECORD_BYTES if member == RECORDS else MAX_PHOTO_BYTES
        try:
            with archive.open(member) as file:
                found = _digest(file.read, most)
        except BROKEN:
            found = ""
        if found != digest:
            yield _problem(name, f'"{member}" is damaged')


def _digest(read: Callable[[int], bytes], most: int) -> str:
    """The SHA-256; blank for more than so many bytes."""
    digest, size = hashlib.sha256(), 0
    while chunk := read(_CHUNK):
        size += len(chunk)
        if size > most:
            return ""
        digest.update(chunk)
    return digest.hexdigest()


def _problem(name: str, what: str) -> Problem:
    return Problem(Where(name), what, "take another backup")
