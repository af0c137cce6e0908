"""A bundle without a job."""

from __future__ import annotations

import math

import pytest
from django.test import Client
from django.urls import reverse


def page(here: Client, **asked: str) -> str:
    return here.get("/bundle/", asked).content.decode()


def test_it_asks_first(here: Client) -> None:
    answer = here.get("/bundle/")
    assert answer.status_code == 200
    assert 'name="wires"' in answer.content.decode()
    assert "<svg" not in answer.content.decode()


def test_seven_alike_are_three_across_and_are_drawn(here: Client) -> None:
    """Six round one, touching: three diameters across (elementary geometry)."""
    said = page(here, wires="7x2.0")
    assert "6.00 mm" in said
    assert "7 wires" in said
    assert "<svg" in said
    assert "heat-shrink 2:1" in said


@pytest.mark.parametrize("typed", ["2.0 1.0", "2,0 1,0", "2.0; 1.0", "2,0, 1,0", " 2.0  1.0 "])
def test_diameters_are_read_however_they_are_parted(here: Client, typed: str) -> None:
    """Two circles lie side by side: 2 + 1 mm."""
    assert "3.00 mm" in page(here, wires=typed)


def test_the_tape_counts(here: Client) -> None:
    """One wire with tape: its diameter and two walls."""
    said = page(here, wires="4", tape_wall="0,5")
    assert f"{4 + 2 * 0.5:.1f} to" in said
    assert math.isclose(4 + 2 * 0.5, 5.0)


def test_everything_wrong_is_told_at_once_and_stays_in_the_form(here: Client) -> None:
    answer = here.get("/bundle/", {"wires": "2.0 q -3", "tape_wall": "thick"})
    said = answer.content.decode()
    assert answer.status_code == 400
    for each in ("&quot;q&quot; is not a number", "&quot;-3&quot;", "&quot;thick&quot;"):
        assert each in said
    assert 'value="2.0 q -3"' in said


@pytest.mark.parametrize("typed", ["", "400x1.0", "999999999999x1.0"])
def test_none_or_too_many_are_refused(here: Client, typed: str) -> None:
    assert here.get("/bundle/", {"wires": typed}).status_code == 400


def test_today_leads_to_it(here: Client) -> None:
    assert f'href="{reverse("bundle")}"' in here.get("/").content.decode()
