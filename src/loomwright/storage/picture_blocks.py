"""JPEG, PNG and WebP files as blocks: what tells of place, person or camera is left out.

Only blocks that are needed to show the picture are kept; what nobody here knows is left out too.
The picture itself stays byte for byte. Sources: JPEG, ITU-T T.81, annex B; JFIF, ITU-T T.871;
ICC.1:2022, annex B; PNG, third edition (W3C); WebP container (RFC 9649).
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Callable, Iterator

from loomwright.storage.exif import Shot, exif_of, shot_from

EXIF = b"Exif\0\0"

_PNG_SIGN = b"\x89PNG\r\n\x1a\n"
_PNG_KEPT = frozenset(
    b"IHDR PLTE IDAT IEND tRNS cHRM gAMA iCCP sBIT sRGB cICP mDCV cLLI bKGD hIST pHYs sPLT "
    b"acTL fcTL fdAT".split()
)
_WEBP_KEPT = frozenset((b"VP8X", b"VP8 ", b"VP8L", b"ALPH", b"ANIM", b"ANMF", b"ICCP"))
_WEBP_EXIF, _WEBP_XMP = 0x08, 0x04
# A marker of a segment; stuffed bytes, restarts and TEM stand alone and are passed over.
_MARKER = re.compile(rb"\xff+([^\x00\x01\xff\xd0-\xd7])", re.DOTALL)
_START, _END, _SCAN, _JFIF, _APP1, _APP2, _APP14 = 0xD8, 0xD9, 0xDA, 0xE0, 0xE1, 0xE2, 0xEE
_PICTURE = range(0xC0, 0xE0)
_MOST_SCANS = 200

Segment = tuple[int, bytes, bytes]
"""Marker, what the segment holds, and the scan's data that follows it."""


class BrokenPicture(ValueError):
    """The file is cut short, or not built as its kind is."""


def kind_by_sign(content: bytes) -> str:
    """`jpeg`, `png` or `webp` by the first bytes; empty for anything else."""
    if content.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if content.startswith(_PNG_SIGN):
        return "png"
    return "webp" if content[:4] == b"RIFF" and content[8:12] == b"WEBP" else ""


def shot_in(content: bytes) -> Shot:
    """Which way up and when taken, of a picture of a known kind.

    Raises
    ------
    BrokenPicture
        when the file is not whole.
    """
    return shot_from(_EXIF_FINDERS[kind_by_sign(content)](content))


def bare(content: bytes) -> bytes:
    """The same picture with no data but which way up and when taken.

    Raises
    ------
    BrokenPicture
        when the file is not whole.
    """
    return _STRIPPERS[kind_by_sign(content)](content, exif_of(shot_in(content)))


