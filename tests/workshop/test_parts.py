"""The parts page: what to order, and what came goes into the drawer."""

from __future__ import annotations

import re

from django.test import Client

from loomwright.workshop.bench import BENCH

PARTS = "/jobs/tarn-2300/parts/"


def drawer() -> list[tuple[str, str]]:
    rows = BENCH.rows.rows("tarn-2300", "stock")
    return [(row.cells["part"], row.cells["count"]) for row in rows]


def words(page: str) -> str:
    """What a person reads, without what marks it up."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_it_tells_the_parcel_with_postage_delay_and_sum(demo: str, here: Client) -> None:
    text = words(here.get(PARTS).content.decode())
    assert "SUP-B: Supplier B" in text
    assert "49.50 EUR" in text
    assert "6.50 EUR of it postage. There in 5 days." in text
    assert "No other choice of packs and suppliers on offer does better." in text


def test_it_tells_reasons_spares_trial_crimps_and_the_drawer(demo: str, here: Client) -> None:
    text = words(here.get(PARTS).content.decode())
    assert "4 for Throttle switch plug (TH)." in text
    assert "3 spare, enough in 95 of 100 such jobs." in text
    assert "3 for trial crimps on 0.5 mm²." in text
    assert "drawer 3" in text


def test_it_tells_what_nobody_sells_what_does_not_fit_and_the_cuts(demo: str, here: Client) -> None:
    text = words(here.get(PARTS).content.decode())
    assert "1.42 m without an offer" in text
    assert "the tab is 0.5 mm thick" in text
    assert "wire W23 (SPP to AV.1) 2760 mm" in text
    assert "2.24 m" in text


def test_it_leads_to_the_tables_behind_it(demo: str, here: Client) -> None:
    page = here.get(PARTS).content.decode()
    for table in ("stock", "catalogue", "offers", "suppliers"):
        assert f'href="/jobs/tarn-2300/tables/{table}/"' in page


def test_what_came_goes_into_the_drawer_and_is_not_ordered_any_more(
    demo: str, here: Client
) -> None:
    page = here.get(PARTS).content.decode()
    ticked = re.findall(r'name="came" value="([^"]+)" checked', page)
    packs = dict(re.findall(r'name="(packs\.[^"]+)" value="(\d+)"', page))
    answer = here.post(PARTS, {"came": ticked, **packs}, follow=True)
    text = words(answer.content.decode())
    assert answer.redirect_chain == [(PARTS, 303)]
    assert "25 pieces of REC28-S" in text
    assert ("REC28-S", "37") in drawer()
    assert ("BOOT2-A", "5") in drawer()
    assert ("WIRE-075", "5") in drawer()
    assert "what the drawer does not hold has no offer" in text
    assert "There in" not in text


def test_only_what_is_ticked_goes_there(demo: str, here: Client) -> None:
    here.post(PARTS, {"came": ["B01"], "packs.B01": "1", "packs.B05": "4"})
    assert ("REC28-S", "37") in drawer()
    assert not any(part == "BOOT2-S" for part, _ in drawer())


def test_nothing_ticked_and_offers_that_are_none_are_told(demo: str, here: Client) -> None:
    before = drawer()
    for sent, said in (
        ({}, "nothing is ticked"),
        ({"came": ["B01", "ZZ"], "packs.B01": "many", "packs.ZZ": "1"}, "no offer &quot;ZZ&quot;"),
    ):
        answer = here.post(PARTS, sent)
        assert answer.status_code == 400
        assert said in answer.content.decode()
        assert drawer() == before


def test_the_same_parcel_sent_twice_is_put_there_once(demo: str, here: Client) -> None:
    sent = {"came": ["B01"], "packs.B01": "1", "entry": "parcel-0001"}
    here.post(PARTS, sent)
    here.post(PARTS, sent)
    assert ("REC28-S", "37") in drawer()


def test_no_such_job(demo: str, here: Client) -> None:
    assert here.get("/jobs/none/parts/").status_code == 404
    assert here.post("/jobs/none/parts/", {"came": "B01"}).status_code == 404
