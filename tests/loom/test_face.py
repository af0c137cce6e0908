"""Faces: reading, turning, neighbours."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import Face

names = st.text("ABC123", min_size=1, max_size=3)
faces = (
    st.lists(st.lists(st.none() | names, min_size=1, max_size=5), min_size=1, max_size=3)
    .filter(lambda rows: any(name for row in rows for name in row))
    .filter(lambda rows: len(cavities(rows)) == len(set(cavities(rows))))
    .map(lambda rows: Face(tuple(tuple(row) for row in rows)))
)


def cavities(rows: list[list[str | None]]) -> list[str]:
    return [name for row in rows for name in row if name]


def test_rows_cavities_and_gaps() -> None:
    face = Face.parse("1 2 3 / 4 . 6")
    assert face.rows == (("1", "2", "3"), ("4", None, "6"))
    assert face.cavities == ("1", "2", "3", "4", "6")


@given(faces)
def test_written_and_read_again(face: Face) -> None:
    assert Face.parse(str(face)) == face


@given(faces)
def test_turned_twice_is_as_before_but_for_gaps_at_the_side(face: Face) -> None:
    twice = face.mirrored.mirrored
    assert twice.cavities == face.cavities
    assert sorted(twice.neighbours) == sorted(face.neighbours)


def test_seen_from_the_other_side() -> None:
    assert str(Face.parse("1 2 3 / 4 5").mirrored) == "3 2 1 / . 5 4"


def test_neighbours_lie_beside_and_below() -> None:
    assert Face.parse("1 2 / 3 .").neighbours == (("1", "2"), ("1", "3"))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no cavity"),
        (". / .", "no cavity"),
        ("1 2 / 1", 'cavity "1" stands in it twice'),
        ("1 a.b", '"a.b" cannot be a cavity name'),
    ],
)
def test_what_is_no_face(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Face.parse(text)
