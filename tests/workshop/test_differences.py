"""Two jobs' looms beside each other."""

from __future__ import annotations

import html

import attrs
from django.test import Client

from loomwright.loom import Job
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.shelf import SHELF, made_shelf

PAGE = "/jobs/tarn-2300/differences/"


def text(here: Client, address: str) -> str:
    return html.unescape(here.get(address).content.decode())


def test_without_another_job_it_says_so(demo: str, here: Client) -> None:
    made_shelf()
    assert "There is no other job yet" in text(here, PAGE)


def test_another_job_is_chosen_from_a_list(demo: str, here: Client, demo_job: Job) -> None:
    DatabaseJobs().write("twin", demo_job)
    page = text(here, PAGE)
    assert '<option value="twin">' in page
    assert '<option value="tarn-2300"' not in page
    assert "The loom is the same as in" in text(here, f"{PAGE}?with=twin")


def test_cells_and_rows_that_differ_are_told_with_both_values(
    demo: str, here: Client, demo_job: Job
) -> None:
    wires = (attrs.evolve(demo_job.wires[0], colour="VT"), *demo_job.wires[2:])
    DatabaseJobs().write("other", attrs.evolve(demo_job, wires=wires, readings=(), proof=()))
    page = text(here, f"{PAGE}?with=other")
    assert "2 rows of the loom differ" in page
    assert "Colour: VT" in page
    assert f"Wire {demo_job.wires[1].wire}" in page
    assert "not there" in page
    assert "Reading" not in page.split("<main")[1]


def test_an_unknown_job_and_the_shelf_cannot_be_compared(demo: str, here: Client) -> None:
    made_shelf()
    for other in ("nobody", SHELF):
        assert here.get(f"{PAGE}?with={other}").status_code == 404
