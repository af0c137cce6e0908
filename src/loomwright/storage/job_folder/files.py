"""Single files: opened only when plain, and replaced whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from loomwright.loom import NotFound, StorageFailed

UNCHANGED = "close programs that have it open, and check the disk; nothing was changed"


@contextmanager
def source_file(path: Path) -> Iterator[BinaryIO]:
    """The file, open for reading.

    Raises
    ------
    NotFound
        when it is not there or no plain file (opening a pipe would wait for ever).
    StorageFailed
        when it may not be read.
    """
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise NotFound(f'"{path}" is a folder or device, not a file')
        file = path.open("rb")
    except (FileNotFoundError, NotADirectoryError, ValueError) as failure:
        raise NotFound(f'there is no file "{path}"') from failure
    except OSError as failure:
        raise StorageFailed(f'"{path}" cannot be read: {failure.strerror}') from failure
    with file:
        try:
            yield file
        except OSError as failure:
            raise StorageFailed(f'"{path}" cannot be read: {failure.strerror}') from failure


@contextmanager
def replaced_file(path: Path) -> Iterator[BinaryIO]:
    """A new file that takes the path's place when the block ends well.

    Raises
    ------
    StorageFailed
        when the disk, a lock or a permission stops it; the old file is then untouched.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".loomwright-new-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                yield file
                file.flush()
                os.fsync(file.fileno())
            os.chmod(name, 0o666 & ~current_umask())
            os.replace(name, path)
        finally:
            with contextlib.suppress(FileNotFoundError):
                os.unlink(name)
    except (OSError, ValueError) as failure:
        reason = getattr(failure, "strerror", None) or failure
        raise StorageFailed(
            f'"{path}" cannot be written: {reason}', expected=UNCHANGED
        ) from failure


def current_umask() -> int:
    """The permissions the person's session takes away; temporary files lack even more."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
