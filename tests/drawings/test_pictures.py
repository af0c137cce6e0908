"""The kept pictures: drawings come out as they were looked at, and embed anywhere."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from sample.stored_drawings import STORED, pictures

MADE = pictures()
EACH = pytest.mark.parametrize("name", MADE)


@EACH
def test_a_picture_is_as_it_was_kept(name: str) -> None:
    """Lengths are rounded to 0.01 mm when they are written, so the texts can be compared."""
    kept = (STORED / name).read_text(encoding="utf-8")
    assert MADE[name] == kept, "if it is meant so: python tests/sample/stored_drawings.py, and look"


def test_no_picture_is_left_over() -> None:
    assert {path.name for path in STORED.iterdir()} == set(MADE)


@EACH
def test_nothing_comes_from_elsewhere(name: str) -> None:
    assert re.findall(r"https?:[^\"<]*", MADE[name]) == ["http://www.w3.org/2000/svg"]
    assert not re.search(r"href|url\(|@import|<image|<script|<foreignObject", MADE[name])


@EACH
def test_looks_are_attributes_that_every_renderer_knows(name: str) -> None:
    """No stylesheet: papers set these files with a renderer that need not read one."""
    root = ElementTree.fromstring(MADE[name].encode())
    tags = {node.tag.partition("}")[2] for node in root.iter()}
    assert tags <= {"svg", "title", "desc", "g", "rect", "circle", "line", "path", "text"}
    assert not any("style" in node.attrib for node in root.iter())
    assert root.attrib["font-family"].endswith(", sans-serif")


@EACH
def test_the_size_on_paper_is_the_size_of_the_drawing(name: str) -> None:
    root = ElementTree.fromstring(MADE[name].encode())
    left, top, wide, high = root.attrib["viewBox"].split()
    assert (left, top) == ("0", "0")
    assert (root.attrib["width"], root.attrib["height"]) == (f"{wide}mm", f"{high}mm")


@EACH
def test_words_are_black(name: str) -> None:
    """Inherited from the drawing; none stands on a wire's colour."""
    root = ElementTree.fromstring(MADE[name].encode())
    assert root.attrib["fill"] == "#000000"
    texts = [node for node in root.iter() if node.tag.endswith("}text")]
    assert texts
    assert not any("fill" in node.attrib or "opacity" in node.attrib for node in texts)
