"""Photos: nothing told of place or person, not a pixel changed, and nothing hostile let in.

The outside judge is Pillow, which reads the Exif data and the pixels back.
"""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from collections.abc import Callable, Iterator
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms, ImageDraw, PngImagePlugin

from loomwright.loom import InputProblems
from loomwright.storage import limits, pictures
from loomwright.storage.pictures import kind_of, shown, taken_at, without_position

SECRETS = (b"SECRET", b"49.123", b"Anna")
XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>SECRET 49.123 Anna</x:xmpmeta>"
KINDS = ["jpeg", "png", "webp"]
ORIENTATION, GPS, EXIF_PART, TAKEN = 0x0112, 0x8825, 0x8769, 0x9003
TIME = "2026:05:14 10:20:31"


@cache
def drawn(mode: str = "RGB", size: tuple[int, int] = (48, 32)) -> Image.Image:
    """A picture whose corners differ, so that a turn shows: red, green, blue, white."""
    image = Image.new("RGB", size, "grey")
    draw = ImageDraw.Draw(image)
    width, height = size
    half = (width // 2, height // 2)
    for colour, corner in zip(
        ("red", "lime", "blue", "white"),
        ((0, 0), (half[0], 0), (0, half[1]), half),
        strict=True,
    ):
        draw.rectangle((corner, (corner[0] + width // 3, corner[1] + height // 3)), colour)
    return image.convert(mode)


def exif(orientation: int | None = None, taken: str | None = TIME) -> Image.Exif:
    made = Image.Exif()
    made[0x010F] = "SECRET maker"
    made[0x0110] = "SECRET camera"
    made[0x013B] = "Anna"
    if orientation is not None:
        made[ORIENTATION] = orientation
    part = made.get_ifd(EXIF_PART)
    part[0xA431] = "SECRET serial"
    if taken is not None:
        part[TAKEN] = taken
    made.get_ifd(GPS).update({1: "N", 2: (49.0, 7.0, 23.0), 3: "E", 4: (8.0, 40.0, 1.0)})
    return made


@cache
def photo(kind: str, orientation: int | None = None, taken: str | None = TIME) -> bytes:
    """A photo that tells all a camera and its owner can tell."""
    kept = io.BytesIO()
    data = exif(orientation, taken).tobytes()
    if kind == "jpeg":
        drawn().save(kept, "JPEG", exif=data, xmp=XMP, comment=b"SECRET", quality=95)
        return with_segments(kept.getvalue()) + b"\xff\xd8\xff SECRET second picture \xff\xd9"
    if kind == "webp":
        drawn().save(kept, "WEBP", exif=data, xmp=XMP, lossless=True)
        return kept.getvalue() + b"SECRET"
    told = PngImagePlugin.PngInfo()
    told.add_text("Author", "SECRET Anna")
    told.add_text("Long", "SECRET Anna", zip=True)
    told.add_itxt("XML:com.adobe.xmp", XMP.decode())
    told.add(b"tIME", struct.pack(">HBBBBB", 2026, 5, 14, 10, 20, 31))
    told.add(b"prVt", b"SECRET")
    drawn().save(kept, "PNG", exif=data, pnginfo=told)
    return kept.getvalue() + b"SECRET"


def with_segments(jpeg: bytes) -> bytes:
    """The same JPEG with the further segments that cameras and programs write."""
    extra = [
        (0xED, b"Photoshop 3.0\x008BIM\x04\x04 SECRET"),
        (0xE2, b"FPXR\0 SECRET"),
        (0xE5, b"SECRET"),
        (0xE1, b"http://ns.adobe.com/xmp/extension/\0 SECRET"),
    ]
    made = b"".join(
        bytes((0xFF, marker)) + struct.pack(">H", len(data) + 2) + data for marker, data in extra
    )
    return jpeg[:2] + made + jpeg[2:]


def opened(content: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


def pixels(content: bytes) -> bytes:
    return opened(content).tobytes()


def refusal(act: Callable[[], object]) -> str:
    with pytest.raises(InputProblems) as caught:
        act()
    (problem,) = caught.value.problems
    return problem.sentence


@pytest.mark.parametrize("orientation", [None, *range(1, 9)])
@pytest.mark.parametrize("kind", KINDS)
def test_no_secret_is_left_and_no_pixel_changed(kind: str, orientation: int | None) -> None:
    before = photo(kind, orientation)
    assert opened(before).getexif().get_ifd(GPS)  # the test picture does tell
    assert b"SECRET" in before
    after = without_position(before)
    assert pixels(after) == pixels(before)
    assert [secret for secret in SECRETS if secret in after] == []
    read = opened(after).getexif()
    top = {tag: value for tag, value in read.items() if tag != EXIF_PART}
    assert top == ({} if orientation is None else {ORIENTATION: orientation})
    assert dict(read.get_ifd(GPS)) == {}
    assert dict(read.get_ifd(EXIF_PART)) == {0x9000: b"0232", TAKEN: TIME}


@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_that_tells_nothing_is_told_nothing(kind: str) -> None:
    after = without_position(photo(kind, None, None))
    assert dict(opened(after).getexif()) == {}
    assert b"Exif" not in after
    assert b"eXIf" not in after


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("orientation", [None, 6])
def test_once_is_enough(kind: str, orientation: int | None) -> None:
    once = without_position(photo(kind, orientation))
    assert without_position(once) == once


@pytest.mark.parametrize("kind", ["jpeg", "png", "webp"])
def test_colours_stay_with_their_profile(kind: str) -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    kept = io.BytesIO()
    drawn().save(kept, kind.upper(), icc_profile=profile, exif=exif(3).tobytes())
    after = without_position(kept.getvalue())
    assert opened(after).info["icc_profile"] == profile


@pytest.mark.parametrize(
    ("mode", "form", "options"),
    [
        ("RGB", "JPEG", {"progressive": True}),
        ("RGB", "JPEG", {"restart_marker_blocks": 1}),
        ("RGB", "JPEG", {"subsampling": "4:4:4", "optimize": True}),
        ("L", "JPEG", {}),
        ("CMYK", "JPEG", {}),
        ("P", "PNG", {"transparency": 3}),
        ("RGBA", "PNG", {}),
        ("LA", "PNG", {}),
        ("1", "PNG", {}),
        ("RGB", "WEBP", {"quality": 80}),
        ("RGBA", "WEBP", {"quality": 80}),
    ],
)
def test_every_sort_of_picture_comes_through(
    mode: str, form: str, options: dict[str, object]
) -> None:
    kept = io.BytesIO()
    drawn(mode).save(kept, form, exif=exif(8).tobytes(), **options)  # type: ignore[arg-type]
    before = kept.getvalue()
    after = without_position(before)
    assert kind_of(before) == kind_of(after) == form.lower()
    assert pixels(after) == pixels(before)
    assert opened(after).mode == opened(before).mode
    assert b"SECRET" not in after
    assert opened(shown(before)).size == (32, 48)


def test_a_jpeg_keeps_its_scans_byte_for_byte() -> None:
    plain = io.BytesIO()
    drawn().save(plain, "JPEG", quality=95)
    bare = plain.getvalue()
    assert without_position(bare) == bare
    told = io.BytesIO()
    drawn().save(told, "JPEG", quality=95, exif=exif(None, None).tobytes(), comment=b"SECRET")
    assert without_position(told.getvalue()) == bare


def test_a_png_keeps_its_other_blocks_byte_for_byte() -> None:
    plain = io.BytesIO()
    drawn("P").save(plain, "PNG", dpi=(300, 300), transparency=0)
    bare = plain.getvalue()
    assert b"pHYs" in bare
    assert without_position(bare + b"after the end") == bare


def test_a_second_picture_behind_the_first_goes() -> None:
    kept = io.BytesIO()
    second = drawn().rotate(180)
    drawn().save(kept, "MPO", save_all=True, append_images=[second], exif=exif(6).tobytes())
    before = kept.getvalue()
    assert getattr(opened(before), "n_frames", 1) == 2
    after = without_position(before)
    assert opened(after).format == "JPEG"
    assert pixels(after) == pixels(before)
    assert after.count(b"\xff\xd9") == 1
    assert b"MPF" not in after
    assert kind_of(before) == "jpeg"


def test_an_animation_stays_one() -> None:
    kept = io.BytesIO()
    frames = [drawn(), drawn().rotate(180)]
    frames[0].save(kept, "PNG", save_all=True, append_images=frames[1:])
    after = without_position(kept.getvalue())
    assert after == kept.getvalue()
    assert getattr(opened(after), "n_frames", 1) == 2


def test_the_small_picture_inside_the_head_goes() -> None:
    kept = io.BytesIO()
    drawn().save(kept, "JPEG")
    data = kept.getvalue()
    assert data[6:11] == b"JFIF\0"
    small = b"SECRETSECRET"  # two by two pixels, three bytes each
    told = data[:4] + struct.pack(">H", 16 + 12) + data[6:18] + b"\2\2" + small + data[20:]
    after = without_position(told)
    assert b"SECRET" not in after
    assert pixels(after) == pixels(data)


@pytest.mark.parametrize("kind", KINDS)
def test_when_it_was_taken(kind: str) -> None:
    assert taken_at(photo(kind)) == "2026-05-14 10:20"
    assert taken_at(without_position(photo(kind))) == "2026-05-14 10:20"


@pytest.mark.parametrize(
    "taken", [None, "0000:00:00 00:00:00", "    :  :     :  :  ", "2026:13:45 10:20:31", "soon", ""]
)
@pytest.mark.parametrize("kind", KINDS)
def test_a_clock_that_was_never_set_tells_nothing(kind: str, taken: str | None) -> None:
    assert taken_at(photo(kind, 1, taken)) == ""
    part = opened(without_position(photo(kind, 1, taken))).getexif().get_ifd(EXIF_PART)
    assert TAKEN not in part


@pytest.mark.parametrize("content", [b"", b"x", b"\xff\xd8\xff", b"<svg/>", photo("jpeg")[:60]])
def test_what_is_no_photo_was_not_taken(content: bytes) -> None:
    assert taken_at(content) == ""


def test_exif_in_either_byte_order_is_read() -> None:
    def data(order: str, head: bytes) -> bytes:
        first = struct.pack(f"{order}H HHLHxx HHLL L", 2, 0x112, 3, 1, 6, 0x8769, 4, 1, 38, 0)
        second = struct.pack(f"{order}H HHLL L", 1, 0x9003, 2, 20, 56, 0)
        return head + struct.pack(f"{order}L", 8) + first + second + TIME.encode() + b"\0"

    for order, head in (("<", b"II*\0"), (">", b"MM\0*")):
        kept = io.BytesIO()
        drawn().save(kept, "JPEG", exif=b"Exif\0\0" + data(order, head))
        assert opened(kept.getvalue()).getexif()[ORIENTATION] == 6
        assert opened(without_position(kept.getvalue())).getexif()[ORIENTATION] == 6
        assert taken_at(kept.getvalue()) == "2026-05-14 10:20"


CORNERS = {(8, 5): "red", (32, 5): "lime", (8, 21): "blue", (32, 21): "white"}
NAMED = {"red": (255, 0, 0), "lime": (0, 255, 0), "blue": (0, 0, 255), "white": (255, 255, 255)}
STORED = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
"""How an upright picture is laid into the file so that the orientation sets it upright again."""


def near(found: object, colour: str, by: int = 40) -> bool:
    assert isinstance(found, tuple)
    return all(abs(a - b) <= by for a, b in zip(found, NAMED[colour], strict=True))


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_is_shown_upright(kind: str, orientation: int) -> None:
    turn = STORED[orientation]
    stored = drawn() if turn is None else drawn().transpose(turn)
    kept = io.BytesIO()
    stored.save(kept, kind.upper(), exif=exif(orientation).tobytes(), quality=95)
    image = opened(shown(kept.getvalue()))
    assert image.size == (48, 32)
    assert [at for at, colour in CORNERS.items() if not near(image.getpixel(at), colour)] == []


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_shown_tells_nothing(kind: str) -> None:
    content = shown(photo(kind, 6))
    image = opened(content)
    assert image.format == "JPEG"
    assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert [secret for secret in SECRETS if secret in content] == []
    assert b"Exif" not in content


@pytest.mark.parametrize(
    ("size", "longest", "becomes"),
    [
        ((400, 300), 100, (100, 75)),
        ((300, 400), 100, (75, 100)),
        ((400, 300), 399, (399, 299)),
        ((400, 300), 1600, (400, 300)),
        ((4000, 3), 100, (100, 1)),
        ((1, 1), 100, (1, 1)),
    ],
)
def test_the_longest_side_is_bounded_and_nothing_enlarged(
    size: tuple[int, int], longest: int, becomes: tuple[int, int]
) -> None:
    kept = io.BytesIO()
    Image.new("RGB", size, "red").save(kept, "JPEG")
    assert opened(shown(kept.getvalue(), longest=longest)).size == becomes


def test_other_colours_become_those_of_every_screen() -> None:
    lab = ImageCms.createProfile("LAB")
    kept = io.BytesIO()
    swapped = swapped_profile()
    Image.new("RGB", (32, 32), (255, 0, 0)).save(kept, "PNG", icc_profile=swapped)
    image = opened(shown(kept.getvalue()))
    assert near(image.getpixel((16, 16)), "lime")  # the profile says that red is green
    assert "icc_profile" not in image.info
    kept = io.BytesIO()
    Image.new("RGB", (32, 32), (255, 0, 0)).save(
        kept, "PNG", icc_profile=ImageCms.ImageCmsProfile(lab).tobytes()
    )
    assert near(opened(shown(kept.getvalue())).getpixel((16, 16)), "red")  # a profile for no photo


def swapped_profile() -> bytes:
    """A profile in which red and green have changed places."""
    data = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return data.replace(b"rXYZ", b"????").replace(b"gXYZ", b"rXYZ").replace(b"????", b"gXYZ")


@pytest.mark.parametrize("profile", [b"", b"no profile", swapped_profile()[:200]])
def test_a_broken_profile_says_nothing_about_colours(profile: bytes) -> None:
    kept = io.BytesIO()
    Image.new("RGB", (32, 32), (255, 0, 0)).save(kept, "JPEG", icc_profile=profile)
    assert near(opened(shown(kept.getvalue())).getpixel((16, 16)), "red")


def test_what_is_clear_becomes_white() -> None:
    kept = io.BytesIO()
    Image.new("RGBA", (8, 8), (255, 0, 0, 0)).save(kept, "PNG")
    assert near(opened(shown(kept.getvalue())).getpixel((4, 4)), "white")


def test_sixteen_bits_of_grey_keep_their_brightness() -> None:
    kept = io.BytesIO()
    Image.new("I;16", (8, 8), 0x8000).save(kept, "PNG")
    assert opened(shown(kept.getvalue())).getpixel((4, 4)) == pytest.approx((128, 128, 128), abs=1)


SVG = b'<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0"/></svg>'


@pytest.mark.parametrize(
    "content",
    [
        SVG,
        b"\xef\xbb\xbf" + SVG,
        b"<!-- a plug -->" + SVG.split(b"\n")[1],
        SVG.replace(b"svg", b"s:svg").replace(b"xmlns", b"xmlns:s").replace(b'/s:svg"', b'/svg"'),
    ],
)
def test_a_drawing_is_taken_as_it_is(content: bytes) -> None:
    assert kind_of(content) == "svg"
    assert without_position(content) == content
    assert taken_at(content) == ""
    assert "drawing" in refusal(lambda: shown(content, name="te.svg"))


@pytest.mark.parametrize(
    "inside",
    [
        b"<script>1</script>",
        b'<path onload="1"/>',
        b'<a href="java\nscript:1"/>',
        b"<foreignObject/>",
        b'<animate values="0;javascript:1"/>',
    ],
)
def test_a_drawing_that_holds_a_program_is_refused(inside: bytes) -> None:
    content = SVG.replace(b"<path", inside + b"<path")
    assert refusal(lambda: kind_of(content, name="te.svg")).startswith(
        "te.svg: the drawing holds a program"
    )


def test_a_drawing_that_unfolds_is_refused() -> None:
    bomb = b'<!DOCTYPE svg [<!ENTITY a "aa">]>' + SVG.split(b"\n")[1]
    assert "unfolds" in refusal(lambda: kind_of(bomb))
    sheet = b'<?xml-stylesheet href="x.xsl"?>' + SVG.split(b"\n")[1]
    assert "program" in refusal(lambda: kind_of(sheet))


def test_another_kind_is_refused_in_words() -> None:
    heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"
    assert refusal(lambda: kind_of(heic, name="x.heic")) == (
        "x.heic: this is no JPEG, PNG or WebP photo. "
        "Set the camera to JPEG, or save the picture as JPEG, PNG or WebP."
    )


def other_kind(form: str) -> bytes:
    kept = io.BytesIO()
    drawn().save(kept, form)
    return kept.getvalue()


@pytest.mark.parametrize(
    "content",
    [
        *(other_kind(form) for form in ("GIF", "BMP", "TIFF", "ICO", "PPM", "JPEG2000", "PDF")),
        b"",
        b"text",
        b"<html><svg/></html>",
        b"<svg/>",
        SVG[:-3],
        b"RIFF\0\0\0\0WAVE",
    ],
)
def test_what_is_no_picture_for_us_is_refused(content: bytes) -> None:
    for act in (kind_of, without_position, shown):
        assert "no JPEG, PNG or WebP" in refusal(lambda act=act: act(content))  # type: ignore[misc]


def cuts(content: bytes) -> Iterator[bytes]:
    step = max(1, len(content) // 60)
    yield from (content[:end] for end in range(12, len(content), step))


@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_that_is_cut_short_is_refused_wherever_it_is_cut(kind: str) -> None:
    whole = without_position(photo(kind, 6))
    for cut in cuts(whole):
        assert "damaged" in refusal(lambda cut=cut: kind_of(cut))  # type: ignore[misc]
        assert "damaged" in refusal(lambda cut=cut: shown(cut))  # type: ignore[misc]


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_the_bytes_it_is_a_picture_or_refused(kind: str) -> None:
    whole = photo(kind, 6)

    @settings(max_examples=150, deadline=None)
    @given(st.lists(st.tuples(st.integers(0, len(whole) - 1), st.integers(0, 255)), max_size=6))
    def calm(changes: list[tuple[int, int]]) -> None:
        content = bytearray(whole)
        for at, value in changes:
            content[at] = value
        said = []
        for act in (kind_of, without_position, shown):
            try:
                act(bytes(content))
            except InputProblems as refused:
                said.append(refused.problems[0].expected)
        taken_at(bytes(content))
        assert all(said)

    calm()


def png_of(width: int, height: int) -> bytes:
    """The head of a picture of that size, and next to no pixels."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">L", len(data)) + name + data + struct.pack(">L", zlib.crc32(name + data))
        )

    head = struct.pack(">LLBBBBB", width, height, 8, 2, 0, 0, 0)
    pixels_packed = zlib.compress(b"\0" * 1000)
    made = chunk(b"IHDR", head) + chunk(b"IDAT", pixels_packed) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + made


def jpeg_of(width: int, height: int) -> bytes:
    kept = io.BytesIO()
    drawn().save(kept, "JPEG")
    data = kept.getvalue()
    at = data.index(b"\xff\xc0") + 5
    return data[:at] + struct.pack(">HH", height, width) + data[at + 4 :]


def webp_of(width: int, height: int) -> bytes:
    head = b"\0\0\0\0" + (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    kept = io.BytesIO()
    drawn().save(kept, "WEBP", lossless=True)
    inner = b"VP8X" + struct.pack("<L", 10) + head + kept.getvalue()[12:]
    return b"RIFF" + struct.pack("<L", len(inner) + 4) + b"WEBP" + inner


@pytest.mark.parametrize("make", [png_of, jpeg_of, webp_of])
def test_a_bomb_is_refused_before_it_goes_off(make: Callable[[int, int], bytes]) -> None:
    content = make(16000, 16000)
    assert len(content) < 10_000
    for act in (kind_of, shown):
        said = refusal(lambda act=act: act(content))  # type: ignore[misc]
        assert "16000 by 16000 pixels" in said
        assert "million pixels" in said


def test_a_picture_of_endless_scans_is_refused_before_they_are_gone_over() -> None:
    kept = io.BytesIO()
    drawn().save(kept, "JPEG", progressive=True)
    data = kept.getvalue()
    last = data.rindex(b"\xff\xda")
    assert kind_of(data) == "jpeg"
    endless = data[:last] + data[last:-2] * 300 + data[-2:]
    assert "damaged" in refusal(lambda: kind_of(endless))


def test_a_large_photo_is_not_refused() -> None:
    kept = io.BytesIO()
    Image.new("L", (12000, 9000), 128).save(kept, "JPEG", quality=20)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert kind_of(kept.getvalue()) == "jpeg"


def test_a_file_that_is_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "MAX_PHOTO_BYTES", 100)
    for act in (kind_of, without_position, shown):
        said = refusal(lambda act=act: act(photo("jpeg")))  # type: ignore[misc]
        assert "it holds more than" in said


def test_the_limit_is_forty_megabytes_and_pixels_are_bounded() -> None:
    assert limits.MAX_PHOTO_BYTES == 40_000_000
    assert max(pictures.MAX_PIXELS.values()) == 120_000_000
