"""The shell: a latch lies on the outline, keys lie in the wall, words beside both."""

from __future__ import annotations

from collections import Counter
from xml.etree import ElementTree

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings import svg
from loomwright.drawings.face import face_svg
from loomwright.drawings.shell import WALL, Box, fittings, room, shell
from loomwright.drawings.views import MATING, WIRE, View
from loomwright.loom import Face, schema
from loomwright.services.draw import plug_sheet
from sample.drawn import loom

BOX = Box(x=20, y=30, wide=40, high=25)
sides = st.sampled_from([MATING, WIRE])
latches = st.just("") | st.sampled_from(schema.SIDES)
keyings = st.sets(st.sampled_from(schema.SIDES))

Rect = tuple[float, float, float, float]


def drawn(view: View) -> ElementTree.Element:
    root = ElementTree.Element("g")
    for part in shell(view, BOX, mark="P"):
        root.append(parsed(part))
    return root


def parsed(part: svg.Element) -> ElementTree.Element:
    node = ElementTree.Element(part.tag, dict(part.attributes))
    for child in part.children:
        if isinstance(child, str):
            node.text = child
        else:
            node.append(parsed(child))
    return node


def rect(group: ElementTree.Element) -> Rect:
    """Left, top, right, bottom."""
    box = group.find("rect")
    assert box is not None
    x, y, wide, high = (float(box.attrib[name]) for name in ("x", "y", "width", "height"))
    return x, y, x + wide, y + high


def seen(side: str, latch: str, keys: set[str]) -> View:
    return View.of(Face.parse("1 2 3 / 4 . 5"), side, latch=latch, keys=keys)


@given(sides, latches, keyings)
def test_everything_is_drawn_once_with_its_word(side: str, latch: str, keys: set[str]) -> None:
    view = seen(side, latch, keys)
    groups = drawn(view).findall("g")
    wanted = [f"{word} at the {on}" for word, on in fittings(view)]
    assert Counter(group.findtext("title") for group in groups) == Counter(wanted)
    assert [group.findtext("text") for group in groups] == [word for word, _ in fittings(view)]
    assert len(wanted) == bool(latch) + len(keys)


@given(sides, st.sampled_from(schema.SIDES), keyings)
def test_a_latch_lies_outside_the_outline_and_keys_in_the_wall(
    side: str, latch: str, keys: set[str]
) -> None:
    root = drawn(seen(side, latch, keys))
    left, top, right, bottom = BOX.x, BOX.y, BOX.x + BOX.wide, BOX.y + BOX.high
    for group in root.findall("g"):
        x0, y0, x1, y1 = rect(group)
        if group.attrib["class"] == "latch":
            assert (
                x1 <= left + 0.01 or x0 >= right - 0.01 or y1 <= top + 0.01 or y0 >= bottom - 0.01
            )
        else:
            assert left - 0.01 <= x0 < x1 <= right + 0.01
            assert top - 0.01 <= y0 < y1 <= bottom + 0.01
            assert min(x1 - left, right - x0, y1 - top, bottom - y0) < WALL


@given(sides, latches, keyings)
def test_words_on_one_side_stand_apart_and_within_their_room(
    side: str, latch: str, keys: set[str]
) -> None:
    view = seen(side, latch, keys)
    places = []
    for group in drawn(view).findall("g"):
        said = group.find("text")
        assert said is not None
        x, y = float(said.attrib["x"]), float(said.attrib["y"])
        places.append((x, y))
        assert BOX.x - room(view, "left") - 0.01 <= x <= BOX.x + BOX.wide + room(view, "right")
        assert BOX.y - room(view, "top") - 0.01 <= y <= BOX.y + BOX.high + room(view, "bottom")
    for n, (x, y) in enumerate(places):
        assert all(abs(x - a) + abs(y - b) > 2 for a, b in places[:n])


@given(sides, keyings)
def test_without_anything_there_is_no_room(side: str, keys: set[str]) -> None:
    view = seen(side, "", keys)
    assert {on for on in schema.SIDES if room(view, on)} == keys
    assert all(room(seen(side, "", set()), on) == 0 for on in schema.SIDES)


@pytest.mark.parametrize("pitch", [1, 5, 20])
@pytest.mark.parametrize("latch", schema.SIDES)
def test_all_of_it_lies_within_the_drawing(pitch: float, latch: str) -> None:
    job = loom("W1 P.1 Q.1", {"P": ": 1", "Q": ": 1"}, "")
    plugs = (attrs.evolve(job.plugs[0], latch=latch, keying=schema.SIDES), job.plugs[1])
    sheet = plug_sheet(attrs.evolve(job, plugs=plugs), "P", pitch_mm=pitch)
    root = ElementTree.fromstring(face_svg(sheet, life_size=True).encode())
    _, _, wide, high = map(float, root.attrib["viewBox"].split())
    groups = [
        group for word in ("latch", "key") for group in root.findall(f".//{{*}}g[@class='{word}']")
    ]
    assert len(groups) == 2 * 5
    for group in groups:
        for node in (*group.findall("{*}rect"), *group.findall("{*}text")):
            assert 3 < float(node.attrib["x"]) < wide - 3
            assert 3 < float(node.attrib["y"]) < high - 3
