"""The cut end of one wire by itself, for a line of a table."""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.drawings import svg
from loomwright.drawings.insulation import colours, ring

SIZE = 6.0
"""Width and height of the drawing [mm]."""
_RADIUS = 2.7


def swatch_svg(letters: str, paint: Mapping[str, str]) -> str:
    """The end of a wire seen along it, as SVG text; a broken outline where its colour is not known.

    Parameters
    ----------
    letters : its colour as written on the sheet, empty when not known
    paint : RGB by colour code
    """
    rgb = colours(letters, paint) if letters else ()
    drawn = ring(SIZE / 2, SIZE / 2, _RADIUS, rgb=rgb)
    return svg.drawing([drawn], wide=SIZE, high=SIZE, title="Wire end", desc=swatch_words(letters))


def swatch_words(letters: str) -> str:
    """What the drawing shows, for who cannot see it."""
    return f"Cut end of a wire, {letters}." if letters else "Cut end of a wire of unknown colour."
