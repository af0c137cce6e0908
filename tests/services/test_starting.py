"""A new job holds what the car and the workshop have, and nothing that was done before."""

from __future__ import annotations

import attrs

from loomwright.loom import RECORD_OF, About, Job, schema
from loomwright.loom.schema.bench_tables import SYMPTOMS
from loomwright.services.starting import SYMPTOM_WORDS, started
from sample.jobs import job as small_job

ABOUT = About(title="Idle hunts")
OF_THE_DAY = ("readings", "proof", "survey", "crimps", "warmings", "tasks", "photos")
OF_THE_WORKSHOP = ("meters", "catalogue", "suppliers", "offers", "stock", "settings")


def test_a_job_from_an_earlier_one_has_its_loom_and_parts_and_nothing_done() -> None:
    earlier = small_job()
    job = started(earlier, None, ABOUT)
    for table in RECORD_OF:
        if table == "job":
            continue
        expected = () if table in OF_THE_DAY else earlier.rows(table)
        assert job.rows(table) == expected, table


def test_a_blank_job_has_what_is_on_the_shelf_and_no_loom() -> None:
    shelf = small_job()
    job = started(None, shelf, ABOUT)
    filled = {table.name for table in schema.TABLES[1:] if job.rows(table.name)}
    assert filled == set(OF_THE_WORKSHOP)


def test_a_job_from_nothing_is_blank() -> None:
    assert started(None, None, ABOUT) == Job(about=ABOUT)


def test_the_earlier_job_wins_over_the_shelf() -> None:
    shelf = attrs.evolve(small_job(), meters=())
    assert started(small_job(), shelf, ABOUT).meters == small_job().meters


def test_rates_and_the_car_are_taken_over_only_where_they_are_not_given() -> None:
    earlier = attrs.evolve(
        small_job(), about=About(title="Old", vehicle="Tourer", currency="EUR", labour_rate=60.0)
    )
    job = started(earlier, None, attrs.evolve(ABOUT, currency="SEK", labour_rate=0.0))
    assert (job.about.currency, job.about.labour_rate) == ("SEK", 0.0)
    assert started(earlier, None, ABOUT).about == attrs.evolve(
        ABOUT, vehicle="Tourer", currency="EUR", labour_rate=60.0
    )
    assert started(None, earlier, ABOUT).about.vehicle is None


def test_every_symptom_that_is_weighed_has_words() -> None:
    assert set(SYMPTOM_WORDS) == set(SYMPTOMS)
