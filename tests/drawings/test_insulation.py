"""Cut wires: letters to colours, tracers on both sides."""

from __future__ import annotations

import pytest

from loomwright.drawings.insulation import INK, PAPER, colours, contrast, edge, ring
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


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        # WCAG 2.1: black on white is 21 to 1; #767676 is known as the lightest grey that keeps 4.5
        # on white, #949494 the lightest that keeps 3 (from memory, not seen for this).
        ("#000000", "#ffffff", 21.0),
        ("#767676", "#ffffff", 4.54),
        ("#949494", "#ffffff", 3.03),
    ],
)
def test_contrast_is_as_published(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == contrast(other, one) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("code", PAINT)
def test_a_tracer_shows_without_colour(code: str) -> None:
    """Its edge stands out from the insulation by 3 to 1 (WCAG 2.1, 1.4.11), whatever its colour."""
    for tracer in PAINT.values():
        paths = [
            dict(part.attributes)
            for part in ring(0, 0, 2, rgb=(PAINT[code], tracer)).children
            if part.tag == "path"  # type: ignore[union-attr]
        ]
        assert len(paths) == 2
        assert all(contrast(path["stroke"], PAINT[code]) >= 3 for path in paths)


def test_an_edge_is_black_or_white() -> None:
    assert (edge("#ffffff"), edge("#000000")) == (INK, PAPER)
