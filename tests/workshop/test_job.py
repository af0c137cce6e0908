"""The page of a job: how it stands, what it is about, the offers, closing it."""

from __future__ import annotations

import html

import attrs
from django.test import Client

from loomwright.loom import About, Job, TaskRow
from loomwright.loom.identity import TaskId
from loomwright.services.entering import enter
from loomwright.services.finding_words import how_sure, wrong
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.job_list import is_closed
from loomwright.workshop.models import KeptJob, KeptRow
from loomwright.workshop.results import forget
from sample.demo import demo_known

PAGE = "/jobs/tarn-2300/"
HTMX = {"HTTP_HX_REQUEST": "true"}


def text(here: Client, address: str, **how: str) -> str:
    answer = here.get(address, **how)
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


def offer_of(name: str) -> str:
    return BENCH.rows.rows(name, "job")[0].cells.get("offer", "")


def test_the_page_opens_without_a_diagnosis_and_links_to_what_takes_one(
    demo: str, here: Client
) -> None:
    page = text(here, PAGE)
    assert "Starts badly hot, drinks fuel" in page
    assert "14 readings" in page
    assert 'hx-get="/jobs/tarn-2300/glance/"' in page
    assert '<a class="go" href="/jobs/tarn-2300/glance/">' in page
    assert '<a class="go" href="/jobs/tarn-2300/offers/">' in page
    assert "cavity 1 or 2" not in page


def test_the_glance_says_what_the_command_says(demo: str, here: Client) -> None:
    known = demo_known()
    page = text(here, f"{PAGE}glance/")
    for line in (*wrong(known.suspects, known.labels), *how_sure(known.suspects)):
        assert line in page


def test_with_a_script_only_the_part_is_sent(demo: str, here: Client) -> None:
    for part in ("glance", "offers"):
        assert "<html" in text(here, f"{PAGE}{part}/")
        assert "<html" not in text(here, f"{PAGE}{part}/", **HTMX)


def test_a_job_without_a_loom_shows_the_way_and_works_nothing_out(here: Client) -> None:
    DatabaseJobs().write("blank", Job(about=About(title="Blank")))
    page = text(here, "/jobs/blank/")
    assert "Describe the loom" in page
    assert "hx-get" not in page
    assert text(here, "/jobs/blank/glance/")


def test_work_that_goes_on_gives_its_next_step(here: Client, demo_job: Job) -> None:
    begun = TaskRow(task=TaskId("D1"), step="photograph", state="done")
    job = attrs.evolve(
        demo_job, about=attrs.evolve(demo_job.about, offer="all within reach"), tasks=(begun,),
        proof=(),
    )  # fmt: skip
    DatabaseJobs().write("tarn-2300", job)
    page = text(here, f"{PAGE}glance/")
    assert "The work is going on: 1 of" in page
    assert "Tag both halves of every plug" in page
    assert 'href="/jobs/tarn-2300/steps/"' in page


def test_the_offers_stand_side_by_side_and_one_is_chosen(demo: str, here: Client) -> None:
    page = text(here, f"{PAGE}offers/")
    for name in ("Only what failed", "All within reach", "Everything", "What pays"):
        assert f"<h3>{name}</h3>" in page
    assert "32 to 41 EUR" in page
    assert ">chosen</span>" not in page
    answer = here.post(f"{PAGE}offer/", {"offer": "everything", "was.offer": "", "back": PAGE})
    assert (answer.status_code, answer["Location"]) == (303, PAGE)
    assert offer_of(demo) == "everything"
    assert text(here, f"{PAGE}offers/").count(">chosen</span>") == 1


def test_before_anything_was_seen_or_read_no_offers_stand_there(
    here: Client, demo_job: Job
) -> None:
    bare = attrs.evolve(demo_job, readings=(), proof=(), survey=(), crimps=(), photos=())
    DatabaseJobs().write("bare", bare)
    page = text(here, "/jobs/bare/offers/")
    assert "Nothing was looked at and nothing was read yet" in page
    assert "Choose" not in page
    assert "no reading has been taken yet" in text(here, "/jobs/bare/glance/")
    assert "How sure" not in text(here, "/jobs/bare/glance/")


def test_two_people_who_choose_different_offers_are_asked_which(demo: str, here: Client) -> None:
    here.post(f"{PAGE}offer/", {"offer": "everything", "was.offer": ""})
    answer = here.post(f"{PAGE}offer/", {"offer": "what pays", "was.offer": ""})
    assert answer.status_code == 409
    assert offer_of(demo) == "everything"


def test_the_last_changes_are_told(demo: str, here: Client) -> None:
    row = BENCH.rows.rows(demo, "job")[0]
    enter(BENCH, demo, "job", {"complaint": "Rough when damp"}, key=row.key)
    page = text(here, PAGE)
    assert "Somebody changed the job: complaint" in page
    assert 'href="/jobs/tarn-2300/history/"' in page


def test_a_job_is_closed_and_opened_again(demo: str, here: Client) -> None:
    answer = here.post(f"{PAGE}close/", {"closed": "yes"})
    assert (answer.status_code, answer["Location"]) == (303, "/")
    assert is_closed(demo)
    assert "Open this job again" in text(here, PAGE)
    answer = here.post(f"{PAGE}close/", {"closed": "no"})
    assert answer["Location"] == PAGE
    assert not is_closed(demo)
    assert here.get(f"{PAGE}close/").status_code == 405


def test_closing_changes_nothing_in_the_job(demo: str, here: Client) -> None:
    before = KeptJob.objects.get(name=demo).stamp
    here.post(f"{PAGE}close/", {"closed": "yes"})
    assert KeptJob.objects.get(name=demo).stamp == before


def test_a_job_that_does_not_hold_together_opens_and_its_parts_tell_why(
    demo: str, here: Client
) -> None:
    row = KeptRow.objects.filter(table="wires").first()
    assert row is not None
    row.cells = {**row.cells, "to": "NOWHERE.1"}
    row.save()
    BENCH.rows.put(demo, "wires", str(row.pk), row.cells)
    assert "It does not hold together yet" in text(here, PAGE)
    answer = here.get(f"{PAGE}glance/")
    assert answer.status_code == 400
    assert "NOWHERE" in answer.content.decode()


def test_an_unknown_job_is_said_to_be_unknown(here: Client) -> None:
    for part in ("", "glance/", "offers/", "differences/"):
        assert here.get(f"/jobs/nobody/{part}").status_code == 404
    assert here.post("/jobs/nobody/close/", {"closed": "yes"}).status_code == 404


def test_what_was_worked_out_sharpens_the_next_thing_until_the_job_changes(
    here: Client, demo_job: Job
) -> None:
    forget()
    DatabaseJobs().write("open", attrs.evolve(demo_job, proof=()))
    assert "See what is wrong" in text(here, "/")
    text(here, "/jobs/open/glance/")
    assert "Compare the offers and choose one" in text(here, "/")
    assert "Compare the offers and choose one" in text(here, "/jobs/open/")
    key = BENCH.rows.rows("open", "job")[0].key
    enter(BENCH, "open", "job", {"complaint": "Rough when damp"}, key=key)
    assert "See what is wrong" in text(here, "/")
