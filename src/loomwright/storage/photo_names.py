"""Names of photos, the same wherever they are kept."""

from __future__ import annotations

import re
from collections.abc import Iterable

from loomwright.loom import InputProblems, NotFound, Problem, StorageFailed, Where
from loomwright.loom.consistency.work import plain_file_name
from loomwright.storage import limits

_LONGEST = 120
_MOST_BYTES = 200
_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\.|$)", re.IGNORECASE)


def is_photo_name(name: str) -> bool:
    """Whether every machine can keep a file under that name, inside the photos' own folder."""
    short = len(name) <= _LONGEST and len(name.encode("utf-8", "replace")) <= _MOST_BYTES
    return short and plain_file_name(name) and not _DEVICES.match(name)


def checked_photo(name: str, content: bytes) -> bytes:
    """The content, when it can be kept under that name.

    Raises
    ------
    StorageFailed
        when the name is no plain file name.
    InputProblems
        when the photo is too large.
    """
    if not is_photo_name(name):
        raise StorageFailed(
            f'"{name[:80]}" is no name of a photo',
            expected="use a short name such as t1-torn-boot.jpg, without a folder, a full stop in "
            'front or any of / \\ : * ? " < > |',
        )
    return read_photo(name, content)


def read_photo(name: str, content: bytes) -> bytes:
    """The content.

    Raises
    ------
    InputProblems
        when it is too large.
    """
    if len(content) > limits.MAX_PHOTO_BYTES:
        what = f"it holds more than {limits.MAX_PHOTO_BYTES // 1_000_000} MB"
        raise InputProblems([Problem(Where(name), what, "save the photo smaller")])
    return content


def spellings(names: Iterable[str], name: str) -> list[str]:
    """The names that are the same but for capitals, the exact one first.

    Some machines take `T1.JPG` and `t1.jpg` for one file, so nobody may depend on the difference.
    """
    alike = (each for each in names if each.casefold() == name.casefold())
    return sorted(alike, key=lambda each: (each != name, each))


def kept_spelling(names: Iterable[str], name: str) -> str:
    """The name as the photo is kept under.

    Raises
    ------
    NotFound
        when there is no such photo.
    """
    found = spellings(names, name)
    if not found:
        raise NotFound(f'there is no photo "{name[:80]}" with the job')
    return found[0]
