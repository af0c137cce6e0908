"""Points: reading and writing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import Point

names = st.from_regex(r"[A-Za-z0-9_-]{1,40}", fullmatch=True)


@given(names, names | st.just(""))
def test_written_and_read_again(owner: str, terminal: str) -> None:
    point = Point(owner, terminal)
    assert Point.parse(str(point)) == point


def test_forms() -> None:
    assert Point.parse(" T4.1 ") == Point("T4", "1")
    assert Point.parse("EARTH1") == Point("EARTH1")


@pytest.mark.parametrize("text", ["", ".", "T4.", ".1", "T 4.1", "T4.1.2", "T4 1", "Ä.1", "x" * 41])
def test_what_is_no_point(text: str) -> None:
    with pytest.raises(ValueError, match=r"PLUG\.cavity"):
        Point.parse(text)