def canvas(content: bytes) -> tuple[int, int]:
    """Width and height of a WebP picture, pixels, before anything is unpacked.

    Raises
    ------
    BrokenPicture
        when the file is not whole.
    """
    name, data = next(_chunks(content, 12, len(content), big=False), (b"", b""))
    if name == b"VP8X" and len(data) >= 10:
        return 1 + int.from_bytes(data[4:7], "little"), 1 + int.from_bytes(data[7:10], "little")
    if name == b"VP8L" and len(data) >= 5:
        bits = int.from_bytes(data[1:5], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    if name == b"VP8 " and len(data) >= 10:
        width, height = struct.unpack_from("<HH", data, 6)
        return width & 0x3FFF, height & 0x3FFF
    raise BrokenPicture


def _segments(content: bytes) -> Iterator[Segment]:
    """Everything between the start of the picture and its end; what follows is passed over."""
    at, scans = 2, 0
    while found := _MARKER.search(content, at):
        marker = found[1][0]
        scans += marker == _SCAN
        if marker == _END:
            return
        size = int.from_bytes(content[found.end() : found.end() + 2], "big")
        at = found.end() + size
        # Each scan goes over the whole picture, however few bytes it has.
        if marker == _START or size < 2 or at > len(content) or scans > _MOST_SCANS:
            break
        after = _scan_end(content, at) if marker == _SCAN else at
        yield marker, content[found.end() + 2 : at], content[at:after]
        at = after
    raise BrokenPicture


def _scan_end(content: bytes, at: int) -> int:
    found = _MARKER.search(content, at)
    return found.start() if found else len(content)


def _jpeg_exif(content: bytes) -> bytes:
    for marker, data, _ in _segments(content):
        if marker == _APP1 and data.startswith(EXIF):
            return data[len(EXIF) :]
    return b""


def _bare_jpeg(content: bytes, exif: bytes) -> bytes:
    first, rest = [], []
    for marker, data, scan in _segments(content):
        if marker == _JFIF and data.startswith(b"JFIF\0"):
            # The last two bytes are the size of a small picture that would follow.
            first.append(_segment(_JFIF, data[:12] + b"\0\0"))
        elif _is_jpeg_picture(marker, data):
            rest.append(_segment(marker, data) + scan)
    told = [_segment(_APP1, EXIF + exif)] if exif else []
    return b"".join([b"\xff\xd8", *first[:1], *told, *rest, b"\xff\xd9"])


def _is_jpeg_picture(marker: int, data: bytes) -> bool:
    colours = marker == _APP2 and data.startswith(b"ICC_PROFILE\0")
    # Without it the colours of some pictures would be read wrongly.
    transform = marker == _APP14 and data.startswith(b"Adobe")
    return marker in _PICTURE or colours or transform


def _segment(marker: int, data: bytes) -> bytes:
    return bytes((0xFF, marker)) + struct.pack(">H", len(data) + 2) + data


def _chunks(content: bytes, at: int, end: int, *, big: bool) -> Iterator[tuple[bytes, bytes]]:
    """Name and data of each chunk: PNG tells the size first and ends in a checksum, RIFF not."""
    while at < end:
        head = content[at : at + 8]
        name, size = (head[4:], head[:4]) if big else (head[:4], head[4:])
        start, length = at + 8, int.from_bytes(size, "big" if big else "little")
        at = start + length + (4 if big else length % 2)
        if len(head) < 8 or start + length > end or (big and at > end):
            raise BrokenPicture
        yield name, content[start : at if big else start + length]
        if name == b"IEND":
            return
    if big:
        raise BrokenPicture


def _png_chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    return _chunks(content, len(_PNG_SIGN), len(content), big=True)


def _png_exif(content: bytes) -> bytes:
    return next((data[:-4] for name, data in _png_chunks(content) if name == b"eXIf"), b"")


def _bare_png(content: bytes, exif: bytes) -> bytes:
    made = [_PNG_SIGN]
    for name, data in _png_chunks(content):
        if name in _PNG_KEPT:
            made.append(struct.pack(">L", len(data) - 4) + name + data)
        if name == b"IHDR" and exif:
            check = struct.pack(">L", zlib.crc32(b"eXIf" + exif))
            made.append(struct.pack(">L", len(exif)) + b"eXIf" + exif + check)
    return b"".join(made)


def _webp_chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    end = 8 + int.from_bytes(content[4:8], "little")
    if end > len(content):
        raise BrokenPicture
    return _chunks(content, 12, end, big=False)


def _webp_exif(content: bytes) -> bytes:
    found = next((data for name, data in _webp_chunks(content) if name == b"EXIF"), b"")
    return found.removeprefix(EXIF)  # the standard has no such start, some programs write it


def _bare_webp(content: bytes, exif: bytes) -> bytes:
    kept = [(name, data) for name, data in _webp_chunks(content) if name in _WEBP_KEPT]
    if not kept:
        raise BrokenPicture
    if kept[0][0] == b"VP8X":
        kept[0] = (b"VP8X", _flagged(kept[0][1], bool(exif)))
        kept += [(b"EXIF", exif)] if exif else []
    made = b"".join(_riff(name, data) for name, data in kept)
    return b"RIFF" + struct.pack("<L", len(made) + 4) + b"WEBP" + made


def _flagged(data: bytes, exif: bool) -> bytes:
    if not data:
        raise BrokenPicture
    kept = data[0] & ~(_WEBP_EXIF | _WEBP_XMP)
    return bytes((kept | (_WEBP_EXIF if exif else 0),)) + data[1:]


def _riff(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<L", len(data)) + data + b"\0" * (len(data) % 2)


_EXIF_FINDERS: dict[str, Callable[[bytes], bytes]] = {
    "jpeg": _jpeg_exif,
    "png": _png_exif,
    "webp": _webp_exif,
}
_STRIPPERS: dict[str, Callable[[bytes, bytes], bytes]] = {
    "jpeg": _bare_jpeg,
    "png": _bare_png,
    "webp": _bare_webp,
}
