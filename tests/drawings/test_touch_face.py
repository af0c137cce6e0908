"""Faces to touch: every cavity a link as large as a thumb, where it stands on paper, too."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from loomwright.drawings.touch_face import CELL, CavityLink, touch_svg
from loomwright.drawings.views import MATING, WIRE, both
from loomwright.services.draw import PlugSheet, plug_sheets
from loomwright.storage.job_folder import JobFolder

SHEETS = plug_sheets(JobFolder().read(Path(__file__).parents[2] / "examples" / "tarn-2300"))
THUMB_MM = 48 / 96 * 25.4
XML = "{http://www.w3.org/2000/svg}"


def links(sheet: PlugSheet) -> dict[str, CavityLink]:
    return {
        name: CavityLink(f"?cavity={name}", f"Cavity {name} & more", {"hx-get": f"part/{name}"})
        for name in sheet.plug.face.cavities
    }


def drawn(sheet: PlugSheet, side: str, here: str = "") -> ElementTree.Element:
    return ElementTree.fromstring(touch_svg(sheet, side, links(sheet), here=here))


def touched(link: ElementTree.Element) -> dict[str, float]:
    box = link.find(f".//{XML}rect[@class='touched']")
    assert box is not None
    return {name: float(box.attrib[name]) for name in ("x", "y", "width", "stroke-width")}


@pytest.mark.parametrize("side", [MATING, WIRE])
@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: str(sheet.plug.plug))
def test_every_cavity_is_one_link_where_it_stands(sheet: PlugSheet, side: str) -> None:
    found = {link.attrib["href"]: link for link in drawn(sheet, side).iter(f"{XML}a")}
    view = next(
        each
        for each in both(sheet.plug.face, sheet.plug.seen_from)
        if each.side == side
    )  # fmt: skip
    assert set(found) == {f"?cavity={name}" for name in view.at}
    places = {name: touched(found[f"?cavity={name}"]) for name in view.at}
    left, top = (min(place[axis] for place in places.values()) for axis in "xy")
    first = min(column for column, _ in view.at.values()), min(row for _, row in view.at.values())
    for name, (column, row) in view.at.items():
        assert places[name]["x"] - left == pytest.approx((column - first[0]) * CELL)
        assert places[name]["y"] - top == pytest.approx((row - first[1]) * CELL)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: str(sheet.plug.plug))
def test_a_cavity_is_as_large_as_a_thumb(sheet: PlugSheet) -> None:
    root = drawn(sheet, MATING)
    times = float(root.attrib["width"].removesuffix("mm")) / float(
        root.attrib["viewBox"].split()[2]
    )
    for link in root.iter(f"{XML}a"):
        box = touched(link)
        assert (box["width"] + box["stroke-width"]) * times >= THUMB_MM


def test_a_link_says_what_it_is_and_the_one_looked_at_is_marked() -> None:
    found = {link.attrib["href"]: link for link in drawn(SHEETS[1], WIRE, "2").iter(f"{XML}a")}
    assert found["?cavity=1"].attrib["aria-label"] == "Cavity 1 & more"
    assert found["?cavity=1"].attrib["hx-get"] == "part/1"
    assert "aria-current" not in found["?cavity=1"].attrib
    assert found["?cavity=2"].attrib["aria-current"] == "true"


def test_a_drawing_with_links_is_not_told_as_a_picture() -> None:
    assert drawn(SHEETS[1], WIRE).attrib["role"] == "group"


def test_a_cavity_without_a_link_is_drawn_all_the_same() -> None:
    root = ElementTree.fromstring(touch_svg(SHEETS[1], WIRE, {}))
    assert not list(root.iter(f"{XML}a"))
    assert len(root.findall(f".//{XML}g[@class='cavity']")) == 2
