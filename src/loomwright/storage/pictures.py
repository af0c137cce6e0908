"""Photos as they come from a camera: looked at, rid of what they tell of people, made smaller.

The one module that knows Pillow. Blocks of the file are left out before Pillow sees it, so that
broken data beside the picture never reaches it.
"""

from __future__ import annotations

import io
import struct
import zlib
from math import ceil

from PIL import Image, ImageCms, ImageOps

from loomwright.loom import InputProblems, Problem, Where
from loomwright.storage import limits
from loomwright.storage.picture_blocks import BrokenPicture, bare, canvas, kind_by_sign, shot_in
from loomwright.storage.svg_scan import ActiveDrawing, is_svg

MAX_PIXELS = {"JPEG": 120_000_000, "PNG": 50_000_000, "WEBP": 50_000_000}
"""By format; a JPEG can be unpacked at an eighth of its size, the others only whole."""

_QUALITY = 85
_OTHER = "set the camera to JPEG, or save the picture as JPEG, PNG or WebP"
_BROKEN = (BrokenPicture, OSError, SyntaxError, ValueError, EOFError, MemoryError, OverflowError,
           struct.error, zlib.error, IndexError, KeyError, TypeError)  # fmt: skip
"""What is raised on files that are cut short, odd or hostile."""

# Pillow would print a warning; sizes are looked at here, and refused in words.
Image.MAX_IMAGE_PIXELS = None


def kind_of(content: bytes, *, name: str = "photo") -> str:
    """`jpeg`, `png`, `webp` or `svg`, of a picture that can be shown.

    Parameters
    ----------
    name : what the person calls the file, for messages

    Raises
    ------
    InputProblems
        when it is of another kind, broken, too large, or a drawing that holds a program.
    """
    kind = _kind(content, name)
    if kind != "svg":
        try:
            image = _opened(content, name)
            image.draft(None, (1, 1))  # an eighth of the size is enough to see that it is whole
            image.load()
        except _BROKEN as failure:
            raise _broken(name) from failure
    return kind


def without_position(content: bytes, *, name: str = "photo") -> bytes:
    """The same picture, not a pixel changed, without data about place, person or camera.

    Which way up it is and when it was taken stay. A drawing (SVG) is returned as it is.

    Raises
    ------
    InputProblems
        when it is no picture, or broken.
    """
    if _kind(content, name) == "svg":
        return content
    try:
        return bare(content)
    except BrokenPicture as failure:
        raise _broken(name) from failure


def taken_at(content: bytes) -> str:
    """When the photo was taken by the camera's clock, as `2026-05-14 10:20`; empty if untold."""
    try:
        taken = shot_in(content).taken if kind_by_sign(content) else None
    except BrokenPicture:
        return ""
    return taken.isoformat(" ", "minutes") if taken else ""


def shown(content: bytes, *, longest: int = 1600, name: str = "photo") -> bytes:
    """The photo as an upright JPEG in sRGB colours with no data but the picture.

    Parameters
    ----------
    longest : the longer side at most, pixels; a smaller photo is not enlarged

    Raises
    ------
    InputProblems
        when it is no photo, broken or too large; also for a drawing (SVG).
    """
    if _kind(content, name) == "svg":
        raise _refusal(name, "this is a drawing, not a photo", "show the drawing itself")
    try:
        image = _opened(content, name)
        # Twice the size wanted is enough to unpack; no less, or the result would be coarse.
        part = 2 * longest / max(image.size)
        image.draft(None, (ceil(image.width * part), ceil(image.height * part)))
        small = _in_srgb(ImageOps.exif_transpose(image))
        small.thumbnail((longest, longest), Image.Resampling.LANCZOS)
        made = io.BytesIO()
        small.save(made, "JPEG", quality=_QUALITY)
    except _BROKEN as failure:
        raise _broken(name) from failure
    return made.getvalue()


def _kind(content: bytes, name: str) -> str:
    """The kind by the first bytes, and for drawings by all of them."""
    if len(content) > limits.MAX_PHOTO_BYTES:
        what = f"it holds more than {limits.MAX_PHOTO_BYTES // 1_000_000} MB"
        raise _refusal(name, what, "save the photo smaller")
    try:
        kind = kind_by_sign(content) or ("svg" if is_svg(content) else "")
    except ActiveDrawing as failure:
        what = "the drawing holds a program or a definition that unfolds"
        raise _refusal(name, what, "save it as plain SVG, or as PNG") from failure
    if not kind:
        raise _refusal(name, "this is no JPEG, PNG or WebP photo", _OTHER)
    return kind


def _opened(content: bytes, name: str) -> Image.Image:
    """The picture, not yet unpacked."""
    kind = kind_by_sign(content).upper()
    clean = bare(content)
    if kind == "WEBP":  # its library makes room for the whole picture at once
        _refuse_many_pixels(kind, canvas(clean), name)
    image = Image.open(io.BytesIO(clean), formats=(kind,))
    _refuse_many_pixels(kind, image.size, name)
    return image


def _refuse_many_pixels(kind: str, size: tuple[int, int], name: str) -> None:
    width, height = size
    if width * height > MAX_PIXELS[kind]:
        what = f"it is {width} by {height} pixels"
        most = f"save it with no more than {MAX_PIXELS[kind] // 1_000_000} million pixels"
        raise _refusal(name, what, most)


def _in_srgb(image: Image.Image) -> Image.Image:
    """The picture in the colours that every screen shows; what is clear becomes white."""
    profile = image.info.get("icc_profile")
    plain = _without_clear(image)
    if profile and plain.mode in ("RGB", "CMYK", "L"):
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            target = ImageCms.createProfile("sRGB")
            found = ImageCms.profileToProfile(plain, source, target, outputMode="RGB")
            plain = found or plain
        except (ImageCms.PyCMSError, OSError):
            pass  # a profile that nobody can read says nothing about the colours
    return plain.convert("RGB")


def _without_clear(image: Image.Image) -> Image.Image:
    if image.mode.startswith(("I", "F")):  # sixteen bits of grey
        return image.point(lambda grey: grey / 256).convert("L")
    if image.mode in ("RGB", "CMYK", "L") and "transparency" not in image.info:
        return image
    over = image.convert("RGBA")
    white = Image.new("RGBA", over.size, "white")
    return Image.alpha_composite(white, over).convert("RGB")


def _broken(name: str) -> InputProblems:
    what = "the picture is damaged, cut short, or not what it seems"
    return _refusal(name, what, "take it from the camera anew")


def _refusal(name: str, what: str, expected: str) -> InputProblems:
    return InputProblems([Problem(Where(name[:80]), what, expected)])
