"""The work's page: the next step, ticking off, what is refused, and the spare wire."""

from __future__ import annotations

from urllib.parse import urlencode

import pytest
from django.http import HttpResponse
from django.test import Client

from loomwright.services.entering import enter
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs

WORK = "/jobs/tarn-2300/steps/?now=1"


@pytest.fixture
def chosen(demo: str) -> str:
    """The demo job with an offer chosen."""
    row = BENCH.rows.rows(demo, "job")[0]
    enter(BENCH, demo, "job", {"offer": "all within reach"}, key=row.key)
    return demo


def page(here: Client) -> str:
    return here.get(WORK).content.decode()


def tick(here: Client, item: str, step: str, state: str, **more: str) -> HttpResponse:
    asked = urlencode({"item": item, "step": step, "nth": 1})
    found: HttpResponse = here.post(
        f"/jobs/tarn-2300/steps/tick/?{asked}", {"state": state, **more}
    )
    return found


def tasks() -> list[dict[str, str]]:
    return [dict(row.cells) for row in BENCH.rows.rows("tarn-2300", "tasks")]


def spare(plug: str = "TE") -> str:
    rows = BENCH.rows.rows("tarn-2300", "plugs")
    return next(row.cells["spare_mm"] for row in rows if row.cells["plug"] == plug)


def cut(here: Client, mm: str, saw: str, plug: str = "TE") -> HttpResponse:
    found: HttpResponse = here.post(
        f"/jobs/tarn-2300/steps/wire/{plug}/", {"mm": mm, "was.spare_mm": saw}
    )
    return found


def test_without_an_offer_one_is_chosen_first(demo: str, here: Client) -> None:
    shown = page(here)
    assert "Choose what is done" in shown
    for offer in ("what pays", "only what failed", "all within reach", "everything"):
        assert f'name="offer" value="{offer}"' in shown
    assert 'action="/jobs/tarn-2300/offer/"' in shown
    assert 'name="state"' not in shown


def test_the_offer_chosen_here_is_followed(demo: str, here: Client) -> None:
    form = {"offer": "all within reach", "was.offer": "", "back": "/jobs/tarn-2300/steps/"}
    answer = here.post("/jobs/tarn-2300/offer/", form)
    assert answer.status_code == 303
    assert DatabaseJobs().read(demo).about.offer == "all within reach"
    assert "“all within reach”" in page(here)


def test_the_frame_comes_before_the_work_is_worked_out(chosen: str, here: Client) -> None:
    enter(BENCH, chosen, "stock", {"part": "REC28-S", "count": "3"})
    shown = here.get("/jobs/tarn-2300/steps/").content.decode()
    assert 'hx-get="?now=1"' in shown
    assert 'href="?now=1"' in shown


def test_the_first_step_stands_large_with_its_buttons(chosen: str, here: Client) -> None:
    shown = page(here)
    assert '<p class="now-words">Photograph the bay, every clip and every earth.</p>' in shown
    now = shown.split('id="next"')[1].split("</section>")[0]
    assert 'value="begun"' in now
    assert 'value="done"' in now
    assert "0 of 18" in shown


def test_a_hold_point_says_so_with_its_caution(chosen: str, here: Client) -> None:
    for step in ("photograph", "tag"):
        tick(here, "", step, "done")
    now = page(here).split('id="next"')[1].split("</section>")[0]
    assert "HOLD" in now
    assert "Go on only if it passes" in now
    assert now.index("Fuel stays under pressure") < now.index("battery minus off first")
    assert 'value="passed"' in now
    assert 'value="failed"' in now


def test_a_step_at_a_plug_shows_its_parts_its_crimp_and_its_page(chosen: str, here: Client) -> None:
    tick(here, "", "battery off", "passed")
    for step in ("photograph", "tag", "open thermostat"):
        tick(here, "", step, "done")
    now = page(here).split('id="next"')[1].split("</section>")[0]
    assert "Engine temperature sensor plug (TE)" in now
    assert "step 1 of 7, thermostat" in now
    assert 'href="/jobs/tarn-2300/plugs/TE/"' in now
    assert "REC28-S" in now
    assert "Crimp height on 0.75 mm²" in now


def test_a_tick_is_kept_with_when_and_who(chosen: str, here: Client) -> None:
    here.post("/person/", {"name": "first bench"})
    tick(here, "", "photograph", "begun")
    answer = tick(here, "", "photograph", "done", minutes="12", note="all earths")
    assert answer.status_code == 303
    (row,) = tasks()
    assert (row["state"], row["minutes"], row["note"]) == ("done", "12", "all earths")
    assert row["done_at"]
    shown = page(here)
    assert "12 min spent" in shown
    assert "1 of 18" in shown


