"""Search across all jobs, in letters of every kind."""

from __future__ import annotations

import html
from urllib.parse import quote

import attrs
import pytest
from django.test import Client

from loomwright.loom import About, Job
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.finding import rows_with
from loomwright.workshop.job_list import set_closed
from loomwright.workshop.pages.search import A_PAGE
from loomwright.workshop.shelf import made_shelf


def found(here: Client, query: str, more: str = "") -> str:
    answer = here.get(f"/search/?q={quote(query)}{more}")
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


def kept(name: str, complaint: str) -> None:
    DatabaseJobs().write(name, Job(about=About(title=f"Job {name}", complaint=complaint)))


def test_a_plug_stands_first_and_leads_to_its_page(demo: str, here: Client) -> None:
    page = found(here, "te")
    assert 'href="/jobs/tarn-2300/plugs/TE/"' in page
    assert page.index("Plug TE") < page.index("The job")


def test_a_row_leads_to_its_form(demo: str, here: Client) -> None:
    wire = next(row for row in BENCH.rows.rows(demo, "wires") if row.cells["wire"] == "W32")
    assert f'href="/jobs/tarn-2300/rows/wires/{wire.key}/"' in found(here, "w32 te.1")


@pytest.mark.parametrize("query", ["Kühler", "KÜHLER", "kühl Ω", "\u2126", "ku\u0308hler"])
def test_letters_beyond_plain_ones_are_found(here: Client, query: str) -> None:
    kept("one", "Kühler drips, 470 Ω")
    kept("two", "Kuhler drips, 470 Ohm")
    assert [each.job for each in rows_with(query)] == ["one"]


def test_all_words_stand_in_the_same_row(here: Client) -> None:
    kept("one", "floods hot")
    kept("two", "floods cold")
    assert "1 row found." in found(here, "COLD floods")
    assert "Nothing found." in found(here, "cold hot")


def test_notes_of_readings_and_photos_parts_and_grades_are_looked_into(
    demo: str, here: Client
) -> None:
    for query in ("engine earth looks dull", "torn through along the back", "flat receptacle"):
        assert "Nothing found." not in found(here, query), query


def test_what_was_found_is_grouped_by_job_the_last_changed_first(here: Client) -> None:
    kept("one", "floods")
    kept("two", "floods")
    set_closed("one", closed=True)
    page = found(here, "floods")
    assert page.index("Job one") < page.index("Job two")
    assert page.count(">closed</span>") == 1


def test_the_shelf_is_not_searched(here: Client) -> None:
    made_shelf()
    assert "Nothing found." in found(here, "shelf")


def test_much_is_shown_page_by_page(here: Client, demo_job: Job) -> None:
    for number in range(3):
        DatabaseJobs().write(
            f"n{number}", attrs.evolve(demo_job, about=About(title=f"Copy {number}"))
        )
    first = found(here, "cu")
    last = found(here, "cu", "&page=99")
    assert first.count('class="row"') == A_PAGE
    assert "Copy 2" in first
    assert "Copy 2" not in last
    assert "Copy 0" in last
    assert 'href="?q=cu&page=2"' in first


def test_signs_of_the_databases_own_language_mean_themselves(here: Client) -> None:
    kept("one", 'says 50% "rich"_\\')
    kept("two", "says 501 rich")
    assert [each.job for each in rows_with("50%")] == ["one"]
    assert [each.job for each in rows_with('"rich"')] == ["one"]
    assert [each.job for each in rows_with("\\")] == ["one"]


def test_nothing_asked_and_far_too_much_asked_are_answered(here: Client) -> None:
    assert "found" not in found(here, "  ").lower().split("<main")[1].split("</main>")[0]
    assert "Nothing found." in found(here, "x" * 5000)
