"""The page of a plug: faces to touch, grades, the record, photos, spare wire."""

from __future__ import annotations

import html
import io
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from loomwright.services.entering import enter, row_of
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.results import forget, worked_up

PLUG = "/jobs/tarn-2300/plugs/TE/"
GREEN = "terminal in cavity 1 green, powder in the shell; cavity 2 dark"


def words(response: object) -> str:
    """What the page says, without its marks."""
    text = re.sub(r"<(style|script).*?</\1>", " ", response.content.decode(), flags=re.S)  # type: ignore[attr-defined]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def body(response: object) -> str:
    return str(response.content.decode())  # type: ignore[attr-defined]


def survey(demo: str, item: str, aspect: str) -> dict[str, str]:
    for row in BENCH.rows.rows(demo, "survey"):
        if (row.cells["item"], row.cells["aspect"]) == (item, aspect):
            return dict(row.cells)
    return {}


def graded(here: Client, **fields: str) -> object:
    return here.post(PLUG, {"act": "grade", "item": "TE", "aspect": "boot", **fields})


def shot(name: str = "IMG.JPG", kind: str = "JPEG") -> SimpleUploadedFile:
    made = io.BytesIO()
    exif = Image.Exif()
    exif.get_ifd(0x8825).update({1: "N", 2: (49.0, 7.0, 23.0)})
    Image.new("RGB", (64, 48), "green").save(made, kind, exif=exif)
    return SimpleUploadedFile(name, made.getvalue())


def test_it_tells_what_the_plug_is_and_shows_both_sides(demo: str, here: Client) -> None:
    shown = here.get(PLUG)
    said = words(shown)
    assert "Engine temperature sensor plug (TE)" in said
    assert "Goes on Device ETS (Engine temperature sensor) Place thermostat" in said
    assert "Seen from the mating face" in said
    assert "Seen from the wire side" in said
    assert (
        body(shown).count('aria-label="Cavity 1, wire W32 green with a white tracer, to CU.6"') == 2
    )
    assert "Touch a cavity to see its wire" in said


def test_the_caution_stands_before_the_record(demo: str, here: Client) -> None:
    said = words(here.get(PLUG))
    assert said.index("Key off before a plug comes off") < said.index("Recorded before cutting")


def test_a_touched_cavity_tells_its_wire_without_a_script(demo: str, here: Client) -> None:
    shown = here.get(f"{PLUG}?cavity=1")
    said = words(shown)
    assert "Wire W32 Colour green with a white tracer (GN/WH) Size 0.75 mm², 24 strands" in said
    assert "Other end Plug CU (Control unit plug), cavity 6" in said
    assert 'href="/jobs/tarn-2300/plugs/CU/?cavity=6"' in body(shown)
    key = row_of(BENCH.rows.rows(demo, "wires"), "wire", "W32").key
    assert f"/jobs/tarn-2300/rows/wires/{key}/?back=" in body(shown)
    assert "R13: 319 Ω" in said
    assert body(shown).count('aria-current="true"') == 2


def test_with_htmx_only_the_part_comes_with_both_faces_marked(demo: str, here: Client) -> None:
    shown = here.get(f"{PLUG}cavity/2/", headers={"HX-Request": "true"})
    assert "<main" not in body(shown)
    assert "Wire W33" in words(shown)
    assert body(shown).count("hx-swap-oob") == 2
    assert body(shown).count('aria-current="true"') == 2


def test_the_part_by_itself_leads_to_the_page(demo: str, here: Client) -> None:
    assert here.get(f"{PLUG}cavity/2/").headers["Location"] == f"{PLUG}?cavity=2"


def test_an_empty_cavity_offers_to_add_its_wire(demo: str, here: Client) -> None:
    row = row_of(BENCH.rows.rows(demo, "plugs"), "plug", "TE")
    enter(BENCH, demo, "plugs", {"face": "1 2 3"}, key=row.key)
    shown = here.get(f"{PLUG}?cavity=3")
    assert "No wire ends in it" in words(shown)
    assert "/jobs/tarn-2300/rows/wires/?from=TE.3&amp;back=" in body(shown)


def test_suspects_are_told_once_they_are_worked_out(demo: str, here: Client) -> None:
    forget()
    assert "Suspects here" not in words(here.get(f"{PLUG}?cavity=1"))
    with worked_up(demo) as worked:
        named = [each for each in worked.results.suspects.suspects if "TE.1" in each.at]
    assert named
    assert "Suspects here" in words(here.get(f"{PLUG}?cavity=1"))


