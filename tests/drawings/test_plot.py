"""Curves over axes: where they stand, what the legend names, seen with another reader of XML."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings.heat_course import heat_course
from loomwright.drawings.plot import HIGH, WIDE, Curve, Dots, Plot, plot
from loomwright.drawings.warming_plot import warming_plot
from loomwright.services.shield_curves import RunCurve, shield_curves
from loomwright.services.shield_test import shield_tests
from sample.demo import demo_job, demo_known

NS = "{http://www.w3.org/2000/svg}"
POINT = st.tuples(st.floats(-1e4, 1e4), st.floats(-300.0, 1000.0))
POINTS = st.lists(POINT, max_size=30).map(lambda found: tuple(sorted(found)))


def drawn(**told: object) -> ElementTree.Element:
    made = {"title": "t", "words": "w", "across": "minutes", "up": "°C", "curves": ()} | told
    return ElementTree.fromstring(plot(Plot(**made)))  # type: ignore[arg-type]


def words(picture: ElementTree.Element) -> list[str]:
    return [each.text or "" for each in picture.iter(f"{NS}text")]


def ways(picture: ElementTree.Element) -> list[list[tuple[float, float]]]:
    found = []
    for each in picture.iter(f"{NS}path"):
        numbers = [float(word) for word in (each.get("d") or "").split() if word not in "ML"]
        found.append(list(zip(numbers[::2], numbers[1::2], strict=True)))
    return found


def test_a_rising_line_rises_evenly_on_the_paper() -> None:
    (way,) = ways(drawn(curves=(Curve(name="a", points=((0, 20), (5, 60), (10, 100))),)))
    (x1, y1), (x2, y2), (x3, y3) = way
    assert x1 < x2 < x3
    assert y1 > y2 > y3
    assert abs((x1 + x3) / 2 - x2) < 0.02
    assert abs((y1 + y3) / 2 - y2) < 0.02


def test_a_point_stands_on_the_curve_that_it_lies_on() -> None:
    points = ((0.0, 23.0), (60.0, 50.0))
    picture = drawn(
        curves=(Curve(name="", points=points),), dots=(Dots(name="", points=points, filled=True),)
    )
    dots = [(float(each.get("cx") or 0), float(each.get("cy") or 0))
            for each in picture.iter(f"{NS}circle")]  # fmt: skip
    assert dots == ways(picture)[0]


def test_axes_have_their_units_and_round_figures() -> None:
    found = words(drawn(curves=(Curve(name="", points=((0, 45), (120, 162))),)))
    assert {"minutes", "°C", "0", "20", "120", "40", "160", "180"} <= set(found)


def test_every_curve_is_told_by_its_dashes_and_named_once() -> None:
    picture = drawn(
        curves=(Curve(name="bare", points=((0, 0), (1, 1)), dashes="3 1"),
                Curve(name="with boot", points=((0, 1), (1, 2)))),
        dots=(Dots(name="read", points=((0, 1),), filled=False),),
        level=("made for 105 °C", 1.5),
    )  # fmt: skip
    for each in ("bare", "with boot", "read", "made for 105 °C"):
        assert words(picture).count(each) == 1
    dashes = [each.get("stroke-dasharray") for each in picture.iter(f"{NS}path")]
    assert dashes == ["3 1", None]
    shades = {each.get(name) for each in picture.iter() for name in ("fill", "stroke")}
    assert shades - {None, "none"} == {"#000000", "#ffffff"}


@given(POINTS, POINTS, st.floats(-300.0, 1000.0))
def test_all_of_it_stays_on_the_paper(
    one: tuple[tuple[float, float], ...], other: tuple[tuple[float, float], ...], level: float
) -> None:
    picture = drawn(
        curves=(Curve(name="a", points=one), Curve(name="b", points=other, dashes="1 1")),
        dots=(Dots(name="c", points=one, filled=True),), level=("at most", level),
    )  # fmt: skip
    for each in picture.iter():
        for name, most in (("cx", WIDE), ("x1", WIDE), ("x2", WIDE), ("x", WIDE), ("cy", HIGH),
                           ("y1", HIGH), ("y2", HIGH), ("y", HIGH)):  # fmt: skip
            if each.get(name) is not None:
                assert 0.0 <= float(each.get(name) or "nan") <= most
    for way in ways(picture):
        assert all(0 <= x <= WIDE and 0 <= y <= HIGH for x, y in way)


def test_a_hot_stop_is_drawn_bare_and_with_the_boot_against_the_limit() -> None:
    report = demo_known().heat(date(2026, 3, 19))
    hottest = report.hottest
    assert hottest is not None
    (course,) = (each.course for each in report.plugs.zones if each.course.zone == hottest.zone)
    picture = ElementTree.fromstring(heat_course(hottest, course, "words"))
    assert picture.findtext(f"{NS}title") == f"Plug {hottest.plug} after a hot stop"
    assert {"air", "bare", "with boot", "made for 105 °C"} <= set(words(picture))
    air, bare, boot = (min(y for _, y in way) for way in ways(picture))
    assert air < bare < boot  # on paper a hotter peak stands higher
    assert all(x1 <= x2 for way in ways(picture) for (x1, _), (x2, _) in pairwise(way))


def test_warming_runs_have_open_dots_bare_and_filled_ones_with_the_boot() -> None:
    (test,) = shield_tests(demo_job())
    runs = shield_curves(demo_job(), test)
    picture = ElementTree.fromstring(warming_plot(test.plug, runs, "words"))
    filled = [each.get("fill") for each in picture.iter(f"{NS}circle")]
    # One more of each in the legend.
    assert filled.count("#ffffff") == 1 + sum(r.boot == "off" for r in demo_job().warmings)
    assert filled.count("#000000") == 1 + sum(r.boot == "on" for r in demo_job().warmings)
    assert {"bare, read", "bare, fitted", "with boot, read", "with boot, fitted"} <= set(
        words(picture)
    )


def test_several_runs_of_a_kind_are_named_once() -> None:
    one = RunCurve(run="A", boot="on", points=((0, 20), (9, 30)), curve=((0, 20), (9, 30)))
    two = RunCurve(run="B", boot="on", points=((0, 21), (9, 31)), curve=())
    found = words(ElementTree.fromstring(warming_plot("", (one, two), "words")))
    assert found.count("with boot, read") == 1
    assert not any("bare" in each for each in found)
