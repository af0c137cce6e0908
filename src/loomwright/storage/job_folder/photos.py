"""Photos beside a job's tables: files in the folder `photos`, on disk or inside the zip."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path, PurePosixPath

from loomwright.loom import NotFound, StorageFailed
from loomwright.services.ports import JobRef
from loomwright.storage import limits
from loomwright.storage.job_folder.adapter import JobFolder
from loomwright.storage.job_folder.archive import opened_archive, unpacked
from loomwright.storage.job_folder.files import UNCHANGED, replaced_file, source_file
from loomwright.storage.job_folder.zipped import folder_of_tables, write_zip
from loomwright.storage.photo_names import (
    checked_photo,
    is_photo_name,
    kept_spelling,
    read_photo,
    spellings,
)

PHOTOS = "photos"


class FolderPhotos:
    """Photos of jobs that are folders or .zip files; workbooks hold none."""

    def names(self, ref: JobRef) -> tuple[str, ...]:
        """See `services.ports.Photos.names`."""
        path = Path(ref)
        if path.suffix.lower() == ".zip":
            return tuple(sorted({Path(member).name for member in _members(path)}))
        return tuple(sorted(_files(path)))

    def read(self, ref: JobRef, name: str) -> bytes:
        """See `services.ports.Photos.read`."""
        path = Path(ref)
        if path.suffix.lower() == ".zip":
            return read_photo(name, _unpacked(path, name))
        photos = _files(path)
        with source_file(photos[kept_spelling(photos, name)]) as file:
            return read_photo(name, file.read(limits.MAX_PHOTO_BYTES + 1))

    def write(self, ref: JobRef, name: str, content: bytes) -> None:
        """See `services.ports.Photos.write`."""
        checked_photo(name, content)
        path = _job_with_photos(ref)
        if path.suffix.lower() == ".zip":
            _rewrite(path, {f"{PHOTOS}/{name}": content}, name)
            return
        photos = _files(path)
        target = _own_folder(path) / name
        with replaced_file(target) as file:
            file.write(content)
        for other in spellings(photos, name):
            # Where capitals make no difference, the other spelling is this very file.
            if not os.path.samefile(photos[other], target):
                _unlink(photos[other])

    def remove(self, ref: JobRef, name: str) -> None:
        """See `services.ports.Photos.remove`."""
        path = Path(ref)
        if path.suffix.lower() != ".zip":
            photos = _files(path)
            for spelling in spellings(photos, name):
                _unlink(photos[spelling])
        elif spellings(self.names(path), name):
            _rewrite(path, {}, name)


def _job_with_photos(ref: JobRef) -> Path:
    path = Path(ref)
    if not JobFolder().exists(path):
        raise NotFound(f'there is no job "{path}"')
    if path.suffix.lower() != ".zip" and path.is_file():
        raise StorageFailed(
            f'"{path}" cannot hold photos', expected="keep the job as a folder or a .zip"
        )
    return path


def _place(folder: Path) -> Path:
    """The folder of the photos, under whatever capitals it stands there."""
    try:
        found = [path for path in folder.iterdir() if path.name.casefold() == PHOTOS]
    except (FileNotFoundError, NotADirectoryError, ValueError):
        found = []
    except OSError as failure:
        raise StorageFailed(f'"{folder}" cannot be read: {failure.strerror}') from failure
    return max(found, key=lambda path: path.name == PHOTOS, default=folder / PHOTOS)


def _files(folder: Path) -> dict[str, Path]:
    """The photos by name; a link leads elsewhere and is passed over."""
    place = _place(folder)
    try:
        if place.is_symlink():
            return {}
        with os.scandir(place) as entries:
            plain = [entry.name for entry in entries if entry.is_file(follow_symlinks=False)]
    except (FileNotFoundError, NotADirectoryError, ValueError):
        return {}
    except OSError as failure:
        raise StorageFailed(f'"{place}" cannot be read: {failure.strerror}') from failure
    return {name: place / name for name in plain if is_photo_name(name)}


def _own_folder(folder: Path) -> Path:
    place = _place(folder)
    if place.is_symlink():
        raise StorageFailed(
            f'"{place}" is a link to another place', expected="put a folder in its place"
        )
    return place


def _unlink(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as failure:
        raise StorageFailed(
            f'"{path}" cannot be removed: {failure.strerror}', expected=UNCHANGED
        ) from failure


def _members(path: Path) -> list[str]:
    """Paths of the photos inside the zip; none when there is no zip."""
    if not os.path.isfile(path):
        return []
    with source_file(path) as file, opened_archive(file, path.name) as archive:
        return _photos_in(archive)


def _photos_in(archive: zipfile.ZipFile) -> list[str]:
    entries = archive.infolist()
    place = (folder_of_tables(entries) / PHOTOS).as_posix().casefold()
    found = [(PurePosixPath(entry.filename), entry) for entry in entries if not entry.is_dir()]
    return [
        entry.filename
        for at, entry in found
        if at.parent.as_posix().casefold() == place and is_photo_name(at.name)
    ]


def _unpacked(path: Path, name: str) -> bytes:
    if not os.path.isfile(path):
        raise NotFound(f'there is no job "{path}"')
    with source_file(path) as file, opened_archive(file, path.name) as archive:
        members = {PurePosixPath(member).name: member for member in _photos_in(archive)}
        entry = archive.getinfo(members[kept_spelling(members, name)])
        return unpacked(archive, entry, limit=limits.MAX_PHOTO_BYTES)


def _rewrite(path: Path, files: dict[str, bytes], name: str) -> None:
    """Pack the zip anew without any photo of that name but the ones given."""
    # Room for the new photo as well, or the next one to save the job could not carry it.
    room = limits.MAX_CARRIED_BYTES - sum(map(len, files.values()))
    write_zip(path, files, dropped=[f"{PHOTOS}/{name}"], room=room)
