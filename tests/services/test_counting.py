"""How many of a thing, in words."""

from __future__ import annotations

import pytest

from loomwright.services.counting import counted


@pytest.mark.parametrize(
    ("number", "words"), [(0, "0 wires"), (1, "1 wire"), (2, "2 wires"), (21, "21 wires")]
)
def test_one_thing_is_told_without_an_s(number: int, words: str) -> None:
    assert counted(number, "wire") == words
