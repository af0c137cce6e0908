"""Photos: their names in the database, their bytes in files that never change.

A file is called by the SHA-256 of what it holds, so a backup that copies the database first finds
every file it speaks of, whatever happens meanwhile.
"""

from __future__ import annotations

import hashlib
import os
import secrets
from pathlib import Path

from django.db import transaction

from loomwright.loom import StorageFailed
from loomwright.services.ports import JobRef
from loomwright.storage.photo_names import checked_photo, kept_spelling, spellings
from loomwright.storage.pictures import shown
from loomwright.workshop import models
from loomwright.workshop.data_folder import data_folder
from loomwright.workshop.database import changed, kept_job
from loomwright.workshop.translating import translated


class DatabasePhotos:
    """See `services.ports.Photos`."""

    def names(self, ref: JobRef) -> tuple[str, ...]:
        """See `services.ports.Photos.names`."""
        return tuple(sorted(_photos(ref)))

    def read(self, ref: JobRef, name: str) -> bytes:
        """See `services.ports.Photos.read`."""
        return _read(original(digest_of(ref, name)))

    def write(self, ref: JobRef, name: str, content: bytes) -> None:
        """See `services.ports.Photos.write`."""
        digest = hashlib.sha256(checked_photo(name, content)).hexdigest()
        with translated(), transaction.atomic():
            job = kept_job(ref, lock=True)
            _write(original(digest), content)
            known = spellings(_photos(ref), name)
            photo = job.photos.get(name=known[0]) if known else models.KeptPhoto(job=job)
            photo.name, photo.digest = name, digest
            photo.save()
            changed(job)

    def remove(self, ref: JobRef, name: str) -> None:
        """See `services.ports.Photos.remove`. The file stays, so that this can be undone."""
        with translated(), transaction.atomic():
            known = spellings(_photos(ref), name)
            if known:
                job = kept_job(ref, lock=True)
                job.photos.get(name=known[0]).delete()
                changed(job)


def digest_of(ref: JobRef, name: str) -> str:
    """What names the file of a photo.

    Raises
    ------
    NotFound
        when there is no such photo.
    """
    photos = _photos(ref)
    return photos[kept_spelling(photos, name)]


def digests(ref: JobRef) -> dict[str, str]:
    """What names the file of each photo, by the photo's name; none where no job is kept."""
    return _photos(ref)


def kept_bytes(digest: str) -> bytes:
    """The file of a photo, without asking the database.

    Raises
    ------
    StorageFailed
        when it is gone or cannot be read.
    """
    return _read(original(digest))


def shown_copy(digest: str, *, longest: int) -> bytes:
    """An upright JPEG of a photo, made once; longest side at most `longest` pixels."""
    path = data_folder() / "shown" / digest[:2] / f"{digest}-{longest}.jpg"
    if not path.exists():
        _write(path, shown(_read(original(digest)), longest=longest))
    return _read(path)


def original(digest: str) -> Path:
    """The file that holds a photo."""
    return data_folder() / "photos" / digest[:2] / digest


def keep_file(digest: str, content: bytes) -> None:
    """Put back the file of a photo.

    Raises
    ------
    StorageFailed
        when the content is not the one of that digest, or the disk refuses.
    """
    if hashlib.sha256(content).hexdigest() != digest:
        raise StorageFailed("a photo is damaged", where=digest)
    _write(original(digest), content)


def _photos(ref: JobRef) -> dict[str, str]:
    """Digests by name; none where no job is kept."""
    with translated():
        found = models.KeptPhoto.objects.filter(job__name=os.fspath(ref))
        return dict(found.values_list("name", "digest"))


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as failure:
        raise StorageFailed("a photo's file cannot be read", where=str(path)) from failure


def _write(path: Path, content: bytes) -> None:
    if path.exists():
        return
    fresh = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with fresh.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())  # the database speaks of it from now on
        fresh.replace(path)
    except OSError as failure:
        fresh.unlink(missing_ok=True)
        raise StorageFailed("a photo's file cannot be written", where=str(path)) from failure
