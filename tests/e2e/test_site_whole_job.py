"""A whole job through the real site: on a phone, without scripts, from an empty workshop.

The tests follow each other, as the days of one job do: each begins where the one before it ended.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, expect

from loomwright.storage.job_folder import FolderPhotos, JobFolder
from sample.jobs import TABLES
from sample.site import CHROMIUM, Site, browser

pytestmark = pytest.mark.skipif(not CHROMIUM.exists(), reason="needs a browser at its usual place")

JOB = "/jobs/rough-when-warm/"
PASTED = (
    "plugs", "wires", "devices", "elements", "joints", "curves", "meters", "branches", "zones",
    "catalogue", "suppliers", "offers", "stock",
)  # fmt: skip
ORIENTATION, GPS = 0x0112, 0x8825


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """A workshop with nothing in it."""
    site = Site(tmp_path_factory.mktemp("workshop"))
    site.open()
    yield site
    site.close()


@pytest.fixture(scope="module")
def phone(site: Site) -> Iterator[Page]:
    with browser() as chromium:
        yield opened(chromium, site)


def opened(chromium: Browser, site: Site) -> Page:
    context = chromium.new_context(
        viewport={"width": 360, "height": 740},
        has_touch=True,
        java_script_enabled=False,
        base_url=site.address,
    )
    context.set_default_timeout(15_000)
    return context.new_page()


def press(place: Page | Locator, words: str) -> None:
    place.get_by_role("button", name=words, exact=True).click()


def follow(page: Page, words: str) -> None:
    page.get_by_role("link", name=words).first.click()


def said(page: Page, words: str) -> None:
    """What stands at the head of the page after something was done."""
    expect(page.locator(".message", has_text=words)).to_be_visible()


def the_step(page: Page) -> Locator:
    return page.locator("#next")


def turned_photo() -> bytes:
    """A photo as a phone takes it: lying on its side, with the place in it."""
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif.get_ifd(GPS).update({1: "N", 2: (49.0, 7.0, 23.0), 3: "E", 4: (8.0, 1.0, 2.0)})
    made = io.BytesIO()
    Image.effect_noise((160, 120), 60).convert("RGB").save(made, "JPEG", exif=exif)
    return made.getvalue()


@pytest.fixture(scope="module")
def photo() -> bytes:
    return turned_photo()


def test_a_job_is_started(phone: Page) -> None:
    phone.goto("/")
    expect(phone.locator("main")).to_contain_text("No job is here yet")
    follow(phone, "Who are you?")
    phone.get_by_label("Your name").fill("Kim")
    press(phone, "Write as this name")
    said(phone, "This device writes as Kim.")
    follow(phone, "Start a job")
    phone.get_by_label("Title").fill("Rough when warm")
    phone.get_by_label("Complaint").fill("Stumbles once it is warm")
    phone.get_by_label("Runs rich, drinks fuel").check()
    press(phone, "Start the job")
    said(phone, "Started: Rough when warm.")
    expect(phone.locator("main")).to_contain_text("No plug is written down yet.")


def test_its_loom_is_pasted_table_by_table(phone: Page) -> None:
    phone.goto(f"{JOB}loom/")
    follow(phone, "Paste Plugs")
    phone.get_by_label("Rows from a spreadsheet").fill(TABLES["plugs"])
    press(phone, "Show what would happen")
    expect(phone.locator("#would")).to_be_visible()
    expect(phone.locator("main")).to_contain_text("5 rows are new.")
    expect(phone.locator("main")).to_contain_text('there is no device or plug "ECU"')
    press(phone, "Keep it all the same, mend the rest later")
    said(phone, "Kept: plugs, 5 rows added.")
    for table in PASTED[1:]:
        phone.goto(f"{JOB}paste/{table}/")
        phone.get_by_label("Rows from a spreadsheet").fill(TABLES[table])
        press(phone, "Show what would happen")
        phone.get_by_role("button", name="Keep").click()
        said(phone, f"Kept: {table}, ")
    phone.goto(f"{JOB}loom/")
    expect(phone.locator("main")).not_to_contain_text("does not hold together")
    expect(phone.get_by_role("img", name="The loom as a tree")).to_contain_text("Engine sensor")
    expect(phone.locator(".plugline")).to_have_count(5)


def test_a_plug_is_graded_recorded_and_photographed(phone: Page, photo: bytes) -> None:
    phone.goto(f"{JOB}loom/")
    follow(phone, "T1 Engine sensor plug")
    for aspect in ("boot", "terminal"):
        press(phone.locator(f"#T1-{aspect}"), "3 bad")
        expect(phone.locator(f"#T1-{aspect}")).to_contain_text("3 bad: ")
        expect(phone.locator(f"#T1-{aspect} [aria-pressed=true]")).to_have_text("3 bad")
    press(phone, "✓ It is recorded")
    expect(phone.locator("#record")).to_contain_text("by Kim")
    phone.get_by_label("Spare").fill("90")
    press(phone.locator("#shell"), "Keep")
    said(phone, "Kept: plug T1.")
    phone.get_by_label("Or choose some that were taken").set_input_files(
        {"name": "IMG_0001.JPG", "mimeType": "image/jpeg", "buffer": photo}
    )
    phone.get_by_label("wire side").check()
    phone.get_by_label("What is to be seen").fill("torn along the back")
    press(phone, "Keep the photos")
    said(phone, "Kept: ")
    shown = phone.locator(".photo img")
    expect(phone.locator(".photo")).to_contain_text("torn along the back")
    small = phone.context.request.get(shown.get_attribute("src") or "").body()
    assert Image.open(io.BytesIO(small)).size == (120, 160)  # stood up


def test_the_offered_reading_is_taken(phone: Page) -> None:
    phone.goto(f"{JOB}measure/")
    follow(phone, "Show it")
    expect(phone.locator("main")).to_contain_text(re.compile(r"A sound loom reads \d.* V to \d"))
    phone.get_by_label("It reads").fill("3,98 V")
    phone.get_by_label("Engine").fill("18")
    press(phone, "Keep reading")
    expect(phone.locator(".verdict")).to_contain_text("3.98 V")


def test_a_reading_is_judged_and_mended(phone: Page) -> None:
    phone.goto(f"{JOB}measure/own/")
    phone.get_by_label("ohm").check()
    phone.get_by_label("Red to").fill("CU.1")
    phone.get_by_label("Black to").fill("CU.4")
    press(phone, "Show this reading")
    expect(phone.locator("main")).to_contain_text("Key off, take off plug CU")
    phone.get_by_label("It reads").fill("2,71k")
    expect(phone.get_by_role("textbox", name="Engine")).to_have_value("18")  # as told before
    press(phone, "Keep reading")
    expect(phone.locator(".verdict")).to_contain_text("2.71 kΩ")
    follow(phone, "Typed wrong? Change it")
    phone.get_by_label("Value").fill("3k91")
    press(phone, "Keep")
    said(phone, "Kept: reading R2.")
    expect(phone.locator(".verdict")).to_contain_text("too high: 3.91 kΩ")
    follow(phone, "Show it")
    expect(phone.locator("main")).to_contain_text("plug T1 (Engine sensor plug)")
    follow(phone, "All suspects, and why")
    expect(phone.locator("#suspect-1")).to_contain_text("T1")
    expect(phone.locator("#suspect-1")).to_contain_text("High resistance")


def test_an_offer_is_chosen(phone: Page) -> None:
    phone.goto(f"{JOB}quote/")
    offer = phone.locator(".offer", has_text="All within reach")
    expect(offer).to_contain_text("New terminals at T1.")
    offer.get_by_role("button", name="Choose").click()
    said(phone, "Chosen: all within reach.")
    expect(phone.locator(".offer.chosen")).to_contain_text("All within reach")
    expect(phone.get_by_role("heading", name="The quote for “all within reach”")).to_be_visible()


def test_the_first_steps_are_begun_and_finished(phone: Page) -> None:
    phone.goto(f"{JOB}steps/")
    if phone.get_by_role("link", name="Show the work").count():
        follow(phone, "Show the work")
    expect(the_step(phone)).to_contain_text("Photograph the bay")
    press(the_step(phone), "Begin, start the time")
    said(phone, "“photograph” is begun; the time runs.")
    press(the_step(phone), "✓ Done")
    said(phone, "“photograph” is done, 1 min.")
    expect(the_step(phone)).to_contain_text("Tag both halves")
    the_step(phone).get_by_text("Minutes and note").click()
    the_step(phone).get_by_label("Minutes").fill("4")
    press(the_step(phone), "✓ Done")
    said(phone, "“tag” is done, 4 min.")


def test_a_hold_point_that_failed_stops_the_work(phone: Page) -> None:
    phone.goto(f"{JOB}steps/")
    expect(the_step(phone)).to_contain_text("HOLD")
    expect(the_step(phone)).to_contain_text("Fuel stays under pressure")
    the_step(phone).locator("[value=failed]").click()
    said(phone, "“battery off” has failed. Put it right and pass it before going on.")
    after = phone.locator(".step", has_text="Reach engine.")
    expect(after).to_contain_text('hold point "battery off" has failed')
    expect(after.get_by_role("button")).to_have_count(0)
    press(the_step(phone), "✓ Passed")
    said(phone, "“battery off” is passed")
    expect(the_step(phone)).to_contain_text("Reach engine.")


def test_a_step_whose_turn_is_over_is_refused_with_the_reason(phone: Page) -> None:
    """The page was opened before somebody took back what the step rests on."""
    phone.goto(f"{JOB}steps/")
    old = phone.context.new_page()
    old.goto(f"{JOB}steps/")
    press(phone, "Take it back")
    said(phone, "Taken back: “battery off” is not passed any more.")
    press(the_step(old), "✓ Done")
    expect(old.get_by_role("heading", level=1)).to_have_text("Not safe to do")
    expect(old.locator("main")).to_contain_text(
        '“open engine” may not be ticked yet: hold point "battery off"'
    )
    expect(old.get_by_text("do what comes first")).to_have_count(1)
    follow(old, "Back to where you were")
    expect(the_step(old)).to_contain_text("Key off; battery minus off first")
    old.close()


def test_a_trial_crimp_is_typed_in(phone: Page) -> None:
    phone.goto(f"{JOB}steps/")
    follow(phone, "Crimp log")
    for label, text in (("Terminal", "flat 2.8"), ("Section", "0,75"), ("Die", "nest 2")):
        phone.get_by_label(label).fill(text)
    phone.get_by_label("Height").fill("1,32")
    phone.get_by_role("textbox", name="Pull").fill("118")
    phone.get_by_role("group", name="What gave way").get_by_label("wire").check()
    phone.get_by_label("good").check()
    press(phone, "Keep this trial")
    said(phone, "Kept: trial K1 of set-up S1.")
    card = phone.locator("#set-up-S1")
    expect(card).to_contain_text("flat 2.8")
    card.get_by_text("The trials one by one").click()
    expect(card.locator("tbody tr")).to_contain_text("1.32118wiregood")
    follow(phone, "Crimps that the work needs and nobody tried")
    expect(phone.locator("main")).to_contain_text(
        "Not known yet what is crimped at Engine sensor plug (T1)"
    )


def test_the_parts_and_the_quote_follow_the_offer(phone: Page) -> None:
    phone.goto(f"{JOB}parts/")
    expect(phone.locator("main")).to_contain_text("For the offer “all within reach”.")
    expect(phone.locator("main")).to_contain_text("the nearest is REC")
    phone.locator("summary", has_text="More").click()
    phone.locator("nav a:visible", has_text="Quote").click()
    expect(phone.locator("main")).to_contain_text("Engine sensor plug (T1): new terminals")


def test_a_paper_is_made_and_read(phone: Page) -> None:
    phone.goto(f"{JOB}papers/?only=labels")
    expect(phone.locator("[name=kind]:checked")).to_have_count(1)
    press(phone, "Make the papers")
    made = phone.locator("a[href$='.pdf']")
    expect(made).not_to_have_count(0, timeout=20_000)
    expect(phone.locator("main")).to_contain_text("Labels and strips")
    paper = phone.context.request.get(made.first.get_attribute("href") or "")
    assert paper.headers["content-type"] == "application/pdf"
    assert paper.body().startswith(b"%PDF")


def test_the_history_names_who_did_it_and_takes_it_back(phone: Page) -> None:
    phone.goto(f"{JOB}history/?find=R2")
    change = phone.locator(".change", has_text="Kim changed reading R2")
    expect(change).to_contain_text("2710")
    expect(change).to_contain_text("3910")
    change.get_by_role("button", name="Undo").click()
    said(phone, "Undone: Kim changed reading R2.")
    phone.goto(f"{JOB}readings/R2/")
    expect(phone.locator(".verdict")).to_contain_text("2.71 kΩ")


def test_the_job_goes_out_whole(phone: Page, photo: bytes, tmp_path: Path) -> None:
    phone.goto(JOB)
    with phone.expect_download() as coming:
        follow(phone, "Take out as a file")
    file = tmp_path / coming.value.suggested_filename
    coming.value.save_as(file)
    job = JobFolder().read(file)
    assert (job.about.title, job.about.offer) == ("Rough when warm", "all within reach")
    assert [row.value for row in job.readings] == [3.98, 2710.0]
    assert {(row.item, row.aspect, row.grade) for row in job.survey} == {
        ("T1", "boot", 3), ("T1", "terminal", 3),
    }  # fmt: skip
    assert [(row.step, row.state) for row in job.tasks] == [
        ("record", "done"), ("photograph", "done"), ("tag", "done"), ("battery off", "failed"),
    ]  # fmt: skip
    assert {row.by for row in job.tasks} == {"Kim"}
    (kept,) = job.photos
    assert (kept.item, kept.face) == ("T1", "wire")
    inside = Image.open(io.BytesIO(FolderPhotos().read(file, str(kept.photo))))
    assert not inside.getexif().get_ifd(GPS)
    assert inside.getexif()[ORIENTATION] == 6
    assert inside.tobytes() == Image.open(io.BytesIO(photo)).tobytes()
