"""Photos for paper: upright, small, as many as are wanted; what cannot be read is left out."""

from __future__ import annotations

import io

from PIL import Image

from loomwright.loom import NotFound, StorageFailed
from loomwright.storage.paper_photos import LONGEST, MOST_DRAWING_BYTES, printable
from loomwright.storage.pictures import kind_of

DRAWING = b"<svg xmlns='http://www.w3.org/2000/svg'><rect width='5' height='5'/></svg>"


def photo(kind: str = "JPEG", *, lies: bool = False) -> bytes:
    made, exif = io.BytesIO(), Image.Exif()
    if lies:
        exif[0x0112] = 6
    Image.new("RGB", (2400, 1200), "navy").save(made, kind, exif=exif)
    return made.getvalue()


KEPT = {
    "lies.jpg": photo(lies=True),
    "screen.png": photo("PNG"),
    "drawn.svg": DRAWING,
    "broken.jpg": photo()[:3000],
    "words.jpg": b"no picture at all",
    "runs.svg": DRAWING.replace(b"<rect", b"<script/><rect"),
    "huge.svg": DRAWING.replace(b"<rect", b" " * MOST_DRAWING_BYTES + b"<rect"),
}


def read(name: str) -> bytes:
    if name == "disk.jpg":
        raise StorageFailed("the disk refuses")
    if name not in KEPT:
        raise NotFound(f"there is no {name}")
    return KEPT[name]


def test_photos_are_upright_and_small_and_drawings_stay_as_they_are() -> None:
    found = printable(["lies.jpg", "screen.png", "drawn.svg"], read, most=24)
    assert [kind_of(content) for content in found.values()] == ["jpeg", "jpeg", "svg"]
    assert Image.open(io.BytesIO(found["lies.jpg"])).size == (LONGEST // 2, LONGEST)
    assert found["drawn.svg"] == DRAWING


def test_what_cannot_be_read_is_left_out_and_others_take_its_place() -> None:
    names = ["gone.jpg", "disk.jpg", *KEPT]
    assert list(printable(names, read, most=24)) == ["lies.jpg", "screen.png", "drawn.svg"]
    asked = ["broken.jpg", "words.jpg", "runs.svg", "huge.svg", "drawn.svg", "lies.jpg"]
    assert list(printable(asked, read, most=1)) == ["drawn.svg"]


def test_no_more_files_are_read_than_are_wanted() -> None:
    seen: list[str] = []

    def watched(name: str) -> bytes:
        seen.append(name)
        return read(name)

    printable(["drawn.svg", "lies.jpg", "screen.png"], watched, most=2)
    assert seen == ["drawn.svg", "lies.jpg"]
