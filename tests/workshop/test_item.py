"""The pages of joints, devices and wires: the same as a plug's, as far as they have it."""

from __future__ import annotations

import html
import io
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from loomwright.services.entering import row_of
from loomwright.workshop.bench import BENCH, PHOTOS

ITEMS = "/jobs/tarn-2300/items/"


def body(response: object) -> str:
    return str(response.content.decode())  # type: ignore[attr-defined]


def words(response: object) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body(response))).split())


def test_a_wire_tells_its_colour_and_leads_to_both_ends(demo: str, here: Client) -> None:
    shown = here.get(f"{ITEMS}W32/")
    assert "Colour green with a white tracer (GN/WH) Size 0.75 mm², 24 strands" in words(shown)
    assert 'href="/jobs/tarn-2300/plugs/CU/?cavity=6"' in body(shown)
    assert 'href="/jobs/tarn-2300/plugs/TE/?cavity=1"' in body(shown)
    assert "Insulation Not looked at yet." in words(shown)


def test_a_joint_shows_its_wires(demo: str, here: Client) -> None:
    shown = here.get(f"{ITEMS}GE/")
    said = words(shown)
    assert all(f"Wire {name}" in said for name in ("W24", "W30", "W31", "W55", "W56"))
    assert "2 worn: dark, still grips" in said
    assert "Boot" not in said
    key = row_of(BENCH.rows.rows(demo, "joints"), "joint", "GE").key
    assert f"/jobs/tarn-2300/rows/joints/{key}/?back=" in body(shown)


def test_a_device_leads_to_the_plugs_on_it(demo: str, here: Client) -> None:
    shown = here.get(f"{ITEMS}ETS/")
    assert 'href="/jobs/tarn-2300/plugs/TE/"' in body(shown)
    assert "R13: 319 Ω" in words(shown)


def test_a_plug_has_its_own_page(demo: str, here: Client) -> None:
    assert here.get(f"{ITEMS}TE/").headers["Location"] == "/jobs/tarn-2300/plugs/TE/"


def test_what_is_not_there_is_said_with_what_may_be_meant(demo: str, here: Client) -> None:
    shown = here.get(f"{ITEMS}W320/")
    assert shown.status_code == 404
    assert 'Did you mean "W32"?' in words(shown)


@pytest.mark.parametrize(("item", "aspect"), [("W46", "insulation"), ("GB", "terminal")])
def test_it_is_graded_where_it_is_shown(demo: str, here: Client, item: str, aspect: str) -> None:
    sent = here.post(
        f"{ITEMS}{item}/",
        {"act": "grade", "item": item, "aspect": aspect, "grade": "2", "was.grade": ""},
    )
    assert sent.headers["Location"] == f"{ITEMS}{item}/?at={item}-{aspect}"
    assert {"item": item, "aspect": aspect, "grade": "2"} in [
        row.cells for row in BENCH.rows.rows(demo, "survey")
    ]


def test_strands_are_counted_on_a_wire(demo: str, here: Client) -> None:
    sent = here.post(
        f"{ITEMS}W46/",
        {"act": "grade", "item": "W46", "aspect": "strands", "strands_left": "20",
         "was.strands_left": "30"},
    )  # fmt: skip
    assert sent.status_code == 303
    assert "4 danger, by the strands left" in words(here.get(f"{ITEMS}W46/"))


def test_photos_are_pinned_to_it_without_a_side(demo: str, here: Client) -> None:
    made = io.BytesIO()
    Image.new("RGB", (40, 30)).save(made, "JPEG")
    photo = SimpleUploadedFile("x.jpg", made.getvalue())
    here.post(f"{ITEMS}W23/", {"act": "pin", "note": "", "photos": [photo]})
    assert PHOTOS.names(demo) == ("W23-whole-1.jpg",)
    assert 'name="face"' not in body(here.get(f"{ITEMS}W23/"))
