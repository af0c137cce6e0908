"""The two things of a photo's Exif data that are no secret: which way up, and when taken.

A reader of its own, because what comes from outside may be broken in any way, and the rest of the
data (place, person, camera) is not wanted. Source: Exif 2.32 (CIPA DC-008), chapter 4.6, which
lays the data out as a TIFF file.
"""

from __future__ import annotations

import datetime
import struct
from collections.abc import Iterator

import attrs

_ORIENTATION = 0x0112
_EXIF_PART = 0x8769
_VERSION = 0x9000
_TAKEN = 0x9003
_ASCII, _SHORT, _LONG, _UNDEFINED = 2, 3, 4, 7
_TIME = "%Y:%m:%d %H:%M:%S"
_TIME_SIZE = 20
_HEAD_SIZE = 8
_ENTRY_SIZE = 12
_MOST_ENTRIES = 1_000
_ORDERS = {b"II*\0": "<", b"MM\0*": ">"}


@attrs.frozen
class Shot:
    """What stays with a photo.

    Attributes
    ----------
    orientation : 1 to 8, as the standard numbers them; None when the photo does not tell
    taken : when it was taken, the camera's clock; None when the photo does not tell
    """

    orientation: int | None = None
    taken: datetime.datetime | None = None


def shot_from(data: bytes) -> Shot:
    """What the Exif data tells; nothing where it is broken. Never raises."""
    order = _ORDERS.get(data[:4])
    if order is None:
        return Shot()
    try:
        first = dict(_entries(data, order, struct.unpack_from(f"{order}L", data, 4)[0]))
        part = _number(first.get(_EXIF_PART), order, _LONG)
        second = dict(_entries(data, order, part)) if part else {}
        return Shot(_orientation(first, order), _taken(data, second, order))
    except struct.error:
        return Shot()


def exif_of(shot: Shot) -> bytes:
    """The smallest Exif data that tells the same; empty when there is nothing to tell."""
    turned = [] if shot.orientation is None else [_entry(_ORIENTATION, _SHORT, 1, shot.orientation)]
    if shot.taken is None:
        return _head() + _directory(turned) if turned else b""
    at = _HEAD_SIZE + _directory_size(len(turned) + 1)
    first = _directory([*turned, _entry(_EXIF_PART, _LONG, 1, at)])
    version = struct.pack(">HHL4s", _VERSION, _UNDEFINED, 4, b"0232")
    time = _entry(_TAKEN, _ASCII, _TIME_SIZE, at + _directory_size(2))
    return _head() + first + _directory([version, time]) + _time_text(shot.taken) + b"\0"


def _entries(data: bytes, order: str, at: int) -> Iterator[tuple[int, bytes]]:
    """Each tag with the ten bytes that follow it, the first of each tag last, so that it counts."""
    count = min(struct.unpack_from(f"{order}H", data, at)[0], _MOST_ENTRIES)
    for number in reversed(range(count)):
        entry = data[at + 2 + number * _ENTRY_SIZE :][:_ENTRY_SIZE]
        if len(entry) == _ENTRY_SIZE:
            yield struct.unpack(f"{order}H", entry[:2])[0], entry[2:]


def _number(entry: bytes | None, order: str, kind: int) -> int | None:
    if entry is None or struct.unpack(f"{order}HL", entry[:6]) != (kind, 1):
        return None
    form = "H" if kind == _SHORT else "L"
    return int(struct.unpack_from(f"{order}{form}", entry, 6)[0])


def _orientation(entries: dict[int, bytes], order: str) -> int | None:
    found = _number(entries.get(_ORIENTATION), order, _SHORT)
    return found if found in range(1, 9) else None


def _taken(data: bytes, entries: dict[int, bytes], order: str) -> datetime.datetime | None:
    if _TAKEN not in entries:
        return None
    kind, count, at = struct.unpack(f"{order}HLL", entries[_TAKEN])
    if kind != _ASCII or count not in (_TIME_SIZE, _TIME_SIZE - 1):
        return None
    try:
        text = data[at : at + _TIME_SIZE - 1].decode("ascii")
        return datetime.datetime.strptime(text, _TIME)
    except ValueError:
        return None  # cameras whose clock was never set write zeros or blanks


def _time_text(taken: datetime.datetime) -> bytes:
    # Not by strftime, which drops the zeros of early years on some systems.
    return taken.isoformat(" ", "seconds").replace("-", ":").encode("ascii")


def _head() -> bytes:
    return b"MM\0*" + struct.pack(">L", _HEAD_SIZE)


def _directory(entries: list[bytes]) -> bytes:
    return struct.pack(">H", len(entries)) + b"".join(entries) + struct.pack(">L", 0)


def _directory_size(entries: int) -> int:
    return 2 + entries * _ENTRY_SIZE + 4


def _entry(tag: int, kind: int, count: int, value: int) -> bytes:
    short = kind == _SHORT
    return struct.pack(">HHLHxx" if short else ">HHLL", tag, kind, count, value)
