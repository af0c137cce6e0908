"""What is kept of Exif data comes back the same, and broken data tells nothing."""

from __future__ import annotations

import datetime

from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from loomwright.storage.exif import Shot, exif_of, shot_from

TIMES = st.datetimes(min_value=datetime.datetime(1000, 1, 1)).map(
    lambda time: time.replace(microsecond=0)
)
SHOTS = st.builds(Shot, st.none() | st.integers(1, 8), st.none() | TIMES)


@given(SHOTS)
def test_what_is_written_is_read(shot: Shot) -> None:
    assert shot_from(exif_of(shot)) == shot


@given(SHOTS)
def test_another_reader_reads_the_same(shot: Shot) -> None:
    read = Image.Exif()
    read.load(exif_of(shot))
    assert read.get(0x0112) == shot.orientation
    taken = read.get_ifd(0x8769).get(0x9003) if shot.taken else None
    assert taken == (shot.taken.strftime("%Y:%m:%d %H:%M:%S") if shot.taken else None)


def test_nothing_to_tell_takes_no_room() -> None:
    assert exif_of(Shot()) == b""
    assert shot_from(b"") == Shot()


@given(
    st.binary(max_size=200), st.sampled_from([b"", b"II*\0", b"MM\0*", b"MM\0*\0\0\0\x08\0\x05"])
)
def test_broken_data_never_raises(data: bytes, head: bytes) -> None:
    found = shot_from(head + data)
    assert found.orientation in (None, *range(1, 9))


@given(SHOTS, st.integers(0, 80), st.integers(0, 255))
def test_a_changed_byte_never_raises(shot: Shot, at: int, value: int) -> None:
    changed = bytearray(exif_of(shot) or b"MM")
    changed[at % len(changed)] = value
    found = shot_from(bytes(changed))
    assert shot_from(exif_of(found)) == found
    assert shot_from(bytes(changed[:at])) is not None
