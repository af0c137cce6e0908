"""The papers: made beside the requests, stopped, failed; a whole set or what was there before."""

from __future__ import annotations

import re
import shutil
import threading
from collections.abc import Callable, Iterator
from io import BytesIO

import attrs
import pikepdf
import pytest
from django.test import Client
from PIL import Image
from pypdf import PdfReader

from loomwright.documents import pack
from loomwright.documents.typesetting import Paper
from loomwright.loom import Job
from loomwright.loom.records import About
from loomwright.services.wire_use import use_wire
from loomwright.services.workup import WorkUp
from loomwright.workshop import papermaking
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.data_folder import data_folder
from loomwright.workshop.paper_sets import kept_set
from loomwright.workshop.papermaking import Making, making_of
from sample import jobs as sample

JOB = "tarn-2300"
PAPERS = f"/jobs/{JOB}/papers/"
LIMIT_S = 60.0


@pytest.fixture(autouse=True)
def alone() -> Iterator[None]:
    """Every test begins without papers, and leaves no thread."""
    _forget()
    yield
    _forget()


@pytest.fixture
def small(db: None) -> str:
    """A small job under the demo's name, for what does not rest on the papers' content."""
    BENCH.jobs.write(JOB, sample.job())
    return JOB


def _forget() -> None:
    making = making_of(JOB)
    if making is not None:
        making.stop()
        assert making.wait(LIMIT_S)
    papermaking._makings.clear()
    shutil.rmtree(data_folder() / "papers", ignore_errors=True)


def asked(*kinds: str, sheet: str = "a4", label_sheet: str = "") -> dict[str, object]:
    return {"kind": kinds, "sheet": sheet, "label_sheet": label_sheet}


def ended() -> Making:
    making = making_of(JOB)
    assert making is not None
    assert making.wait(LIMIT_S)
    return making


def held_kind(monkeypatch: pytest.MonkeyPatch, name: str, go_on: Callable[[], None]) -> None:
    """A kind of paper that does something before it is made."""
    usual = pack.KINDS[name]

    def made(known: WorkUp, day: str) -> Iterator[Paper]:
        go_on()
        yield from usual.papers(known, day)

    monkeypatch.setitem(pack.KINDS, name, attrs.evolve(usual, papers=made))


def test_papers_are_made_to_the_end_and_can_be_read(demo: str, here: Client) -> None:
    answer = here.post(PAPERS, asked("parts", "labels", sheet="letter", label_sheet="3x10"))
    assert (answer.status_code, answer["Location"]) == (303, PAPERS)
    assert ended().state == "made"
    page = here.get(PAPERS).content.decode()
    assert "for Letter" in page
    assert 'href="/jobs/tarn-2300/papers/parts-list.pdf"' in page
    assert 'href="/jobs/tarn-2300/papers/labels-wires.pdf"' in page
    assert "has changed since" not in page
    paper = here.get(f"{PAPERS}parts-list.pdf")
    assert paper["Content-Type"] == "application/pdf"
    assert paper["Content-Disposition"] == 'inline; filename="tarn-2300-parts-list.pdf"'
    with pikepdf.open(BytesIO(paper.content)) as opened:
        assert len(opened.pages) == 2
        assert [round(float(each)) for each in opened.pages[0].MediaBox] == [0, 0, 612, 792]


def test_the_papers_follow_the_chosen_offer(demo: str, here: Client) -> None:
    here.post(f"/jobs/{JOB}/offer/", {"offer": "only what failed", "was.offer": ""})
    here.post(PAPERS, asked("cards"))
    assert ended().state == "made"
    made = kept_set(JOB)
    assert made is not None
    cards = [each.file for each in made.papers]
    assert "card-TE.pdf" in cards
    assert "card-TH.pdf" not in cards


def test_a_kind_that_the_job_gives_nothing_for_is_told(here: Client) -> None:
    BENCH.jobs.write(JOB, Job(about=About(title="A car that was just brought in")))
    here.post(PAPERS, asked("parts", "tests"))
    assert ended().state == "made"
    page = here.get(PAPERS).content.decode()
    assert "parts-list.pdf" in page
    assert "The job gives nothing for: test sheet." in page


