"""The first page: open jobs, what each waits for, the next thing to do."""

from __future__ import annotations

import html

import attrs
from django.test import Client

from loomwright.loom import About, Job
from loomwright.services.standing import next_worth_taking
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.job_list import kept_jobs, set_closed
from loomwright.workshop.models import KeptRow
from loomwright.workshop.pages.today import A_PAGE
from loomwright.workshop.results import worked_up
from loomwright.workshop.shelf import made_shelf


def kept(name: str, **about: str) -> None:
    DatabaseJobs().write(name, Job(about=About(title=f"Job {name}", **about)))


def on_page(here: Client, address: str = "/") -> str:
    return html.unescape(here.get(address).content.decode())


def test_the_first_start_offers_to_start_a_job_or_to_bring_one_in(here: Client) -> None:
    page = on_page(here)
    assert "No job is here yet." in page
    assert 'href="/jobs/start/"' in page
    assert 'href="/jobs/bring/"' in page
    assert "Closed jobs" not in page


def test_each_job_says_what_it_waits_for_and_leads_there(here: Client, demo_job: Job) -> None:
    bare = attrs.evolve(demo_job, readings=(), proof=(), survey=(), crimps=(), photos=())
    DatabaseJobs().write("bare", bare)
    kept("blank", vehicle="Invented coupé")
    page = on_page(here)
    assert "No reading has been taken yet." in page
    assert 'href="/jobs/bare/measure/"' in page
    assert "The loom is not described yet." in page
    assert 'href="/jobs/blank/loom/"' in page
    assert "Invented coupé" in page


def test_the_next_reading_is_named_once_it_is_known(here: Client, demo_job: Job) -> None:
    few = attrs.evolve(demo_job, readings=demo_job.readings[:2], proof=())
    DatabaseJobs().write("few", few)
    with worked_up("few") as worked:
        reading = next_worth_taking(worked.results.suspects)
    assert reading
    page = on_page(here)
    assert f"Measure {reading}" in page
    assert "2 readings are taken; another one tells more." in page


def test_the_last_changed_job_stands_first(here: Client) -> None:
    kept("one")
    kept("two")
    assert on_page(here).index("Job two") < on_page(here).index("Job one")
    kept("one", vehicle="changed")
    assert on_page(here).index("Job one") < on_page(here).index("Job two")


def test_a_job_that_does_not_hold_together_says_so(here: Client, demo: str) -> None:
    first = BENCH.rows.rows(demo, "wires")[0]
    BENCH.rows.put(demo, "wires", first.key, {**first.cells, "to": "NOWHERE.1"})
    page = on_page(here)
    assert "It does not hold together yet: one thing to mend." in page
    assert 'href="/jobs/tarn-2300/loom/"' in page


def test_the_missing_complaint_is_asked_for_in_the_jobs_own_form(
    here: Client, demo_job: Job
) -> None:
    silent = attrs.evolve(
        demo_job, about=attrs.evolve(demo_job.about, complaint=None, symptoms=()), proof=()
    )
    DatabaseJobs().write("silent", silent)
    key = KeptRow.objects.get(job__name="silent", table="job").pk
    assert f'href="/jobs/silent/rows/job/{key}/?back=/jobs/silent/"' in on_page(here)


def test_closed_jobs_and_the_shelf_are_not_among_the_open_ones(here: Client) -> None:
    made_shelf()
    kept("done")
    set_closed("done", closed=True)
    page = on_page(here)
    assert "The workshop's shelf" not in page
    assert "No job is open." in page
    assert page.index("Closed jobs") < page.index("Job done")


def test_many_jobs_go_on_further_pages(here: Client) -> None:
    for number in range(A_PAGE + 1):
        kept(f"n{number:02}")
    first, second = on_page(here), on_page(here, "/?page=2")
    assert f"Job n{A_PAGE}" in first
    assert "Job n00" not in first
    assert "Job n00" in second
    assert on_page(here, "/?page=99") == second
    assert "Page 1 of 2" in on_page(here, "/?page=x")


def test_titles_are_told_as_they_are_and_never_read_as_a_page(here: Client) -> None:
    DatabaseJobs().write("odd", Job(about=About(title="<b>bold</b>")))
    assert b"&lt;b&gt;bold&lt;/b&gt;" in here.get("/").content
    assert kept_jobs()[0].title == "<b>bold</b>"
