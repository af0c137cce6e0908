"""Colours of wires as they are said."""

from __future__ import annotations

import pytest

from loomwright.services.colour_words import colour_words


@pytest.mark.parametrize(
    ("letters", "words"),
    [
        ("RD", "red"),
        ("BN/WH", "brown with a white tracer"),
        ("bu/og", "blue with an orange tracer"),
        ("GN/RD/YE", "green with red and yellow tracers"),
        ("GNYE", "green-and-yellow"),
        ("", "colour not said"),
        ("  ", "colour not said"),
    ],
)
def test_letters_are_said_as_colours(letters: str, words: str) -> None:
    assert colour_words(letters) == words


def test_letters_of_no_colour_stay_as_they_are() -> None:
    assert colour_words("XX/WH") == "XX/WH"
