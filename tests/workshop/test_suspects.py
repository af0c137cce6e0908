"""The page of suspects tells all that the commands `suspects` and `sees` tell, in their words."""

from __future__ import annotations

import html
import re

import attrs
import pytest
from django.test import Client
from django.urls import reverse

from loomwright.cli.show_sees import show_sees
from loomwright.cli.show_suspects import show_suspects
from loomwright.loom import Job
from loomwright.services.workup import WorkUp
from loomwright.workshop.database import DatabaseJobs

WORDS = re.compile(r"\w[\w.:]*\w|\w")


def words_of(text: str) -> set[str]:
    return {word.rstrip(".:").casefold() for word in WORDS.findall(text)}


def on_page(here: Client, job: str) -> str:
    return html.unescape(here.get(reverse("suspects", args=[job]), {"now": "1"}).content.decode())


def test_it_says_first_what_is_wrong_how_sure_and_what_to_do(here: Client, demo: str) -> None:
    shown = on_page(here, demo)
    at = [
        shown.index(words)
        for words in (
            "● plug TE (Engine temperature sensor plug), cavity 1 or 2: high resistance",
            "● more than 99 %: sure enough to act on.",
            "At plug TE: look for a green or loose terminal",
            "To the work",
            "Speaks for it",
        )
    ]
    assert at == sorted(at)


@pytest.mark.parametrize("what", ["suspects", "sees"])
def test_it_tells_all_that_the_command_tells(
    here: Client, demo: str, demo_job: Job, what: str, capsys: pytest.CaptureFixture[str]
) -> None:
    worked = WorkUp(demo_job)
    if what == "suspects":
        show_suspects(worked.suspects, demo_job)
    else:
        assert worked.sees
        show_sees(worked.sees, demo_job)
    said = words_of(capsys.readouterr().out)
    shown = words_of(re.sub(r"<[^>]+>", " ", on_page(here, demo)))
    headings = {"what", "speaks", "against", "them", "and"}
    assert said - shown - headings == set()


def test_the_next_reading_leads_to_measure(here: Client, demo: str) -> None:
    found = re.search(r'href="([^"]+)">Take reading A', on_page(here, demo))
    assert found
    assert "CU.10" in here.get(found[1]).content.decode()


def test_readings_set_aside_are_told_with_why(here: Client, db: None, demo_job: Job) -> None:
    on = attrs.evolve(demo_job.readings[5], reading="R15", unplugged=())
    DatabaseJobs().write("aside", attrs.evolve(demo_job, readings=(*demo_job.readings, on)))
    assert "R15 is set aside: the control unit is still on plug CU" in on_page(here, "aside")


def test_before_the_first_reading_nothing_is_claimed(here: Client, db: None, demo_job: Job) -> None:
    DatabaseJobs().write("fresh", attrs.evolve(demo_job, readings=(), proof=()))
    shown = on_page(here, "fresh")
    assert "Not known: no reading has been taken yet." in shown
    assert "To the work" not in shown
    assert "What the control unit sees" not in shown


def test_a_job_that_does_not_hold_together_names_what_to_mend(
    here: Client, db: None, demo_job: Job
) -> None:
    from loomwright.workshop.database import DatabaseRows

    DatabaseJobs().write("broken", demo_job)
    rows = DatabaseRows()
    first = rows.rows("broken", "wires")[0]
    rows.put("broken", "wires", first.key, {**first.cells, "from": "ZZ.1"})
    for name in ("suspects", "measure", "readings", "certify"):
        answer = here.get(reverse(name, args=["broken"]))
        assert answer.status_code == 400, name
        assert "ZZ" in answer.content.decode()
