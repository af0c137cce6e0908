"""Starting a job: blank, from the shelf, or from an earlier job of the same car."""

from __future__ import annotations

import html

import pytest
from django.test import Client

from loomwright.loom import About, Job
from loomwright.workshop import job_list
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.models import KeptJob, KeptRow
from loomwright.workshop.shelf import SHELF, made_shelf

START = "/jobs/start/"


def form(**typed: object) -> dict[str, object]:
    return {"title": "Engine runs rich", "opened_on": "2026-05-14", "earlier": "", **typed}


def read(name: str) -> Job:
    return DatabaseJobs().read(name)


def test_a_blank_job_is_kept_with_what_was_typed(here: Client) -> None:
    sent = form(
        vehicle="Invented coupé", complaint="Drinks fuel", symptoms=["hot_start", "cuts_out"]
    )
    answer = here.post(START, sent)
    assert (answer.status_code, answer["Location"]) == (303, "/jobs/engine-runs-rich/loom/")
    assert read("engine-runs-rich") == Job(
        about=About(
            title="Engine runs rich",
            vehicle="Invented coupé",
            complaint="Drinks fuel",
            symptoms=("hot_start", "cuts_out"),
            opened_on="2026-05-14",
        )
    )


def test_a_job_on_the_same_car_takes_over_its_loom_and_opens_at_once(
    demo: str, here: Client
) -> None:
    answer = here.post(START, form(earlier=demo))
    assert answer["Location"] == "/jobs/engine-runs-rich/"
    job, earlier = read("engine-runs-rich"), read(demo)
    assert job.wires == earlier.wires
    assert job.about.vehicle == earlier.about.vehicle
    assert job.readings == job.survey == job.proof == ()


def test_a_blank_job_gets_what_is_on_the_shelf(here: Client, demo_job: Job) -> None:
    shelf = Job(about=About(title="Shelf", labour_rate=65.0), meters=demo_job.meters)
    DatabaseJobs().write(SHELF, shelf)
    here.post(START, form())
    job = read("engine-runs-rich")
    assert job.meters == demo_job.meters
    assert job.about.labour_rate == 65.0


def test_what_of_the_shelf_cannot_be_read_is_told_on_the_next_page(here: Client) -> None:
    made_shelf()
    KeptRow.objects.create(
        job=KeptJob.objects.get(name=SHELF), table="meters", place=0,
        cells={"meter": "DMM", "quantity": "ohm", "full_scale": "much"},
    )  # fmt: skip
    answer = here.post(START, form())
    assert answer.status_code == 303
    shown = html.unescape(here.get("/").content.decode())
    assert "On the workshop's shelf, see Settings: Range of a meter DMM, full scale" in shown


def test_the_same_title_twice_makes_two_jobs(here: Client) -> None:
    here.post(START, form())
    here.post(START, form())
    names = set(KeptJob.objects.values_list("name", flat=True))
    assert names == {"engine-runs-rich", "engine-runs-rich-2"}


def test_a_name_that_another_takes_in_the_same_moment_is_not_written_over(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    theirs = Job(about=About(title="Engine runs rich", vehicle="theirs"))
    DatabaseJobs().write("engine-runs-rich", theirs)
    told = iter(["engine-runs-rich", "engine-runs-rich-2"])  # the first as if it were still free
    monkeypatch.setattr(job_list, "job_name", lambda title, taken: next(told))
    assert job_list.keep_new(Job(about=About(title="Engine runs rich"))) == "engine-runs-rich-2"
    assert read("engine-runs-rich") == theirs


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"title": ""}, "Title"),
        ({"opened_on": "yesterday"}, "yesterday"),
        ({"earlier": "nobody"}, 'There is no job "nobody"'),
        ({"earlier": SHELF}, "There is no job"),
    ],
)
def test_bad_input_is_told_beside_its_field_and_nothing_is_kept(
    here: Client, typed: dict[str, str], said: str
) -> None:
    made_shelf()
    answer = here.post(START, form(symptoms=["hot_start"], **typed))
    page = html.unescape(answer.content.decode())
    assert answer.status_code == 400
    assert said in page
    assert page.count('aria-invalid="true"') == 1
    assert 'value="hot_start" checked' in page
    assert list(KeptJob.objects.values_list("name", flat=True)) == [SHELF]


def test_all_that_is_wrong_is_told_at_once(here: Client) -> None:
    answer = here.post(START, form(title="", opened_on="yesterday", earlier="nobody"))
    assert answer.content.decode().count('aria-invalid="true"') == 3


def test_an_earlier_job_that_does_not_hold_together_is_not_taken_over(
    demo: str, here: Client
) -> None:
    first = BENCH.rows.rows(demo, "wires")[0]
    BENCH.rows.put(demo, "wires", first.key, {**first.cells, "to": "NOWHERE.1"})
    answer = here.post(START, form(earlier=demo))
    assert answer.status_code == 400
    assert "does not hold together: one thing to mend" in html.unescape(answer.content.decode())


def test_the_form_begins_with_today_and_the_car_it_was_asked_for(demo: str, here: Client) -> None:
    page = html.unescape(here.get(f"{START}?earlier={demo}").content.decode())
    assert '<option value="tarn-2300" selected>' in page
    assert 'value="Make-believe 1972' in page
    assert "<select" in page


def test_without_an_earlier_job_none_is_asked_for(here: Client) -> None:
    made_shelf()
    assert "<select" not in here.get(START).content.decode()


def test_sent_twice_by_a_shaky_connection_one_job_is_started(here: Client) -> None:
    sent = form(entry="abcdef-123456")
    assert here.post(START, sent)["Location"] == here.post(START, sent)["Location"]
    assert KeptJob.objects.count() == 1


def test_a_form_without_a_word_starts_nothing(here: Client) -> None:
    answer = here.post("/jobs/start/", {"title": " ", "opened_on": ""})
    assert answer.status_code == 400
    assert "Title: The cell is blank." in answer.content.decode()
