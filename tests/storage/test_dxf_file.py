"""The DXF file as an independent reader (GDAL) sees it: lengths, layers, words."""

from __future__ import annotations

import math
import struct
from itertools import pairwise
from pathlib import Path

import pytest
from pyogrio.raw import read

from loomwright.services.board import Board, board
from loomwright.services.board_shapes import LAYERS, Line, Words, shapes
from loomwright.storage.dxf_file import dxf
from sample.boards import small_job
from sample.demo import demo_job


@pytest.fixture(scope="module")
def made() -> Board:
    return board(demo_job()).boards[0]


@pytest.fixture(scope="module")
def seen(made: Board, tmp_path_factory: pytest.TempPathFactory) -> list[tuple[str, str, list]]:  # type: ignore[type-arg]
    path = tmp_path_factory.mktemp("dxf") / "board.dxf"
    path.write_bytes(dxf(shapes(made)))
    return layers(path)


def layers(path: Path) -> list[tuple[str, str, list]]:  # type: ignore[type-arg]
    """Layer, text and corners of every entity."""
    meta, _, geometries, fields = read(path)
    names = list(meta["fields"])
    layer, text = fields[names.index("Layer")], fields[names.index("Text")]
    return [
        (str(a), str(b or ""), corners(bytes(g)))
        for a, b, g in zip(layer, text, geometries, strict=True)
    ]


def corners(wkb: bytes) -> list[tuple[float, float]]:
    """Points of a WKB point, line or polygon (OGC 06-103r4, 8.2)."""
    order = "<" if wkb[0] else ">"
    (kind,) = struct.unpack(order + "I", wkb[1:5])
    deep, kind = bool(kind & 0x80000000) or (kind & 0xFFFF) >= 1000, (kind & 0xFFFF) % 1000
    across = 3 if deep else 2
    if kind == 1:
        return [struct.unpack_from(order + "2d", wkb, 5)]
    start = 9 if kind == 3 else 5
    (count,) = struct.unpack_from(order + "I", wkb, start)
    return [struct.unpack_from(order + "2d", wkb, start + 4 + 8 * across * n) for n in range(count)]


def long(points: list[tuple[float, float]]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))


def test_branches_have_their_true_lengths(made: Board, seen: list) -> None:  # type: ignore[type-arg]
    found = sorted(long(points) for layer, _, points in seen if layer == "BRANCHES")
    assert found == pytest.approx(sorted(r.branch.length_mm or 0 for r in made.layout.runs))


def test_each_layer_holds_what_it_is_called_after(made: Board, seen: list) -> None:  # type: ignore[type-arg]
    count = {name: sum(layer == name for layer, _, _ in seen) for name in LAYERS}
    assert count["PEGS"] == 2 * made.pegs
    assert count["BOXES"] == len(made.layout.boxes)
    assert count["MARKS"] == 2 * len(made.marks)
    assert count["OUTLINE"] == 1
    (outline,) = (points for layer, _, points in seen if layer == "OUTLINE")
    assert max(outline) == pytest.approx((made.layout.wide_mm, made.layout.high_mm))


def test_words_are_there_and_y_grows_upwards(made: Board, seen: list) -> None:  # type: ignore[type-arg]
    words = {text for layer, text, _ in seen if layer == "WORDS"}
    assert {f"{r.branch.branch} {r.branch.length_mm:g} mm" for r in made.layout.runs} <= words
    run = made.layout.runs[0]
    begins = {points[0] for layer, _, points in seen if layer == "BRANCHES"}
    x, y = run.points[0]
    assert any(math.dist(each, (x, made.layout.high_mm - y)) < 1e-6 for each in begins)


def test_the_same_board_gives_the_same_bytes() -> None:
    made = board(small_job()).boards[0]
    assert dxf(shapes(made)) == dxf(shapes(made))


def test_units_are_millimetres() -> None:
    """$INSUNITS 4 is millimetres (DXF reference, header variables)."""
    text = dxf([Line("PEGS", ((0.0, 0.0), (1.0, 0.0)))]).decode()
    assert "$INSUNITS\n 70\n4\n" in text.replace("\r", "")


def test_letters_beyond_ascii_are_written_as_codes() -> None:
    """Readers disagree about code pages; \\U+nnnn is the form all of them take (DXF reference)."""
    text = dxf([Words("WORDS", "Ω ž 漢", (0.0, 0.0), 5.0)]).decode("ascii")
    assert "\n\\U+03a9 \\U+017e \\U+6f22\n" in text.replace("\r", "")
