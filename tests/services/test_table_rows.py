"""A table's rows as a list: used columns, found rows, a sheet."""

from __future__ import annotations

from loomwright.services.kept_rows import KeptRow
from loomwright.services.table_rows import as_sheet, found_rows, used_columns

ROWS = (
    KeptRow("1", {"wire": "W1", "from": "T1.1", "to": "E1", "length_mm": "1200", "Torque": "4"}),
    KeptRow("2", {"wire": "W2", "from": "T1.2", "to": "E1", "colour": "BN/WH"}),
)


def found(words: str) -> list[str]:
    return [row.key for row in found_rows(ROWS, words)]


def test_columns_that_no_row_fills_are_left_out_but_needed_ones_stay() -> None:
    assert used_columns("wires", ROWS) == ("wire", "from", "to", "colour", "length_mm", "Torque")
    assert used_columns("wires", ()) == ("wire", "from", "to")


def test_a_row_is_found_by_all_words_in_any_of_its_cells() -> None:
    assert found("e1 bn/wh") == ["2"]
    assert found("1200") == ["1"]
    assert found("  ") == ["1", "2"]
    assert found("e1 nowhere") == []


def test_the_sheet_has_every_column_of_the_table_and_own_ones_last() -> None:
    sheet = as_sheet("wires", ROWS)
    assert sheet.header[:3] == ("wire", "from", "to")
    assert sheet.header[-1] == "Torque"
    assert sheet.rows[1][:4] == ("W2", "T1.2", "E1", "BN/WH")
    assert sheet.rows[1][-1] == ""
