"""Papers that tell what was done: in the report, on the cover, in the boxes of the cards."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import attrs
import pikepdf
import pytest
from pypdf import PdfReader

from loomwright.documents.before_after import BeforeAfter, before_after
from loomwright.documents.cover import cover
from loomwright.documents.typesetting import pdf
from loomwright.services.shots import MOST_SHOWN
from loomwright.services.workup import WorkUp
from sample import worked as sample

DAY = "2026-03-21"


def text_of(content: bytes) -> str:
    pages = PdfReader(BytesIO(content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def report(known: WorkUp) -> BeforeAfter:
    (paper,) = before_after(known, DAY)
    assert pdf(paper).startswith(b"%PDF")
    assert isinstance(paper.context, BeforeAfter)
    return paper.context


def with_photos(press: Any, photos: dict[str, bytes] | None) -> WorkUp:
    """The worked job with these photos of its plug TE."""
    rows = tuple(sample.photo(name, "TE") for name in photos or ())
    job = attrs.evolve(press.worked.job, photos=rows, survey=())
    known = sample.worked(press.known, job)
    known.photos = photos
    return known


def test_the_report_tells_what_was_done_before_how_it_reads(press: Any) -> None:
    said = text_of(press.content("report worked", "a4")["before-and-after-report"])
    places = [
        said.index(words)
        for words in (
            "What was done", "17 of 65 steps are done", "“trial” at TH", "90 min of work",
            "Engine temperature sensor plug (TE)", "Done: new terminals.", "first bench, 35 min",
            "✓ passed Make three to five trial crimps", "TE: as it was found. 2026-03-20 10:00",
            "Throttle switch plug (TH)", "Steps done: record and tag.", "one terminal slid back",
            "The whole car", "Not done yet", "new boot: not begun.",
            "trial (failed), cut, boot, crimp and pin left to do.", "How to read this",
            "gone.jpg",
        )
    ]  # fmt: skip
    assert places == sorted(places)
    assert "failed Make three to five trial crimps" in said


def test_photos_stand_under_their_item_with_words(press: Any) -> None:
    (paper,) = press.papers("report worked")
    photos = {each.name: each.photos for each in paper.context.done}
    assert [len(each) for each in photos.values()] == [4, 0, 1]
    first = photos["Engine temperature sensor plug (TE)"][0]
    assert first.alt == "Photo te.jpg. TE: as it was found. 2026-03-20 10:00"
    assert paper.context.pictured == ()


def test_photos_go_onto_the_paper_as_they_are_coded(press: Any) -> None:
    (content,) = press.content("report worked", "a4").values()
    with pikepdf.open(BytesIO(content)) as opened:
        coded = [
            bytes(each.read_raw_bytes())
            for each in opened.objects
            if isinstance(each, pikepdf.Stream) and each.get("/Filter") == "/DCTDecode"
        ]
    (wide, high) = (sample.jpeg(), sample.jpeg(600, 900))
    assert set(coded) == {wide, high}
    assert len(content) < 200_000


def test_the_most_that_are_shown_are_shown_and_the_rest_is_named(press: Any) -> None:
    photo = sample.jpeg(90, 60)
    known = with_photos(press, {f"p{number:02}.jpg": photo for number in range(MOST_SHOWN)})
    more = tuple(sample.photo(name, "TE") for name in ("x1.jpg", "x2.jpg"))
    known.job = attrs.evolve(known.job, photos=(*known.job.photos, *more))
    said = report(known)
    assert sum(len(each.photos) for each in said.done) == MOST_SHOWN
    assert said.photos_note == (
        "The job holds more photos than the 24 shown here: x1.jpg and x2.jpg.",
    )


@pytest.mark.parametrize(
    "drawing",
    [
        sample.DRAWING.replace(
            b"<path d='M0 0H9'/>", b"<image href='a.png' width='9' height='9'/>"
        ),
        sample.DRAWING.replace(b"<path d='M0 0H9'/>", "<text y='9'>漢</text>".encode()),
        sample.DRAWING.replace(b"width='40'", b"width='0'"),
        sample.DRAWING.decode().encode("utf-16"),
        b"neither photo nor drawing",
    ],
)
def test_a_drawing_that_cannot_be_set_is_named_and_stops_nothing(
    press: Any, drawing: bytes
) -> None:
    said = report(with_photos(press, {"odd.svg": drawing, "good.svg": sample.DRAWING}))
    assert sum(len(each.photos) for each in said.done) == 1
    assert said.photos_note == (
        "Not with the job, or no picture that can be printed: odd.svg.",
    )  # fmt: skip


def test_a_drawing_takes_nothing_from_the_folder_the_program_runs_in(
    press: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for place in (tmp_path, tmp_path / "pictures"):
        place.mkdir(exist_ok=True)
        (place / "secret.jpg").write_bytes(sample.jpeg())
    monkeypatch.chdir(tmp_path)
    wants = b"<image href='secret.jpg' width='9' height='9'/>"
    drawing = sample.DRAWING.replace(b"<path d='M0 0H9'/>", wants)
    said = report(with_photos(press, {"odd.svg": drawing}))
    assert not any(each.photos for each in said.done)


def test_where_nobody_looked_for_photos_none_is_spoken_of(press: Any) -> None:
    said = report(with_photos(press, None))
    assert said.photos_note == ()
    assert not any(each.photos for each in said.done)


def test_photos_without_work_stand_by_themselves(press: Any) -> None:
    job = attrs.evolve(press.known.job, photos=(sample.photo("ecu.jpg", "CU"),), survey=())
    known = sample.worked(press.known, job)
    known.photos = {"ecu.jpg": sample.jpeg()}
    said = report(known)
    assert (said.done_note, said.done, said.not_done) == ("", (), ())
    assert [(each.name, len(each.photos)) for each in said.pictured] == [
        ("Control unit plug (CU)", 1)
    ]


def test_the_cover_says_how_far_the_work_is(press: Any) -> None:
    (paper,) = press.papers("cover worked")
    assert paper.context.offer.startswith("The offer “what pays”: 17 of 65 steps are done; ")
    assert "Finished: Engine temperature sensor plug (TE)." in paper.context.offer
    assert "Begun and not finished: Throttle switch plug (TH)." in paper.context.offer
    assert paper.context.offer.endswith("8 items not begun.")
    (plain,) = cover(press.known, DAY)
    assert "signed job cards" in str(plain.context)


def test_when_all_is_done_the_cover_says_so(press: Any) -> None:
    job = attrs.evolve(press.known.job, tasks=sample.all_ticked(press.known.work))
    (paper,) = cover(sample.worked(press.known, job), DAY)
    assert "“what pays”: all 65 steps are done; " in str(paper.context)
    assert "not begun" not in str(paper.context)
    assert report(sample.worked(press.known, job)).not_done == ()


def test_boxes_of_logged_steps_are_ticked_with_day_and_person(press: Any) -> None:
    cards = {paper.name: paper.context for paper in press.papers("cards worked")}
    assert {(each.mark, each.told) for each in cards["card-TE"].steps if not each.hold} == {
        ("✓", "2026-03-20 10:05, first bench")
    }
    assert [(each.mark, each.told) for each in cards["card-TH"].steps][2:4] == [
        ("✗", "failed 2026-03-20 10:05, first bench"), ("", ""),
    ]  # fmt: skip
    frame = cards["card-before-and-after"]
    assert [each.words for each in frame.cards if each.mark] == ["TE: new terminals, at thermostat"]
    words = text_of(press.content("cards worked", "a4")["card-TE"])
    assert "✓" in words
    assert "passed 2026-03-20 10:05, first bench" in words
    assert "sign" not in words.split("Steps")[1].split("Done by")[0]


def test_a_hold_point_that_failed_can_be_signed_once_it_is_put_right(press: Any) -> None:
    words = text_of(press.content("cards worked", "a4")["card-TH"]).split("Steps")[1]
    assert words.count("sign") == 5


def test_letters_that_no_font_has_stop_no_paper(press: Any) -> None:
    known = with_photos(press, {})
    tasks = tuple(attrs.evolve(row, note="dry \U0001f600, 漢\u200d") for row in known.job.tasks)
    known.job = attrs.evolve(known.job, tasks=tasks)
    (paper,) = before_after(known, DAY)
    assert "dry □, □" in text_of(pdf(paper))