def test_a_begun_step_runs_a_clock(chosen: str, here: Client) -> None:
    tick(here, "", "photograph", "begun")
    now = page(here).split('id="next"')[1].split("</section>")[0]
    assert 'class="timer" data-since="20' in now
    assert 'value="begun"' not in now


@pytest.mark.parametrize(
    ("item", "step", "state"),
    [("TE", "record", "done"), ("TE", "cut", "passed"), ("TE", "pin", "passed"),
     ("TT", "boot", "done"), ("", "polarity", "passed"), ("", "power", "passed"),
     ("", "prove", "done"), ("TE", "cut", "begun")],
)  # fmt: skip
def test_what_may_not_be_done_yet_is_refused_with_the_reason(
    chosen: str, here: Client, item: str, step: str, state: str
) -> None:
    answer = tick(here, item, step, state)
    assert answer.status_code == 403
    assert "battery off" in answer.content.decode()
    assert tasks() == []


def test_a_failed_hold_point_stops_the_steps_after_it(chosen: str, here: Client) -> None:
    for item, step in (("", "battery off"), ("TE", "trial")):
        if item:
            tick(here, item, "record", "done")
        tick(here, item, step, "passed")
    tick(here, "TE", "cut", "failed", note="copper dark")
    answer = tick(here, "TE", "crimp", "passed")
    assert answer.status_code == 403
    assert "copper dark" in answer.content.decode()
    assert "has failed (copper dark)" in page(here)


def test_wrong_minutes_stand_beside_their_field(chosen: str, here: Client) -> None:
    answer = tick(here, "", "tag", "done", minutes="long", note="both halves")
    shown = answer.content.decode()
    assert answer.status_code == 400
    assert "&quot;long&quot; is not a number" in shown
    assert 'value="long"' in shown
    assert "both halves" in shown
    assert 'now-words">Tag both halves' in shown
    assert tasks() == []


def test_a_step_of_another_offer_is_not_there(chosen: str, here: Client) -> None:
    assert tick(here, "I1", "record", "done").status_code == 404


def test_the_last_tick_is_taken_back(chosen: str, here: Client) -> None:
    tick(here, "", "photograph", "done")
    key = BENCH.rows.rows("tarn-2300", "tasks")[0].key
    assert "Last tick: “photograph”: done" in page(here)
    answer = here.post("/jobs/tarn-2300/steps/back/", {"key": key})
    assert answer.status_code == 303
    assert tasks() == []
    assert here.post("/jobs/tarn-2300/steps/back/", {"key": key}).status_code == 409


def test_the_same_entry_sent_twice_is_taken_once(chosen: str, here: Client) -> None:
    for _ in range(2):
        answer = tick(here, "", "photograph", "done", entry="entry-0001")
        assert answer.status_code == 303
    assert len(tasks()) == 1


def test_wire_counts_down_and_comes_back(chosen: str, here: Client) -> None:
    assert 'name="mm" value="20"' in page(here)
    assert cut(here, "20", "55").status_code == 303
    assert spare() == "35"
    shown = page(here)
    assert "35 mm are left" in shown
    assert "There is wire for 1 more try" in shown
    assert 'name="mm" value="15"' in shown
    answer = here.post("/jobs/tarn-2300/steps/wire/TE/back/", {"task": tasks()[0]["task"]})
    assert answer.status_code == 303
    assert spare() == "55"
    assert tasks() == []


@pytest.mark.parametrize("mm", ["56", "0", "much", ""])
def test_wire_is_never_counted_below_nothing(chosen: str, here: Client, mm: str) -> None:
    answer = cut(here, mm, "55")
    assert answer.status_code == 400
    shown = answer.content.decode()
    assert 'aria-invalid="true"' in shown
    if mm == "56":
        assert "extend the wires with a splice" in shown
    assert spare() == "55"
    assert tasks() == []


def test_the_second_of_two_who_count_looks_again(chosen: str, here: Client) -> None:
    cut(here, "20", "55")
    answer = cut(here, "20", "55")
    assert answer.status_code == 409
    assert spare() == "35"
    assert here.get("/jobs/tarn-2300/steps/wire/TE/").status_code == 303


def test_what_is_no_step_of_this_offer_is_still_told(chosen: str, here: Client) -> None:
    cells = {"item": "I1", "step": "record", "state": "done", "done_at": "2026-03-20 08:00"}
    enter(BENCH, chosen, "tasks", cells)
    assert "“record” at I1: done, 2026-03-20 08:00" in page(here)