@pytest.mark.parametrize("address", ["/jobs/tarn-2300/plugs/T/", f"{PLUG}?cavity=9"])
def test_what_is_not_there_is_said(demo: str, here: Client, address: str) -> None:
    shown = here.get(address)
    assert shown.status_code == 404
    assert "there is no" in words(shown).casefold()


def test_a_plug_whose_row_cannot_be_read_tells_why(demo: str, here: Client) -> None:
    row = row_of(BENCH.rows.rows(demo, "plugs"), "plug", "TE")
    BENCH.rows.put(demo, "plugs", row.key, {**row.cells, "face": "1 1"})
    shown = here.get(PLUG)
    assert shown.status_code == 400
    assert 'cavity "1" stands in it twice' in words(shown)


def test_a_grade_is_kept_by_one_touch(demo: str, here: Client) -> None:
    sent = graded(here, grade="2", **{"was.grade": "3"})
    assert (sent.status_code, sent.headers["Location"]) == (303, f"{PLUG}?at=TE-boot")  # type: ignore[attr-defined]
    assert survey(demo, "TE", "boot")["grade"] == "2"
    shown = here.get(f"{PLUG}?at=TE-boot")
    assert "2 worn: hard or with a small tear at the lip" in words(shown)
    assert re.search(r'id="TE-boot"[^>]* autofocus', body(shown))


def test_the_first_grade_of_a_wires_end_makes_a_row(demo: str, here: Client) -> None:
    here.post(
        f"{PLUG}?cavity=1",
        {"act": "grade", "item": "W32", "aspect": "insulation", "grade": "1", "was.grade": ""},
    )
    assert survey(demo, "W32", "insulation") == {
        "item": "W32", "aspect": "insulation", "grade": "1",
    }  # fmt: skip
    assert "Grade wire W32: insulation 1 aged" in words(here.get(f"{PLUG}?cavity=1"))


def test_a_note_is_kept_beside_the_grade(demo: str, here: Client) -> None:
    here.post(
        PLUG,
        {"act": "grade", "item": "TE", "aspect": "terminal", "note": "cleaned", "was.note": GREEN},
    )
    assert survey(demo, "TE", "terminal")["note"] == "cleaned"
    assert survey(demo, "TE", "terminal")["grade"] == "3"


def test_strands_that_cannot_be_left_are_refused_beside_their_field(
    demo: str, here: Client
) -> None:
    sent = here.post(
        f"{PLUG}?cavity=1",
        {"act": "grade", "item": "W32", "aspect": "strands", "strands_left": "25",
         "was.strands_left": "", "note": "two cut", "was.note": ""},
    )  # fmt: skip
    assert sent.status_code == 400
    assert re.search(r'id="W32-strands-strands_left-error">[^<]*24', body(sent))
    assert 'value="25"' in body(sent)
    assert not survey(demo, "W32", "strands")


def test_a_grade_that_is_none_is_refused(demo: str, here: Client) -> None:
    sent = graded(here, grade="7", **{"was.grade": "3"})
    assert sent.status_code == 400  # type: ignore[attr-defined]
    assert '"7"' in words(sent)
    assert survey(demo, "TE", "boot")["grade"] == "3"


def test_two_grades_at_once_are_both_shown_and_one_is_chosen(demo: str, here: Client) -> None:
    graded(here, grade="2", **{"was.grade": "3"})
    sent = graded(here, grade="4", **{"was.grade": "3"})
    assert sent.status_code == 409  # type: ignore[attr-defined]
    assert {"2", "4"} <= set(re.findall(r'name="grade" value="(\d)"', body(sent)))
    fields = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', body(sent)))
    fields |= {"grade": "4", "entry": "another-entry"}
    again = here.post(PLUG, fields)
    assert again.status_code == 303
    assert survey(demo, "TE", "boot")["grade"] == "4"


def test_recording_is_ticked_and_taken_back(demo: str, here: Client) -> None:
    here.post("/person/", {"name": "Robin"})
    sent = here.post(PLUG, {"act": "record"})
    assert sent.headers["Location"] == f"{PLUG}?at=record"
    (row,) = BENCH.rows.rows(demo, "tasks")
    assert (row.cells["item"], row.cells["step"], row.cells["state"]) == ("TE", "record", "done")
    assert re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d", row.cells["done_at"])
    assert f"recorded {row.cells['done_at']}, by Robin." in words(here.get(PLUG))
    here.post(PLUG, {"act": "unrecord"})
    assert not BENCH.rows.rows(demo, "tasks")


