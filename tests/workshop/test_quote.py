"""The quote page: the offers side by side, one is chosen, the quote follows."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from loomwright.workshop.bench import BENCH

QUOTE = "/jobs/tarn-2300/quote/"
CHOOSE = "/jobs/tarn-2300/offer/"


def chosen() -> str:
    return BENCH.rows.rows("tarn-2300", "job")[0].cells.get("offer", "")


def words(page: str) -> str:
    """What a person reads, without what marks it up."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page)).replace("&nbsp;", " ")


def test_all_offers_stand_side_by_side_with_their_figures(demo: str, here: Client) -> None:
    text = words(here.get(QUOTE).content.decode())
    for name in ("Only what failed", "All within reach", "Everything", "What pays"):
        assert name in text
    assert "237 to 276 EUR 3.0 to 3.6 h" in text
    assert "Comebacks to reckon with 1.3" in text
    assert "Leaves 16 as they are" in text
    assert "Control unit plug (CU): boot" in text


def test_the_quote_comes_in_stages_with_when_we_call(demo: str, here: Client) -> None:
    text = words(here.get(QUOTE).content.decode())
    assert "Reach throttle Throttle switch plug (TH): new terminals" in text
    assert "We call you before going beyond 281 EUR" in text
    assert "What a comeback costs, above 293 EUR: also new boot at TR." in text
    assert "An hour&#x27;s work is counted at 65 EUR" in text


def test_an_offer_is_chosen_and_the_quote_follows_it(demo: str, here: Client) -> None:
    answer = here.post(
        CHOOSE, {"offer": "only what failed", "was.offer": "", "back": QUOTE}, follow=True
    )
    text = words(answer.content.decode())
    assert answer.redirect_chain == [(QUOTE, 303)]
    assert chosen() == "only what failed"
    assert "Chosen: only what failed." in text
    assert "The quote for “only what failed”" in text


def test_the_second_of_two_people_chooses_between_both(demo: str, here: Client) -> None:
    here.post(CHOOSE, {"offer": "everything", "was.offer": ""})
    answer = here.post(CHOOSE, {"offer": "what pays", "was.offer": ""})
    assert answer.status_code == 409
    assert 'value="everything"' in answer.content.decode()
    assert chosen() == "everything"
    assert here.post(CHOOSE, {"offer": "what pays", "was.offer": "everything"}).status_code == 303
    assert chosen() == "what pays"


def test_no_such_offer_is_refused_and_nothing_is_chosen(demo: str, here: Client) -> None:
    answer = here.post(CHOOSE, {"offer": "half of it", "was.offer": ""})
    assert answer.status_code == 400
    assert "half of it" in answer.content.decode()
    assert chosen() == ""


def test_choosing_is_for_forms_only(demo: str, here: Client) -> None:
    assert here.get(CHOOSE).status_code == 405


def test_it_goes_back_where_the_person_came_from(demo: str, here: Client) -> None:
    answer = here.post(CHOOSE, {"offer": "everything", "back": "/jobs/tarn-2300/"})
    assert answer["Location"] == "/jobs/tarn-2300/"


@pytest.mark.parametrize("address", ["/jobs/none/quote/", "/jobs/none/offer/"])
def test_no_such_job(demo: str, here: Client, address: str) -> None:
    sent = here.post if address.endswith("offer/") else here.get
    assert sent(address).status_code == 404
