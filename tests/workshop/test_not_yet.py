"""Pages that have nothing to tell yet say what is missing first, or that it is on its way."""

from __future__ import annotations

import html

import pytest
from django.test import Client
from django.urls import reverse

from loomwright.services.entering import enter
from loomwright.workshop.bench import BENCH
from loomwright.workshop.results import forget

SLOW = ("suspects", "readings", "certify")


@pytest.fixture
def blank(here: Client) -> str:
    """A job started from nothing."""
    answer = here.post(reverse("start"), {"title": "From nothing"})
    return str(answer["Location"].split("/")[2])


def text(here: Client, name: str, job: str, **asked: str) -> str:
    answer = here.get(reverse(name, args=[job]), asked)
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


@pytest.mark.parametrize(
    "name", [*SLOW, "measure", "own_reading", "work", "quote", "parts", "proof"]
)
def test_a_loom_that_is_not_described_comes_first(here: Client, blank: str, name: str) -> None:
    shown = text(here, name, blank)
    assert "The loom is not described yet." in shown
    assert "Describe the loom: its plugs" in shown
    assert f'href="{reverse("loom", args=[blank])}"' in shown
    assert "tells more" not in shown
    enter(BENCH, blank, "plugs", {"plug": "P1", "face": "1 2"})
    assert "Describe the loom: its wires" in text(here, name, blank)


@pytest.mark.parametrize("name", SLOW)
def test_a_slow_result_is_announced_before_it_is_there(here: Client, demo: str, name: str) -> None:
    forget()
    shown = text(here, name, demo)
    assert 'hx-get="?now=1" hx-trigger="load"' in shown
    assert '<a class="go" href="?now=1">Show it</a>' in shown
    assert '<meta http-equiv="refresh" content="0; url=?now=1">' in shown
    assert "hx-get" not in text(here, name, demo, now="1")
    assert "hx-get" not in text(here, name, demo)


def test_what_does_not_hold_together_is_told_at_once(here: Client, demo: str) -> None:
    enter(BENCH, demo, "wires", {"wire": "W99", "from": "TE.1", "to": "NONE.1"}, anyhow=True)
    for name in SLOW:
        answer = here.get(reverse(name, args=[demo]))
        assert answer.status_code == 400
        assert 'Wire W99, to: there is no plug "NONE".' in html.unescape(answer.content.decode())


@pytest.mark.parametrize("name", ["quote", "work"])
def test_where_nothing_is_to_be_done_no_offer_is_made(here: Client, blank: str, name: str) -> None:
    enter(BENCH, blank, "plugs", {"plug": "P1", "face": "1 2"})
    enter(BENCH, blank, "plugs", {"plug": "P2", "face": "1 2"})
    enter(BENCH, blank, "wires", {"wire": "W1", "from": "P1.1", "to": "P2.1"})
    shown = text(here, name, blank, now="1")
    assert "Nothing is done." not in shown
    assert "What may be wrong" in shown
    assert "not chosen" not in shown
