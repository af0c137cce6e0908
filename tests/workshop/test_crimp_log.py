"""The crimp log: trials typed in, and what is seen of them at once."""

from __future__ import annotations

import pytest
from django.test import Client

from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs

LOG = "/jobs/tarn-2300/crimps/"


def trials() -> list[dict[str, str]]:
    return [dict(row.cells) for row in BENCH.rows.rows("tarn-2300", "crimps")]


def trial(**cells: str) -> dict[str, str]:
    return {"set_up": "S075", "height_mm": "1.21", "pull_n": "119", "failed_at": "wire",
            "look": "good"} | cells  # fmt: skip


def test_every_set_up_has_its_chart_and_its_verdict(demo: str, here: Client) -> None:
    shown = here.get(LOG).content.decode()
    assert shown.count("<title>Pull forces of set-up S0") == 2
    assert "asked 89 N" in shown
    assert "not shown yet: 1 more pull like these" in shown
    assert "1 of 5 pulled crimps let the wire slip out" in shown


def test_a_trial_is_kept_under_the_next_name_with_what_its_set_up_is(
    demo: str, here: Client
) -> None:
    answer = here.post(LOG, trial(height_mm="1,22", note="both wings touch"))
    assert answer.status_code == 303
    assert answer["Location"].endswith("#set-up-S075")
    kept = trials()[-1]
    assert (kept["set_up"], kept["terminal"], kept["section_mm2"], kept["die"]) == (
        "S075", "flat 2.8 x 0.8", "0.75", "B2")  # fmt: skip
    assert (kept["pull_n"], kept["note"]) == ("119", "both wings touch")
    assert DatabaseJobs().read(demo).crimps[-1].height_mm == 1.22
    assert kept["made_at"]


def test_the_chart_and_the_verdict_follow_at_once(demo: str, here: Client) -> None:
    for pull in ("119", "117", "118"):
        here.post(LOG, trial(pull_n=pull))
    shown = here.get(LOG).content.decode()
    assert "pull shown, but see the warnings" in shown
    assert f"{trials()[-1]['trial']} 118 N" in shown


def test_a_new_set_up_gets_a_name_of_its_own(demo: str, here: Client) -> None:
    cells = trial(set_up="", terminal="REC28-T", section_mm2="0.75", die="DIE-S")
    assert here.post(LOG, cells).status_code == 303
    kept = trials()[-1]
    assert kept["terminal"] == "REC28-T"
    assert kept["set_up"] not in {"", "S075", "S050"}
    assert "REC28-T, 0.75 mm², die DIE-S" in here.get(LOG).content.decode()


@pytest.mark.parametrize(
    ("wrong", "told"),
    [({"height_mm": "flat"}, "&quot;flat&quot; is not a number"),
     ({"failed_at": "not pulled"}, "&quot;not pulled&quot; stands beside a pull of 119 N"),
     ({"die": "B9"}, "&quot;B9&quot; differs from &quot;B2&quot;"),
     ({"pull_n": "-5"}, "-5")],
)  # fmt: skip
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_kept(
    demo: str, here: Client, wrong: dict[str, str], told: str
) -> None:
    count = len(trials())
    answer = here.post(LOG, trial(**wrong))
    shown = answer.content.decode()
    assert answer.status_code == 400
    assert told in shown
    assert 'value="119"' in shown or "pull_n" in wrong
    assert len(trials()) == count


def test_a_trial_may_be_changed(demo: str, here: Client) -> None:
    key = BENCH.rows.rows("tarn-2300", "crimps")[0].key
    shown = here.get(LOG).content.decode()
    assert f"/jobs/tarn-2300/rows/crimps/{key}/?back=/jobs/tarn-2300/crimps/" in shown


def test_what_the_work_needs_and_nobody_tried_fills_in_the_form(demo: str, here: Client) -> None:
    shown = here.get(f"{LOG}needed/").content.decode()
    assert "REC28-T, 0.75 mm², die DIE-S" in shown
    asked = f"{LOG}?terminal=REC28-T&section_mm2=0.75&die=DIE-S"
    assert asked.replace("&", "&amp;") in shown
    form = here.get(asked).content.decode()
    assert 'value="REC28-T"' in form
    assert '<details class="fold" open>' in form


def test_without_a_trial_the_form_asks_what_the_set_up_is(demo: str, here: Client) -> None:
    for row in BENCH.rows.rows(demo, "crimps"):
        BENCH.rows.remove(demo, "crimps", row.key)
    shown = here.get(LOG).content.decode()
    assert "<svg" not in shown.split("<main")[1]
    assert '<details class="fold" open>' in shown
