"""The scale of one reading: where the marks stand, seen with another reader of XML."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings.reading_scale import WIDE, Marks, reach, reading_scale

NS = "{http://www.w3.org/2000/svg}"
OFF = st.floats(-50, 50) | st.sampled_from([math.inf, -math.inf])


def marks(before: float | None, after: float | None) -> Marks:
    return Marks(reading="R1", before=before, after=after, words="Before high, after in order.")


def drawn(found: Marks, wide: float | None = None) -> ElementTree.Element:
    return ElementTree.fromstring(reading_scale(found, reach=wide or reach([found])))


def dots(picture: ElementTree.Element) -> dict[str, float]:
    return {
        "after" if each.get("fill") == "#000000" else "before": float(each.get("cx") or "nan")
        for each in picture.iter(f"{NS}circle")
    }


def box(picture: ElementTree.Element) -> tuple[float, float]:
    last = list(picture.iter(f"{NS}rect"))[-1]
    left = float(last.get("x") or "nan")
    return left, left + float(last.get("width") or "nan")


def test_the_edges_of_the_box_are_those_of_the_band() -> None:
    picture = drawn(marks(-1.0, 1.0))
    assert dots(picture)["before"] == pytest.approx(box(picture)[0], abs=0.02)
    assert dots(picture)["after"] == pytest.approx(box(picture)[1], abs=0.02)


@given(OFF, OFF)
def test_inside_and_outside_are_seen_as_such_and_all_stays_on_the_paper(
    before: float, after: float
) -> None:
    picture = drawn(marks(before, after))
    left, right = box(picture)
    for name, value in (("before", before), ("after", after)):
        x = dots(picture)[name]
        assert 0.0 < x < WIDE
        if abs(value) < 0.999:
            assert left <= x <= right
        if abs(value) > 1.01:
            assert x < left if value < 0 else x > right


def test_far_beyond_has_an_arrow_and_near_has_none() -> None:
    assert len(list(drawn(marks(math.inf, 0.0)).iter(f"{NS}polygon"))) == 1
    assert not list(drawn(marks(2.0, 0.0)).iter(f"{NS}polygon"))


def test_marks_and_words_stand_without_colour() -> None:
    picture = drawn(marks(3.0, 0.2))
    words = {each.text for each in picture.iter(f"{NS}text")}
    assert words == {"before", "after", "sound", "too low", "too high"}
    shades = {each.get(name) for each in picture.iter() for name in ("fill", "stroke")} - {None}
    assert shades == {"#000000", "#ffffff"}
    assert picture.findtext(f"{NS}desc") == "Before high, after in order."


def test_only_what_was_read_is_drawn() -> None:
    assert set(dots(drawn(marks(None, 0.5)))) == {"after"}


@given(st.lists(st.tuples(OFF, OFF), max_size=6))
def test_one_reach_serves_a_whole_paper(pairs: list[tuple[float, float]]) -> None:
    assert 2.4 <= reach([marks(*pair) for pair in pairs]) <= 8.0
