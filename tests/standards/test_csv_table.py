"""The tables as files: headers, whole rows, and names that help."""

import subprocess
import sys

import pytest

from loomwright.loom.errors import NotFound
from loomwright.standards.csv_table import not_found, rows, table_names

EXPECTED = {
    "awg",
    "bundle_derating",
    "colours",
    "copper",
    "crimp_looks",
    "cure_rules",
    "cure_steps",
    "cures",
    "current_capacity",
    "defaults",
    "effects",
    "fault_rates",
    "fuse_limits",
    "fuse_ratings",
    "grades",
    "heat_factors",
    "iec60228",
    "insulations",
    "iso6722",
    "label_sheets",
    "pull_forces",
    "screen_colours",
    "shrink_tubes",
    "sleeves",
    "sources",
    "strand_builds",
    "survey_factors",
    "symptoms",
    "temperature_classes",
    "terminals",
}


def test_the_tables_there_are():
    assert set(table_names()) == EXPECTED


@pytest.mark.parametrize("table", sorted(EXPECTED))
def test_every_row_is_whole_and_clean(table):
    for row in rows(table):
        assert None not in row.cells, f"{table}, row {row.line}: too many cells"
        for column, cell in row.cells.items():
            assert cell is not None, f"{table}, row {row.line}: {column} is missing"
            assert cell == cell.strip(), f"{table}, row {row.line}, {column}"


@pytest.mark.parametrize("table", sorted(EXPECTED - {"sources"}))
def test_every_table_ends_with_source_standing_note(table):
    assert list(rows(table)[0].cells)[-3:] == ["source", "standing", "note"]


def test_rows_count_as_a_spreadsheet_does():
    assert rows("copper")[0].line == 2


def test_unknown_table():
    with pytest.raises(NotFound):
        rows("fuses")


def test_at_most_eight_choices_nearest_first():
    error = not_found("part", "W12", [f"W{number}" for number in range(20)], where="wires")
    names = error.expected.split(": ")[1].split(" and ")[0].split(", ")
    assert len(names) == 8
    assert names[0] == "W12"
    assert error.expected.endswith("and 12 more")


def test_importing_the_room_is_light():
    code = (
        "import sys, loomwright.standards as s; from loomwright.standards import csv_table;"
        "assert csv_table.rows.cache_info().currsize == 0;"
        "heavy = {'scipy', 'networkx', 'openpyxl', 'rich'} & set(sys.modules);"
        "assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
