"""The drawing of a board: true millimetres, everything named, letters for arm's length."""

from __future__ import annotations

import math
import re
from functools import cache
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings.board import board_parts, board_size, board_svg
from loomwright.drawings.board_parts import MIDDLE, Part
from loomwright.drawings.board_tiles import tile_svg, tiling
from loomwright.drawings.svg import element
from loomwright.services.board import BoardReport, board
from loomwright.services.board_ends import TEXT
from sample.boards import small_job
from sample.demo import demo_job

SVG = "{http://www.w3.org/2000/svg}"
CAPITAL = 0.66
"""Height of a capital of Source Sans Pro against the size of its letters (its OS/2 table)."""


@cache
def report() -> BoardReport:
    return board(demo_job())


@cache
def drawn() -> ElementTree.Element:
    return ElementTree.fromstring(board_svg(report(), report().boards[0]))


def words() -> str:
    return " ".join(drawn().itertext())


def test_it_is_drawn_in_millimetres() -> None:
    wide, high = board_size(report(), report().boards[0])
    assert drawn().attrib["width"] == f"{wide:.2f}".rstrip("0").rstrip(".") + "mm"
    left, top, *size = map(float, drawn().attrib["viewBox"].split())
    assert (left, top) == (0.0, 0.0)
    assert size == pytest.approx([wide, high], abs=0.01)


def test_every_branch_is_drawn_as_long_as_it_is() -> None:
    """Corners are rounded to 0.01 mm."""
    lengths = []
    for path in drawn().iter(f"{SVG}path"):
        if path.get("class") == MIDDLE:
            numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.attrib["d"])]
            points = list(zip(numbers[::2], numbers[1::2], strict=True))
            lengths.append(sum(math.dist(a, b) for a, b in pairwise(points)))
    wanted = [run.branch.length_mm for run in report().boards[0].layout.runs]
    assert lengths == pytest.approx(wanted, abs=0.1)


def test_branches_plugs_wires_splices_and_clips_are_named() -> None:
    said = words()
    for run in report().boards[0].layout.runs:
        assert f"{run.branch.branch} {run.branch.length_mm:g} mm" in said
    for end in report().boards[0].ends.values():
        for item in end.items:
            assert f" {item.name} " in f" {said} "
            assert all(wire.wire in said and wire.letters in said for wire in item.wires)
    for fixing in demo_job().fixings:
        if str(fixing.branch) != "B15":
            assert f"{fixing.kind} {fixing.fixing}" in said
    assert "seen from the wire side" in said
    assert "invented" in said


def test_capitals_are_as_high_as_is_read_at_arms_length() -> None:
    assert TEXT * CAPITAL >= 3.5
    sizes = [float(text.attrib["font-size"]) for text in drawn().iter(f"{SVG}text")]
    # A long label is set smaller rather than cut.
    assert sum(size >= TEXT for size in sizes) >= 0.9 * len(sizes)
    assert min(sizes) >= 0.6 * TEXT


def test_faces_are_seen_from_the_wire_side() -> None:
    """X1A is recorded from its mating face as 1 2 3: from the wire side 3 stands on the left."""
    small = board(small_job())
    root = ElementTree.fromstring(board_svg(small, small.boards[0]))
    faces = [g for g in root.iter(f"{SVG}g") if g.get("class") == "face"]
    for face in faces:
        at = {t.text: float(t.attrib["x"]) for t in face.iter(f"{SVG}text") if t.text in ("1", "2")}
        assert at["2"] < at["1"]


rects = st.tuples(st.floats(0, 900), st.floats(0, 600), st.floats(0.1, 90), st.floats(0.1, 90)).map(
    lambda r: (r[0], r[1], r[0] + r[2], r[1] + r[3])
)


@given(st.lists(rects, min_size=1, max_size=12))
def test_every_thing_is_whole_on_its_sheets_and_no_sheet_is_blank(found) -> None:  # type: ignore[no-untyped-def]
    parts = [Part(element("g"), (rect,)) for rect in found]
    made = tiling(parts, (1000.0, 700.0), areas=[(280.0, 180.0), (180.0, 280.0)], overlap=12.0)
    for tile in made.tiles:
        assert any(part.touches(tile.rect) for part in parts)
    for left, top, right, bottom in found:
        for x, y in ((left, top), (right, top), (left, bottom), (right, bottom)):
            assert any(
                a - 1e-6 <= x <= c + 1e-6 and b - 1e-6 <= y <= d + 1e-6
                for a, b, c, d in (tile.rect for tile in made.tiles)
            )


def test_sheets_lie_beside_each_other_with_the_overlap() -> None:
    parts = [Part(element("g"), ((0.0, 0.0, 1000.0, 700.0),))]
    made = tiling(parts, (1000.0, 700.0), areas=[(280.0, 180.0)], overlap=12.0)
    assert len(made.tiles) == made.rows * made.columns == 4 * 5
    one, other = made.tiles[0], made.tiles[1]
    assert other.rect[0] == pytest.approx(one.rect[2] - 12.0)
    assert [tile.name for tile in made.tiles[:5]] == ["A1", "A2", "A3", "A4", "B1"]
    assert one.neighbours == ("", "B1", "", "A2")


def test_a_sheet_holds_only_what_it_shows() -> None:
    each = report().boards[0]
    parts = board_parts(report(), each)
    made = tiling(parts, board_size(report(), each), areas=[(281.0, 179.0)], overlap=12.0)
    whole = len(board_svg(report(), each))
    assert max(len(tile_svg(parts, tile, 12.0)) for tile in made.tiles) < whole / 3