def test_a_record_stays_when_work_rests_on_it(demo: str, here: Client) -> None:
    here.post(PLUG, {"act": "record"})
    enter(BENCH, demo, "tasks", {"item": "TE", "step": "cut", "state": "done"})
    assert "Cut came later and rests on it" in words(here.get(PLUG))
    sent = here.post(PLUG, {"act": "unrecord"})
    assert sent.status_code == 400
    assert "rests on the record" in words(sent)
    assert len(BENCH.rows.rows(demo, "tasks")) == 2


def test_photos_are_kept_without_where_they_were_taken(demo: str, here: Client) -> None:
    sent = here.post(
        PLUG,
        {"act": "pin", "face": "mating", "note": "torn lip",
         "photos": [shot(), shot("b.png", "PNG")]},
    )  # fmt: skip
    assert sent.headers["Location"] == f"{PLUG}?at=photos"
    assert PHOTOS.names(demo) == ("TE-mating-1.jpg", "TE-mating-2.png")
    assert (
        not Image.open(io.BytesIO(PHOTOS.read(demo, "TE-mating-1.jpg"))).getexif().get_ifd(0x8825)
    )
    shown = here.get(PLUG)
    assert "TE, mating face torn lip" in words(shown)
    assert "/jobs/tarn-2300/photos/TE-mating-1.jpg?size=thumb" in body(shown)
    assert "Kept: TE-mating-1.jpg, TE-mating-2.png." in words(shown)


def test_of_photos_all_or_none_are_kept_and_each_wrong_one_is_named(
    demo: str, here: Client
) -> None:
    bad = [SimpleUploadedFile(name, b"no picture") for name in ("one.jpg", "two.heic")]
    sent = here.post(PLUG, {"act": "pin", "face": "", "note": "lip", "photos": [shot(), *bad]})
    assert sent.status_code == 400
    assert re.search(r'id="photos-error"[^>]*>one\.jpg: .*two\.heic: ', body(sent))
    assert 'name="note" type="text" value="lip"' in body(sent)
    assert not PHOTOS.names(demo)
    assert not BENCH.rows.rows(demo, "photos")


def test_no_photo_chosen_is_said(demo: str, here: Client) -> None:
    sent = here.post(PLUG, {"act": "pin", "face": "", "note": ""})
    assert sent.status_code == 400
    assert "no photo is chosen" in words(sent)


def test_a_photo_is_taken_away_and_its_name_does_not_come_again(demo: str, here: Client) -> None:
    here.post(PLUG, {"act": "pin", "face": "wire", "note": "", "photos": [shot()]})
    here.post(PLUG, {"act": "unpin", "photo": "TE-wire-1.jpg"})
    assert not PHOTOS.names(demo)
    assert not BENCH.rows.rows(demo, "photos")
    here.post(PLUG, {"act": "pin", "face": "wire", "note": "", "photos": [shot()]})
    assert PHOTOS.names(demo) == ("TE-wire-2.jpg",)


def test_photos_that_grades_name_are_shown_or_said_to_be_missing(demo: str, here: Client) -> None:
    PHOTOS.write(demo, "te-torn-boot.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>")
    shown = here.get(PLUG)
    assert "/jobs/tarn-2300/photos/te-torn-boot.svg?size=thumb" in body(shown)
    assert "te-green-terminal.svg is named in the tables, but is not with the job" in words(shown)


def test_spare_wire_and_lock_are_changed_here(demo: str, here: Client) -> None:
    before = {"was.spare_mm": "55", "was.lock": "tongue"}
    sent = here.post(PLUG, {"act": "plug", "spare_mm": "35", "lock": "finger", **before})
    assert sent.headers["Location"] == f"{PLUG}?at=shell"
    row = row_of(BENCH.rows.rows(demo, "plugs"), "plug", "TE")
    assert (row.cells["spare_mm"], row.cells["lock"]) == ("35", "finger")
    assert row.cells["face"] == "1 2"


def test_a_wrong_length_is_refused_beside_its_field(demo: str, here: Client) -> None:
    sent = here.post(PLUG, {"act": "plug", "spare_mm": "some", "was.spare_mm": "55"})
    assert sent.status_code == 400
    assert re.search(r'id="plug-spare_mm-error">[^<]*some', body(sent))
    assert 'value="some"' in body(sent)


def test_a_form_of_another_page_changes_nothing(demo: str, here: Client) -> None:
    assert here.post(PLUG, {"act": "burn"}).status_code == 404
