"""The wire list as a workbook: what was put in comes out, and nothing is overwritten unasked."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from loomwright.loom import InputProblems, StorageFailed
from loomwright.services.exchange import WireList, WireSheet, wire_list
from loomwright.storage.wire_list_book import write_text, write_wire_list
from sample.demo import demo_job

ODD = WireList(
    "Odd", (WireSheet("wires", ("wire", "section [mm²]"), (("=1+1", 0.75), ("-W2", None))),)
)


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    made = wire_list(demo_job())
    path = write_wire_list(str(tmp_path / "new" / "wires.xlsx"), made)
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["wires", "plugs", "splices"]
    for sheet in made.sheets:
        heads, *rows = book[sheet.name].iter_rows(values_only=True)
        assert heads == sheet.heads
        assert rows == [tuple(cell if cell != "" else None for cell in row) for row in sheet.rows]


def test_words_that_look_like_formulas_stay_words(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(write_wire_list(str(tmp_path / "odd.xlsx"), ODD))
    cells = [book["wires"].cell(row, 1) for row in (2, 3)]
    assert [(cell.value, cell.data_type) for cell in cells] == [("=1+1", "s"), ("-W2", "s")]


@pytest.mark.parametrize("write", ["text", "book"])
def test_a_file_that_is_there_stays_unless_it_is_to_be_replaced(tmp_path: Path, write: str) -> None:
    path = tmp_path / "wires.xlsx"
    path.write_bytes(b"mine")

    def made(*, over: bool) -> str:
        if write == "text":
            return write_text(str(path), "* loom\n", over=over)
        return write_wire_list(str(path), ODD, over=over)

    with pytest.raises(InputProblems) as refusal:
        made(over=False)
    assert "already, and it stays as it is" in refusal.value.problems[0].what
    assert path.read_bytes() == b"mine"
    assert made(over=True) == str(path)
    assert path.read_bytes() != b"mine"
    assert [each.name for each in tmp_path.iterdir()] == ["wires.xlsx"]


def test_a_folder_is_never_replaced_and_all_that_is_wrong_is_told_at_once(tmp_path: Path) -> None:
    folder = tmp_path / "wires.csv"
    folder.mkdir()
    with pytest.raises(InputProblems) as refusal:
        write_wire_list(str(folder), ODD, over=True)
    assert [each.expected for each in refusal.value.problems] == [
        "give a name that ends in .xlsx",
        "give another name",
    ]


def test_a_disk_that_fails_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(StorageFailed):
        write_wire_list(str(tmp_path / "file" / "wires.xlsx"), ODD)
    assert [each.name for each in tmp_path.iterdir()] == ["file"]
