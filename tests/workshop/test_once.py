"""An entry that a shaky connection sends twice is taken once."""

from __future__ import annotations

import pytest
from django.test import Client

from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.models import TakenEntry

ADD = "/jobs/tarn-2300/rows/stock/"
GOOD = {"part": "REC28", "count": "5", "entry": "token-0001"}


def stocked() -> int:
    return len(DatabaseJobs().inspect("tarn-2300")[0].stock)


def test_the_same_entry_again_leads_where_the_first_led(demo: str, here: Client) -> None:
    before = stocked()
    first = here.post(ADD, GOOD)
    again = here.post(ADD, GOOD)
    assert (first.status_code, again.status_code) == (303, 303)
    assert first["Location"] == again["Location"]
    assert stocked() == before + 1


def test_another_filling_in_is_another_entry(demo: str, here: Client) -> None:
    before = stocked()
    here.post(ADD, GOOD)
    here.post(ADD, {**GOOD, "entry": "token-0001.1"})
    assert stocked() == before + 2


def test_a_refused_entry_may_be_sent_again_mended(demo: str, here: Client) -> None:
    before = stocked()
    assert here.post(ADD, {**GOOD, "count": "many"}).status_code == 400
    assert not TakenEntry.objects.exists()
    assert here.post(ADD, GOOD).status_code == 303
    assert stocked() == before + 1


@pytest.mark.parametrize("token", ["", "short", "x" * 81, "with blanks", "semi;colon"])
def test_without_a_proper_token_every_sending_counts(demo: str, here: Client, token: str) -> None:
    before = stocked()
    for _ in range(2):
        assert here.post(ADD, {**GOOD, "entry": token}).status_code == 303
    assert stocked() == before + 2
    assert not TakenEntry.objects.exists()


def test_what_is_to_be_said_waits_for_the_page_that_is_seen(demo: str, here: Client) -> None:
    led_to = here.post(ADD, GOOD, headers={"X-Entry": "token-0001"})["Location"]
    followed = here.get(led_to, headers={"X-Entry": "token-0001"})
    assert (followed.status_code, followed["X-Workshop"]) == (204, "1")
    assert "Kept: parts in the drawer" in here.get(led_to).content.decode()


def test_what_several_entries_have_to_say_is_all_said(demo: str, here: Client) -> None:
    for number in "123":
        here.post(ADD, {**GOOD, "entry": f"token-000{number}"})
    shown = here.get("/").content.decode()
    assert shown.count("Kept: parts in the drawer") == 3