def test_a_change_of_the_job_makes_them_old(small: str, here: Client) -> None:
    here.post(PAPERS, asked("tests"))
    ended()
    here.post("/jobs/tarn-2300/rows/stock/", {"part": "REC", "count": "1"})
    assert "The job has changed since these papers were made" in here.get(PAPERS).content.decode()


def test_while_it_runs_it_says_how_far_it_is_and_can_be_stopped(
    small: str, here: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    there, go_on = threading.Event(), threading.Event()
    here.post(PAPERS, asked("tests"))
    before = ended() and kept_set(JOB)

    def wait() -> None:
        there.set()
        go_on.wait(LIMIT_S)

    held_kind(monkeypatch, "crimps", wait)
    here.post(PAPERS, asked("crimps", "tests"))
    assert there.wait(LIMIT_S)
    page = here.get(PAPERS).content.decode()
    assert '<noscript><meta http-equiv="refresh"' in page
    assert "0 of 2." in page
    assert "Make the papers" not in page
    part = here.get(PAPERS, headers={"HX-Request": "true"})
    assert "<progress" in part.content.decode()
    assert "<html" not in part.content.decode()
    again = here.post(PAPERS, asked("tests"), follow=True).content.decode()
    assert "are being made already" in again
    making = making_of(JOB)
    assert making is not None
    making.stop()
    go_on.set()
    assert here.post(f"{PAPERS}stop/").status_code == 303
    assert ended().state == "stopped"
    assert kept_set(JOB) == before
    assert "Stopped. What was made before is as it was." in here.get(PAPERS).content.decode()
    assert here.get(f"{PAPERS}test-sheet.pdf").status_code == 200
    assert here.get(PAPERS, headers={"HX-Request": "true"})["HX-Refresh"] == "true"


def test_only_whole_sets_stay_in_the_folder(small: str, here: Client) -> None:
    for _ in range(2):
        here.post(PAPERS, asked("tests"))
        ended()
    folders = [each for each in (data_folder() / "papers" / JOB).iterdir() if each.is_dir()]
    assert len(folders) == 1


def test_a_mistake_of_ours_is_told_with_a_reference_and_the_old_set_stays(
    small: str, here: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    here.post(PAPERS, asked("tests"))
    before = ended() and kept_set(JOB)

    def wrong() -> None:
        raise ZeroDivisionError("nobody should read this")

    held_kind(monkeypatch, "crimps", wrong)
    here.post(PAPERS, asked("tests", "crimps"))
    making = ended()
    assert making.state == "failed"
    page = here.get(PAPERS).content.decode()
    assert "The cause lies in the program" in page
    assert "nobody should read this" not in page
    reference = re.search(r"reference (\w{8})", page)
    assert reference is not None
    log = (data_folder() / "failures.log").read_text(encoding="utf-8")
    assert "nobody should read this" in log.partition(reference[1])[2]
    assert kept_set(JOB) == before


def test_a_disk_that_refuses_is_told_in_words(small: str, here: Client) -> None:
    place = data_folder() / "papers"
    place.mkdir()
    (place / JOB).write_text("a file where the folder should be", encoding="utf-8")
    here.post(PAPERS, asked("tests"))
    assert ended().state == "failed"
    page = here.get(PAPERS).content.decode()
    assert "cannot be written" in page
    assert "Traceback" not in page


def test_everything_wrong_with_the_form_is_told_beside_its_field(small: str, here: Client) -> None:
    answer = here.post(PAPERS, asked(sheet="napkin"))
    page = answer.content.decode()
    assert answer.status_code == 400
    assert "No paper is ticked. Tick one or more." in page
    assert "There is no sheet &quot;napkin&quot;. Give a4 or letter." in page
    assert making_of(JOB) is None
    answer = here.post(PAPERS, asked("labels", sheet="letter", label_sheet="3x7"))
    assert answer.status_code == 400
    assert 'id="f-label_sheet-error"' in answer.content.decode()


def test_a_job_that_does_not_hold_together_says_so(small: str, here: Client) -> None:
    key = BENCH.rows.rows(JOB, "wires")[0].key
    BENCH.rows.put(JOB, "wires", key, {"wire": "W1", "from": "NO.1", "to": "NO.2"})
    answer = here.post(PAPERS, asked("tests"))
    assert answer.status_code == 400
    assert making_of(JOB) is None


@pytest.mark.parametrize("name", ["none.pdf", "..", "set.json", "%2e%2e%2fset.json"])
def test_only_papers_of_the_set_are_given(small: str, here: Client, name: str) -> None:
    here.post(PAPERS, asked("tests"))
    ended()
    assert here.get(f"{PAPERS}{name}").status_code == 404


def test_no_such_job(small: str, here: Client) -> None:
    assert here.get("/jobs/none/papers/").status_code == 404
    assert here.post("/jobs/none/papers/", asked("tests")).status_code == 404
    assert here.get("/jobs/none/papers/quote.pdf").status_code == 404


def test_one_kind_can_be_asked_for_by_the_address(small: str, here: Client) -> None:
    page = here.get(f"{PAPERS}?only=quote").content.decode()
    assert 'value="quote" checked' in page
    assert 'value="parts" checked' not in page


def photo() -> bytes:
    made = BytesIO()
    Image.new("RGB", (1200, 900), "navy").save(made, "JPEG")
    return made.getvalue()


def test_the_report_shows_what_was_ticked_off_and_the_photos(small: str, here: Client) -> None:
    BENCH.rows.put(small, "tasks", None, {"task": "D9", "item": "T2", "step": "record",
                                         "state": "done", "by": "first bench"})  # fmt: skip
    BENCH.rows.put(small, "photos", None, {"photo": "T2.jpg", "item": "T2", "note": "seen"})
    PHOTOS.write(small, "t2.jpg", photo())
    boot = BENCH.rows.rows(small, "survey")[0]
    BENCH.rows.put(small, "survey", boot.key, {**boot.cells, "photo": "t1-torn-boot.svg"})
    PHOTOS.write(small, "t1-torn-boot.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>")
    here.post(PAPERS, asked("report"))
    assert ended().state == "made"
    report = PdfReader(BytesIO(here.get(f"{PAPERS}before-and-after-report.pdf").content))
    words = " ".join(" ".join(page.extract_text() for page in report.pages).split())
    assert "Steps done: record." in words
    assert "T2: seen." in words
    assert "T1, boot: cracked" in words
    assert [each.image.size for page in report.pages for each in page.images] == [(900, 675)]


def test_a_photo_whose_file_is_gone_is_named(small: str, here: Client) -> None:
    BENCH.jobs.write(small, sample.job({"survey": None, "photos": None}))
    BENCH.rows.put(small, "photos", None, {"photo": "t1.jpg", "item": "T1"})
    PHOTOS.write(small, "t1.jpg", photo())
    shutil.rmtree(data_folder() / "photos")
    here.post(PAPERS, asked("report"))
    assert ended().state == "made"
    report = PdfReader(BytesIO(here.get(f"{PAPERS}before-and-after-report.pdf").content))
    words = " ".join(" ".join(page.extract_text() for page in report.pages).split())
    assert "no picture that can be printed: t1.jpg" in words


def test_wire_that_was_counted_off_does_not_change_the_planned_work(
    small: str, here: Client
) -> None:
    row = next(each for each in BENCH.rows.rows(JOB, "plugs") if each.cells["plug"] == "T1")
    BENCH.rows.put(JOB, "plugs", row.key, {**row.cells, "spare_mm": "55"})

    def card() -> str:
        here.post(PAPERS, asked("cards"))
        assert ended().state == "made"
        pages = PdfReader(BytesIO(here.get(f"{PAPERS}card-T1.pdf").content)).pages
        return " ".join(page.extract_text() for page in pages)

    before = card()
    assert "New terminals on the wire as it is." in before
    use_wire(BENCH, JOB, "T1", "45", saw="55", by="", now="2026-03-20 10:00")
    assert card() == before
