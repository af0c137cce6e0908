"""The verdict page of a reading, the list of all readings, the plan that proves a loom sound."""

from __future__ import annotations

import html
import re

import attrs
import pytest
from django.test import Client
from django.urls import reverse

from loomwright.loom import Job
from loomwright.workshop.database import DatabaseJobs


def page(answer: object) -> str:
    return html.unescape(getattr(answer, "content", b"").decode())


@pytest.mark.parametrize(
    ("name", "sign", "words"),
    [
        ("R06", "In band", "✓ as expected: 2.78 kΩ."),
        ("R09", "Outside", "✗ not open: 4.86 kΩ."),
        ("R11", "Outside", "▲ too high: 431 Ω."),
    ],
)
def test_a_reading_has_its_verdict_at_once(
    here: Client, demo: str, name: str, sign: str, words: str
) -> None:
    shown = page(here.get(reverse("reading", args=[demo, name])))
    assert sign in shown
    assert words in shown
    assert "A sound loom reads" in shown


def test_a_reading_at_the_edge_is_borderline(here: Client, db: None, demo_job: Job) -> None:
    edge = [
        attrs.evolve(each, value=345.0) if each.reading == "R11" else each
        for each in demo_job.readings
    ]
    DatabaseJobs().write("edge", attrs.evolve(demo_job, readings=tuple(edge)))
    shown = page(here.get(reverse("reading", args=["edge", "R11"])))
    assert "Borderline" in shown
    assert "take it again" in shown


def test_what_it_means_follows_or_is_a_link_away(here: Client, demo: str) -> None:
    where = reverse("meaning", args=[demo, "R11"])
    shown = page(here.get(where))
    for words in ("plug TE (Engine temperature sensor plug)", "sure enough to act on", "CU.9"):
        assert words in shown, words
    part = page(here.get(where, headers={"HX-Request": "true"}))
    assert "<html" not in part
    # Once it is known it stands on the reading's own page.
    assert "sure enough to act on" in page(here.get(reverse("reading", args=[demo, "R11"])))


def test_a_reading_that_contradicts_says_so(here: Client, db: None, demo_job: Job) -> None:
    twice = attrs.evolve(demo_job.readings[10], reading="R15", value=600.0)
    DatabaseJobs().write("twice", attrs.evolve(demo_job, readings=(*demo_job.readings, twice)))
    shown = page(here.get(reverse("meaning", args=["twice", "R15"])))
    assert "R11 and R15: the same points in the same state read 431 Ω and 600 Ω" in shown
    assert "It does not fit." in shown


def test_side_paths_are_told(here: Client, demo: str) -> None:
    shown = page(here.get(reverse("reading", args=[demo, "R10"])))
    assert "R10 also sees RES (33 % of the current)" in shown


def test_typed_wrong_leads_to_its_row_and_back(here: Client, demo: str) -> None:
    here_url = reverse("reading", args=[demo, "R11"])
    found = re.search(r'href="([^"]+)">Typed wrong\? Change it', page(here.get(here_url)))
    assert found
    form = page(here.get(found[1]))
    assert "Change: reading" in form
    assert 'value="431"' in form
    assert f'name="back" value="{here_url}"' in form


@pytest.mark.parametrize(("name", "heat"), [("R06", "hot"), ("R11", "cold")])
def test_a_repeat_asks_for_the_other_temperature(
    here: Client, demo: str, name: str, heat: str
) -> None:
    shown = page(here.get(reverse("reading", args=[demo, name])))
    found = re.search(rf'href="([^"]+)">Repeat {heat}', shown)
    assert found
    asked = page(here.get(found[1]))
    assert re.search(r'name="engine_c" type="text" value=""', asked)
    assert "CU.6" in asked


def test_a_refused_reading_is_set_aside(here: Client, db: None, demo_job: Job) -> None:
    on = attrs.evolve(demo_job.readings[5], unplugged=())
    DatabaseJobs().write("on", attrs.evolve(demo_job, readings=(on,)))
    shown = page(here.get(reverse("reading", args=["on", "R06"])))
    assert "Set aside" in shown
    assert "the control unit is still on plug CU" in shown
    assert "In band" not in shown


def test_a_reading_after_the_work_has_a_page(here: Client, demo: str) -> None:
    shown = page(here.get(reverse("reading", args=[demo, "R11"]), {"after": "1"}))
    assert "✓ as expected: 341 Ω." in shown
    assert reverse("proof", args=[demo]) in shown


def test_a_reading_that_is_not_there(here: Client, demo: str) -> None:
    answer = here.get(reverse("reading", args=[demo, "R99"]))
    assert answer.status_code == 404
    assert "R99" in page(answer)


def test_all_readings_with_their_bands(here: Client, demo: str) -> None:
    shown = page(here.get(reverse("readings", args=[demo]), {"now": "1"}))
    for words in (
        "2.37 kΩ to 3.12 kΩ",
        "too high",
        "14 readings taken; 3 outside a sound loom's band.",
        "R01 to R10: air 18 °C, ambient 18 °C, engine 18 °C",
        "After the work",
        "Worth taking, not taken yet",
        reverse("reading", args=[demo, "R09"]),
    ):
        assert words in shown, words


def test_the_plan_that_proves_a_loom_sound(here: Client, demo: str) -> None:
    shown = page(here.get(reverse("certify", args=[demo]), {"now": "1"}))
    assert "25 readings would cover more" in shown
    assert shown.count("spreads its spring") == 1
    assert shown.count(">Take it") == 25
