"""The page Heat: what it leads with, and a warming run typed in."""

from __future__ import annotations

import pytest
from django.test import Client

from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs

PAGE = "/jobs/tarn-2300/heat/"
READ = "0 23\n10 31,5\n20 38,5\n30 46\n40 52,5\n50 59\n60 64"


def logged() -> list[dict[str, str]]:
    return [dict(row.cells) for row in BENCH.rows.rows("tarn-2300", "warmings")]


def run(**cells: str) -> dict[str, str]:
    return {"plug": "TE", "boot": "off", "air_c": "120", "points": READ, "note": ""} | cells


def test_what_is_urgent_leads_and_the_rest_is_folded(demo: str, here: Client) -> None:
    shown = here.get(PAGE).content.decode()
    order = ("Ages fastest", "Wire W23: up to", "Plug AV with its boot", "Too large for wires",
             "Life of wires and boots", "inspect now", "Wires and boots that are not urgent",
             "Plugs by zone", "Boots tried", "Log a warming run", "Current and fuses",
             "burn the car down", "without a fuse")  # fmt: skip
    place = 0
    for each in order:
        place = shown.index(each, place)


def test_both_drawings_stand_in_the_page_with_their_words(demo: str, here: Client) -> None:
    shown = here.get(PAGE).content.decode()
    assert "<title>Plug AV after a hot stop</title>" in shown
    assert "<title>Plug I2 warmed by a hot-air blower</title>" in shown
    assert "Warms 12 times slower than bare" in shown


def test_it_stands_before_the_work_and_leaves_the_thumb_its_four(demo: str, here: Client) -> None:
    shown = here.get(PAGE).content.decode()
    nav = shown[shown.index('<ul class="jobpages">') : shown.index("</nav>")]
    assert nav.index(">Suspects<") < nav.index(">Heat<") < nav.index(">Work<")
    often = [part.split(">")[2].split("<")[0] for part in nav.split('class="often"')[1:]]
    assert often == ["Loom", "Measure", "Suspects", "Work"]


def test_a_run_is_kept_and_its_result_follows_at_once(demo: str, here: Client) -> None:
    answer = here.post(PAGE, run(note="slid back"))
    assert (answer.status_code, answer["Location"]) == (303, f"{PAGE}#boots")
    rows = DatabaseJobs().read(demo).warmings[-7:]
    assert [row.temperature_c for row in rows] == [23, 31.5, 38.5, 46, 52.5, 59, 64]
    assert {(row.plug, row.boot, row.air_c) for row in rows} == {("TE", "off", 120)}
    shown = here.get(PAGE).content.decode()
    assert "7 readings" in shown
    assert "Plug TE warmed by a hot-air blower" in shown
    assert "How it warms with the boot on" in shown  # what is still to be measured


def test_all_that_is_wrong_stands_beside_its_fields_and_nothing_is_kept(
    demo: str, here: Client
) -> None:
    before = logged()
    answer = here.post(PAGE, run(plug="", boot="", air_c="warm", points="0 23\n10\n20 hot"))
    shown = answer.content.decode()
    assert answer.status_code == 400
    for field in ("plug", "boot", "air_c", "points"):
        assert f'id="f-{field}-error"' in shown
    assert "Line 2, &quot;10&quot;, is not two numbers" in shown
    assert "Line 3" in shown
    assert "20 hot" in shown
    assert logged() == before


@pytest.mark.parametrize("lines", ["", "  \n"])
def test_a_run_without_readings_is_refused(demo: str, here: Client, lines: str) -> None:
    answer = here.post(PAGE, run(points=lines))
    assert answer.status_code == 400
    assert "There is no reading" in answer.content.decode()


def test_whole_runs_are_pasted_elsewhere_by_a_plain_link(demo: str, here: Client) -> None:
    shown = here.get(PAGE).content.decode()
    assert 'href="/jobs/tarn-2300/paste/warmings/"' in shown
    assert here.get("/jobs/tarn-2300/paste/warmings/").status_code == 200


def test_a_job_without_zones_tells_what_to_fill_in(demo: str, here: Client) -> None:
    for table in ("zones", "warmings"):
        for row in BENCH.rows.rows(demo, table):
            BENCH.rows.remove(demo, table, row.key)
    for table in ("branches", "devices"):
        for row in BENCH.rows.rows(demo, table):
            BENCH.rows.put(demo, table, row.key, {**row.cells, "zone": ""})
    shown = here.get(PAGE).content.decode()
    assert "no zone with a plug in it tells running_c and soak_c" in shown
    assert "after a hot stop</title>" not in shown
