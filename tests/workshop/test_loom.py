"""The loom's page."""

from __future__ import annotations

import attrs
import pytest
from django.test import Client

from loomwright.loom import Job, schema
from loomwright.services.entering import enter
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.pages.loom import GROUPS


def page(here: Client, job: str = "tarn-2300") -> str:
    answer = here.get(f"/jobs/{job}/loom/")
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_picture_and_every_plug_with_its_page_are_there(
    demo: str, here: Client, demo_job: Job
) -> None:
    text = page(here)
    assert 'aria-label="The loom as a tree"' in text
    assert "<svg" in text
    for plug in demo_job.plugs:
        assert f'href="/jobs/tarn-2300/plugs/{plug.plug}/"' in text
    assert "Engine temperature sensor plug" in text
    assert "thermostat, 2 wires" in text
    assert "grade 3, bad" in text


def test_a_recorded_plug_carries_its_tick(demo: str, here: Client) -> None:
    tick = "</span>recorded</span>"
    assert tick not in page(here)
    enter(BENCH, demo, "tasks", {"item": "TE", "step": "record", "state": "done"})
    assert page(here).count(tick) == 1


def test_every_table_but_the_job_itself_has_a_tile_with_its_ways(demo: str, here: Client) -> None:
    text = page(here)
    tables = [table for group in GROUPS.values() for table in group]
    assert {*tables, "job"} == {table.name for table in schema.TABLES}
    assert len(tables) == len(set(tables))
    for table in tables:
        assert f'href="/jobs/tarn-2300/tables/{table}/"' in text
        assert f'href="/jobs/tarn-2300/rows/{table}/?back=' in text
        assert f'href="/jobs/tarn-2300/paste/{table}/"' in text
    assert "Wires <b>64</b>" in text


def test_what_does_not_hold_together_leads_to_its_row(demo: str, here: Client) -> None:
    assert "does not hold together" not in page(here)
    enter(BENCH, demo, "wires", {"from": "TE.1", "to": "NOPLUG.1"}, anyhow=True)
    key = BENCH.rows.rows(demo, "wires")[-1].key
    text = page(here)
    assert "This does not hold together yet" in text
    assert "NOPLUG" in text
    assert f'href="/jobs/tarn-2300/rows/wires/{key}/?back=' in text


def test_an_empty_loom_says_how_to_begin(here: Client, demo_job: Job) -> None:
    DatabaseJobs().write("bare", Job(about=demo_job.about))
    text = page(here, "bare")
    assert "Add the first plug" in text
    assert 'href="/jobs/bare/paste/wires/"' in text


def test_without_branches_the_way_to_them_stands_for_the_picture(
    here: Client, demo_job: Job
) -> None:
    plugs = tuple(attrs.evolve(plug, place=None) for plug in demo_job.plugs)
    DatabaseJobs().write("flat", Job(about=demo_job.about, plugs=plugs))
    text = page(here, "flat")
    assert "Fill in the branches" in text
    assert 'href="/jobs/flat/plugs/TE/"' in text


@pytest.mark.parametrize("address", ["loom/", "tables/wires/", "paste/wires/"])
def test_a_job_that_is_not_there_is_not_found(here: Client, address: str) -> None:
    assert here.get(f"/jobs/nowhere/{address}").status_code == 404
