"""`bundle`: words, JSON, the drawing, and what is wrong with what was typed."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

Run = Callable[..., Any]


def test_words_fit_the_screen_and_tell_the_diameter(run: Run) -> None:
    done = run("bundle", "3x2.0", "1,6")
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("4 wires together: ")
    assert max(len(line.rstrip()) for line in done.out.splitlines()) <= 80
    for word in ("vinyl tube", "heat-shrink", "usually met", "aids"):
        assert word in done.out


def test_json_is_one_document(run: Run) -> None:
    told = json.loads(run("bundle", "2.0", "2,0", "--json").out)
    # two wires side by side
    assert told["diameter_mm"] == 4.0
    assert [each["outside_mm"] for each in told["wires"]] == [2.0, 2.0]


def test_every_bad_value_is_named(run: Run) -> None:
    done = run("bundle", "2.0", "abc", "-3", "--tape-wall", "x")
    assert (done.code, done.out) == (2, "")
    for word in ('wire 2: "abc"', 'wire 3: "-3"', 'tape wall: "x"', "3 problems to mend."):
        assert word in done.err


def test_the_section_is_drawn_and_nothing_is_written_over(run: Run, tmp_path: Path) -> None:
    place = tmp_path / "section.svg"
    done = run("bundle", "2.0", "1.6", "--svg", str(place))
    assert done.code == 0
    assert str(place) in done.out
    assert ElementTree.parse(place).getroot().tag.endswith("svg")
    before = place.read_text(encoding="utf-8")
    again = run("bundle", "5.0", "--svg", str(place))
    assert again.code != 0
    assert again.err
    assert place.read_text(encoding="utf-8") == before
    assert run("bundle", "5.0", "--svg", str(place), "--over").code == 0
    assert place.read_text(encoding="utf-8") != before
