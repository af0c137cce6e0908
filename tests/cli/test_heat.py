"""`heat`: what stands first, what is cut short, and its JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import Any

from sample.demo import demo_known

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"
DAY = "2026-03-19"


def test_what_matters_stands_first_and_all_fits_eighty_columns(seen: Run) -> None:
    ran = seen("heat", DEMO, "--on", DAY)
    assert (ran.code, ran.err) == (0, "")
    assert max(len(row.rstrip()) for row in ran.out.splitlines()) <= 80
    first = ran.out.index("Ages fastest")
    assert first < ran.out.index("Hottest") < ran.out.index("Plugs by zone")
    assert ran.out.index("! Not on a car with fuel vapour") < ran.out.index("I2: Warms 12 times")


def test_all_shows_more_than_what_is_urgent(seen: Run) -> None:
    short, whole = seen("heat", DEMO, "--on", DAY), seen("heat", DEMO, "--on", DAY, "--all")
    assert len(whole.out) > len(short.out)


def test_its_json_is_that_of_the_service(seen: Run) -> None:
    told = demo_known().heat(date.fromisoformat(DAY)).json()
    assert json.loads(seen("heat", DEMO, "--on", DAY, "--json").out) == told


def test_a_day_that_is_none_is_refused(run: Run) -> None:
    ran = run("heat", DEMO, "--on", "yesterday")
    assert (ran.code, ran.out) == (2, "")
    assert "Write it as 2026-03-21" in ran.err
