"""The way of a circuit: every piece in its row, with its ohms, joined to where it begins."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import attrs
import pytest

from loomwright.drawings.circuit_path import circuit_svg
from loomwright.services.draw_circuit import CircuitSheet, circuit_sheet
from loomwright.storage.job_folder import JobFolder

DEMO = JobFolder().read(Path(__file__).parents[2] / "examples" / "tarn-2300")


def rows(sheet: CircuitSheet) -> list[ElementTree.Element]:
    root = ElementTree.fromstring(circuit_svg(sheet).encode())
    return root.findall(".//{*}g[@class='piece']")


def words(node: ElementTree.Element) -> list[str]:
    return [each.text or "" for each in node.iter() if each.tag.endswith("}text")]


def ends(node: ElementTree.Element) -> tuple[tuple[str, str], tuple[str, str]]:
    """Where a piece's line begins and ends, as written."""
    line = node.find("{*}path")
    assert line is not None
    parts = line.attrib["d"].replace("M", "").split()
    x = next((part[1:] for part in parts if part[0] == "H"), parts[0])
    return (parts[0], parts[1]), (x, parts[-1][1:])


@pytest.mark.parametrize("point", ["CU.6", "CU.20", "BATP", "GE"])
def test_every_piece_has_a_row_with_its_ohms(point: str) -> None:
    sheet = circuit_sheet(DEMO, point)
    drawn = rows(sheet)
    assert len(drawn) == len(sheet.pieces)
    for row, piece in zip(drawn, sheet.pieces, strict=True):
        what, way, own, so_far = words(row)
        assert (what, own, so_far) == (piece.what, piece.own, piece.so_far)
        assert way == f"{piece.start} to {piece.end}" + (f"; {piece.ends}" if piece.ends else "")


@pytest.mark.parametrize("point", ["CU.6", "CU.20", "BATP"])
def test_a_line_begins_where_the_one_before_it_ended(point: str) -> None:
    sheet = circuit_sheet(DEMO, point)
    reached: dict[str, tuple[str, str]] = {}
    for row, piece in zip(rows(sheet), sheet.pieces, strict=True):
        begin, end = ends(row)
        if piece.start in reached:
            assert begin == reached[piece.start]
        reached.setdefault(piece.start, begin)
        if not piece.ends:
            reached[piece.end] = end


def test_the_engine_sensor_from_the_control_unit() -> None:
    sheet = circuit_sheet(DEMO, "CU.6")
    first = sheet.pieces[0]
    assert (first.what, first.start, first.end) == ("wire W32 GN/WH", "CU.6", "TE.1")
    assert sheet.label == "Control unit plug"
    assert any(piece.kind == "element" and piece.what == "element ETS" for piece in sheet.pieces)


def test_where_nothing_conducts_that_is_said() -> None:
    sheet = attrs.evolve(circuit_sheet(DEMO, "CU.6"), pieces=(), label="<i>")
    text = circuit_svg(sheet)
    assert "Nothing conducts from here in this state." in text
    assert "<i>" not in text
