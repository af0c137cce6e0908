"""Proof: what is read again, and each reading beside the one before it."""

from __future__ import annotations

from django.test import Client

from loomwright.workshop.bench import BENCH

PROOF = "/jobs/tarn-2300/proof/"


def shown(here: Client) -> str:
    return here.get(PROOF).content.decode()


def test_each_reading_stands_beside_the_one_before_it(demo: str, here: Client) -> None:
    card = shown(here).split("R11: red CU.6, black CU.7")[1].split("R12")[0]
    assert card.index("431 Ω at 82 °C") < card.index("341 Ω at 79 °C")
    assert "276 Ω" in card
    assert "371 Ω" in card
    assert "better" in card
    assert "give or take" in card


def test_what_was_not_read_again_leads_to_its_measurement(demo: str, here: Client) -> None:
    page = shown(here)
    assert "Not all is proved yet." in page
    assert "Take R09 again" in page
    link = page.split('class="row" href="')[1].split('"')[0].replace("&amp;", "&")
    assert "after=1" in link
    assert "R09" in link
    assert here.get(link).status_code == 200


def test_what_the_control_unit_sees_stands_twice(demo: str, here: Client) -> None:
    table = shown(here).split("What the control unit sees")[1]
    row = table.split("80 °C</th>")[1].split("</tr>")[0]
    assert "70 °C" in row
    assert "80 °C" in row
    assert "+4.8 %" in row


def test_without_a_reading_after_the_work_all_open_ones_are_asked_for(
    demo: str, here: Client
) -> None:
    for row in BENCH.rows.rows(demo, "proof"):
        BENCH.rows.remove(demo, "proof", row.key)
    page = shown(here)
    assert "Nothing was measured after the work yet." in page
    for name in ("R09", "R11", "R12"):
        assert f"Take {name} again" in page
    assert "Before and after</h2>" not in page


def test_a_job_without_readings_says_so(demo: str, here: Client) -> None:
    for table in ("proof", "readings"):
        for row in BENCH.rows.rows(demo, table):
            BENCH.rows.remove(demo, table, row.key)
    page = shown(here)
    assert "Nothing was measured after the work yet." in page
    assert "Take again" not in page
