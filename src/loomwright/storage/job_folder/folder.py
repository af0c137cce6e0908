"""A job as a folder of CSV files.

Writing into a folder that is there: the new tables are laid out in a hidden folder inside it, the
old tables are copied into a second one (`ASIDE`), then each new file takes its place, then `ASIDE`
goes. While `ASIDE` stands, the tables in it are the job: a reader prefers them, and the next
writer puts them back first. So a power cut leaves either the old job or the new one.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from loomwright.loom import NotFound, Problem, StorageFailed, Where
from loomwright.storage import limits
from loomwright.storage.assembling import KNOWN_TABLES, Contents
from loomwright.storage.job_folder.csv_text import read_tables
from loomwright.storage.job_folder.data_package import DESCRIPTOR
from loomwright.storage.job_folder.files import UNCHANGED, current_umask

ASIDE = ".loomwright-old"
STAGING = ".loomwright-new-"


def read_folder(folder: Path) -> Contents:
    """All tables in a folder, and what is wrong with its files.

    Raises
    ------
    NotFound
        when there is no such folder.
    StorageFailed
        when it may not be read.
    """
    try:
        files = _table_files(folder)
        if len(files) > limits.MAX_TABLES:
            return Contents((), (limits.too_many_tables(len(files)),), ".csv")
        odd = [_not_a_file(path) for path in files if not path.is_file()]
        contents = read_tables((path.stem, _bytes(path)) for path in files if path.is_file())
    except (FileNotFoundError, NotADirectoryError, ValueError) as failure:
        raise NotFound(f'there is no job folder "{folder}"') from failure
    except OSError as failure:
        raise StorageFailed(f'"{folder}" cannot be read: {failure.strerror}') from failure
    return Contents(contents.sheets, (*odd, *contents.problems), ".csv")


def holds_tables(folder: Path) -> bool:
    """Whether a job stands in that folder: a table of a job, or its descriptor."""
    try:
        names = {path.name.casefold() for path in folder.iterdir()}
    except (OSError, ValueError):
        return False
    ours = {f"{table}.csv" for table in KNOWN_TABLES} | {DESCRIPTOR, ASIDE}
    return bool(names & ours)


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put all files into the folder, or none; other files stay.

    Raises
    ------
    StorageFailed
        when the disk, a lock or a permission stops it; the folder is then as before.
    """
    try:
        if folder.is_dir():
            _replace(folder, files)
        else:
            _create(folder, files)
    except (OSError, ValueError) as failure:
        reason = getattr(failure, "strerror", None) or failure
        raise StorageFailed(
            f'the job cannot be written to "{folder}": {reason}',
            expected=UNCHANGED,
        ) from failure


def _table_files(folder: Path) -> list[Path]:
    """CSV files; after an interrupted write, those that were put aside."""
    place = folder / ASIDE if (folder / ASIDE).is_dir() else folder
    return sorted(path for path in place.iterdir() if _is_table(path))


def _is_table(path: Path) -> bool:
    return path.suffix.lower() == ".csv" and not path.name.startswith((".", "~"))


def _not_a_file(path: Path) -> Problem:
    return Problem(Where(path.stem), "it is not a plain file", "put a CSV file in its place")


def _bytes(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(limits.MAX_TABLE_BYTES + 1)


def _create(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.parent.mkdir(parents=True, exist_ok=True)
    staging = Path(tempfile.mkdtemp(prefix=STAGING, dir=folder.parent))
    try:
        _lay_out(staging, files)
        staging.chmod(0o777 & ~current_umask())
        staging.rename(folder)
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _replace(folder: Path, files: Mapping[str, bytes]) -> None:
    _put_back(folder)
    staging = Path(tempfile.mkdtemp(prefix=STAGING, dir=folder))
    try:
        _lay_out(staging / "new", files)
        _set_aside(folder, staging / "old")
        try:
            for name in files:
                os.replace(staging / "new" / name, folder / name)
            _drop_other_spellings(folder, files)
        except OSError:
            _put_back(folder, written=files)
            raise
        (folder / ASIDE).rename(staging / "done")
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _lay_out(place: Path, files: Mapping[str, bytes]) -> None:
    place.mkdir(exist_ok=True)
    for name, data in files.items():
        with (place / name).open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())


def _set_aside(folder: Path, copy: Path) -> None:
    copy.mkdir()
    for path in folder.iterdir():
        if (_is_table(path) or path.name == DESCRIPTOR) and path.is_file():
            shutil.copy2(path, copy)
    copy.rename(folder / ASIDE)


def _put_back(folder: Path, *, written: Iterable[str] = ()) -> None:
    """Undo a write that was cut short."""
    aside = folder / ASIDE
    if aside.is_dir():
        for name in written:
            if not (aside / name).exists():
                (folder / name).unlink(missing_ok=True)
        for path in aside.iterdir():
            os.replace(path, folder / path.name)
        aside.rmdir()


def _drop_other_spellings(folder: Path, files: Mapping[str, bytes]) -> None:
    """`Wires.CSV` gives way to `wires.csv`, or the table would be there twice."""
    ours = {f"{table}.csv" for table in KNOWN_TABLES}
    for path in list(folder.iterdir()):
        if path.name in files or path.name.casefold() not in ours or not path.is_file():
            continue
        if not path.samefile(folder / path.name.casefold()):
            path.unlink()
