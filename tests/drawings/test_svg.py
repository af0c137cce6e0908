"""SVG text: whatever the words are, it is well-formed and says them; numbers are short."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings import svg


def drawn(*children: svg.Element, words: str = "a drawing") -> ElementTree.Element:
    return ElementTree.fromstring(
        svg.drawing(children, wide=100, high=50, title=words, desc=words).encode()
    )


@given(st.text())
def test_any_words_come_back_as_one_line(words: str) -> None:
    found = drawn(svg.text(words, 1, 2, id=words), words=words)
    kept = svg.escapable(words)
    node = found.find("{*}text")
    assert node is not None
    assert (node.text or "") == kept
    assert node.get("id") == kept
    assert (found.findtext("{*}title") or "") == kept


@pytest.mark.parametrize("words", ["</text><script>alert(1)</script>", '" onload="alert(1)', "]]>"])
def test_words_cannot_become_elements(words: str) -> None:
    found = drawn(svg.text(words, 0, 0, class_=words), words=words)
    tags = [node.tag.partition("}")[2] for node in found.iter()]
    assert tags == ["svg", "title", "desc", "rect", "text"]
    assert set(found[-1].attrib) == {"x", "y", "class"}


def test_what_xml_cannot_hold_is_replaced() -> None:
    """XML 1.0, 2.2: no NUL, no other control character, no lone surrogate, no U+FFFE."""
    assert svg.escapable("a\x00b\x1bc\ud800d\ufffee\U0001f527") == "a�b�c�d�e\U0001f527"


@given(st.floats(-1e6, 1e6))
def test_numbers_keep_a_hundredth(value: float) -> None:
    text = svg.number(value)
    assert abs(float(text) - value) <= 0.005 + 1e-9
    assert "e" not in text
    assert text != "-0"


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_no_length_is_endless(value: float) -> None:
    with pytest.raises(ValueError, match="cannot hold"):
        svg.number(value)


def test_size_on_paper_and_words_for_those_who_cannot_see() -> None:
    found = drawn()
    assert (found.get("width"), found.get("height")) == ("100mm", "50mm")
    assert found.get("viewBox") == "0 0 100 50"
    assert found.get("role") == "img"
    assert [node.tag.partition("}")[2] for node in found][:2] == ["title", "desc"]


@given(st.text("ab ", min_size=1), st.floats(5, 50))
def test_words_are_cut_to_their_room(words: str, room: float) -> None:
    cut = svg.shortened(words, 2.4, room)
    assert cut == words or cut.endswith("…")
    assert svg.width(cut, 2.4) <= max(room, svg.width("…", 2.4))


def test_a_paragraph_keeps_every_word() -> None:
    lines = svg.paragraph("one two three four five six", 1, 2, size=2, room=12)
    assert len(lines) > 1
    assert " ".join(str(line.children[0]) for line in lines) == "one two three four five six"
    assert [dict(line.attributes)["y"] for line in lines][:2] == ["2", "4.8"]
