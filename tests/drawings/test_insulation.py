"""Cut wires: letters to colours, tracers on both sides."""

from __future__ import annotations

import pytest

from loomwright.drawings.insulation import colours, ring
from loomwright.standards import screen_colours

PAINT = {code: row.rgb for code, row in screen_colours().items()}


@pytest.mark.parametrize(
    ("letters", "codes"),
    [
        ("BN", ["BN"]),
        ("bn / wh", ["BN", "WH"]),
        ("RD/GN/YE", ["RD", "GN", "YE"]),
        ("GNYE", ["GN", "YE"]),  # IEC 60757: two colours may be joined without a separator
        ("RDBU/WH", ["RD", "BU", "WH"]),
    ],
)
def test_letters_become_colours(letters: str, codes: list[str]) -> None:
    assert colours(letters, PAINT) == tuple(PAINT[code] for code in codes)


@pytest.mark.parametrize("letters", ["", "XX", "BN/XX", "BNXX", "brown"])
def test_unknown_letters_have_no_colour(letters: str) -> None:
    assert colours(letters, PAINT) == ()
    around = dict(ring(0, 0, 2, rgb=()).children[0].attributes)  # type: ignore[union-attr]
    assert "stroke-dasharray" in around


@pytest.mark.parametrize("count", [0, 1, 2, 3])
def test_each_tracer_shows_on_two_sides(count: int) -> None:
    rgb = ("#1a1a1a", "#ffffff", "#d62828", "#2e9e4f")[: count + 1]
    tags = [part.tag for part in ring(0, 0, 2, rgb=rgb).children]  # type: ignore[union-attr]
    assert tags.count("path") == 2 * count
    assert tags.count("circle") == 2
