"""The end of one wire: its colours, or a broken outline and words."""

from __future__ import annotations

from xml.etree import ElementTree

from loomwright.drawings.swatch import swatch_svg, swatch_words

PAINT = {"BN": "#8b5a2b", "WH": "#ffffff"}
SVG = "{http://www.w3.org/2000/svg}"


def test_base_and_tracers_are_drawn() -> None:
    root = ElementTree.fromstring(swatch_svg("BN/WH", PAINT))
    fills = [each.get("fill") for each in root.iter(f"{SVG}circle")]
    tracers = [each.get("fill") for each in root.iter(f"{SVG}path")]
    assert fills[0] == "#8b5a2b"
    assert tracers == ["#ffffff", "#ffffff"]


def test_a_colour_that_is_not_known_has_a_broken_outline() -> None:
    for letters in ("", "QQ"):
        root = ElementTree.fromstring(swatch_svg(letters, PAINT))
        circles = list(root.iter(f"{SVG}circle"))
        assert circles[0].get("stroke-dasharray")
    assert swatch_words("") == "Cut end of a wire of unknown colour."
    assert "BN/WH" in swatch_words("BN/WH")
