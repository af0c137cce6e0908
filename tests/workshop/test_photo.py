"""Photos as files: small, large, as they were taken; drawings that may run nothing."""

from __future__ import annotations

import io

import pytest
from django.test import Client
from PIL import Image

from loomwright.workshop.bench import PHOTOS

DRAWING = b"<svg xmlns='http://www.w3.org/2000/svg'><rect width='5' height='5'/></svg>"


@pytest.fixture
def kept(demo: str) -> str:
    made = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = 6  # lies on its side
    Image.new("RGB", (2000, 1000), "navy").save(made, "JPEG", exif=exif)
    PHOTOS.write(demo, "te.jpg", made.getvalue())
    PHOTOS.write(demo, "te.svg", DRAWING)
    return f"/jobs/{demo}/photos/"


@pytest.mark.parametrize(
    ("size", "pixels"), [("thumb", (240, 480)), ("large", (800, 1600))]
)  # fmt: skip
def test_a_photo_is_shown_upright_and_smaller(
    kept: str, here: Client, size: str, pixels: tuple[int, int]
) -> None:
    sent = here.get(f"{kept}te.jpg?size={size}")
    assert (sent.status_code, sent.headers["Content-Type"]) == (200, "image/jpeg")
    assert Image.open(io.BytesIO(sent.content)).size == pixels


@pytest.mark.parametrize("query", ["", "?size=original", "?size=huge"])
def test_else_it_is_sent_as_it_was_taken(kept: str, here: Client, query: str) -> None:
    sent = here.get(f"{kept}te.jpg{query}")
    assert sent.content == PHOTOS.read("tarn-2300", "te.jpg")
    assert sent.headers["Content-Disposition"] == "inline"
    assert sent.headers["X-Content-Type-Options"] == "nosniff"


def test_it_is_sent_once_until_it_changes(kept: str, here: Client) -> None:
    address = f"{kept}te.jpg?size=thumb"
    first = here.get(address)
    assert first.headers["Cache-Control"].startswith("private")
    mark = first.headers["ETag"]
    assert here.get(address, headers={"If-None-Match": mark}).status_code == 304
    assert here.get(f"{kept}te.jpg", headers={"If-None-Match": mark}).status_code == 200
    PHOTOS.write("tarn-2300", "te.jpg", DRAWING)
    assert here.get(address, headers={"If-None-Match": mark}).status_code == 200


@pytest.mark.parametrize("query", ["", "?size=thumb"])
def test_a_drawing_may_run_nothing_and_fetch_nothing(kept: str, here: Client, query: str) -> None:
    sent = here.get(f"{kept}te.svg{query}")
    assert sent.content == DRAWING
    assert sent.headers["Content-Type"] == "image/svg+xml"
    assert "sandbox" in sent.headers["Content-Security-Policy"]
    assert "default-src 'none'" in sent.headers["Content-Security-Policy"]


def test_what_is_no_picture_is_not_shown_as_one(kept: str, here: Client) -> None:
    PHOTOS.write("tarn-2300", "odd.jpg", b"<html><script>alert(1)</script>")
    sent = here.get(f"{kept}odd.jpg")
    assert sent.headers["Content-Type"] == "application/octet-stream"


def test_a_photo_that_is_not_there_is_said(kept: str, here: Client) -> None:
    sent = here.get(f"{kept}tf.jpg")
    assert sent.status_code == 404
    assert b"there is no photo" in sent.content.lower()
