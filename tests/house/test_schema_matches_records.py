"""The schema and the records tell of the same columns in the same order."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import RECORD_OF, Job, Record, read_cell, schema
from loomwright.loom.errors import Where
from loomwright.loom.schema import Column, Table

COMMON = [field.name for field in attrs.fields(Record)]
TABLES = pytest.mark.parametrize("table", schema.TABLES, ids=lambda table: table.name)
COLUMNS = [(table, column) for table in schema.TABLES for column in table.columns]


def fields(table: Table) -> dict[str, attrs.Attribute[object]]:
    found = attrs.fields_dict(RECORD_OF[table.name])
    return {name: field for name, field in found.items() if name not in COMMON}


def test_every_table_has_its_record_and_its_place_in_the_job() -> None:
    names = [table.name for table in schema.TABLES]
    assert list(RECORD_OF) == names
    kept = [field.name for field in attrs.fields(Job)]
    assert kept == ["about", *names[1:], "foreign"]


@TABLES
def test_columns_and_attributes_agree(table: Table) -> None:
    assert {column.attribute for column in table.columns} == set(fields(table))


@TABLES
def test_what_must_be_filled_in_has_no_default(table: Table) -> None:
    needed = {name for name, field in fields(table).items() if field.default is attrs.NOTHING}
    assert needed == {column.attribute for column in table.required_columns}


@TABLES
def test_defaults_agree(table: Table) -> None:
    told = {column.attribute: column.default for column in table.columns if column.default}
    kept = {name: fields(table)[name].default for name in told}
    assert kept == told


@TABLES
def test_names_differ_and_the_key_is_a_column(table: Table) -> None:
    names = [column.name for column in table.columns]
    assert len(set(names)) == len(names)
    assert names == [name.lower() for name in names]
    assert not table.key or table.column(table.key).required


@pytest.mark.parametrize(("table", "column"), COLUMNS, ids=lambda each: each.name)
def test_every_example_can_be_read(table: Table, column: Column) -> None:
    where = Where(table.name, 2, column.name)
    value = read_cell(column, column.example, where=where)
    assert (value is None) == (column.example == "")
    assert value is not None or not column.required


@pytest.mark.parametrize(("table", "column"), COLUMNS, ids=lambda each: each.name)
def test_columns_refer_to_tables_that_are_there(table: Table, column: Column) -> None:
    assert set(column.refers_to) <= {each.name for each in schema.TABLES}
    assert not column.refers_to or column.kind in ("identifier", "identifiers")


@pytest.mark.parametrize(("table", "column"), COLUMNS, ids=lambda each: each.name)
def test_help_is_there_and_a_unit_ends_the_name(table: Table, column: Column) -> None:
    assert column.help
    endings = {"mm": "_mm", "mm²": "_mm2", "°C": "_c", "V": "_v", "A": "_a", "mH": "_mh"}
    if column.unit in endings:
        assert column.name.endswith(endings[column.unit]) or column.name == "temperature"
    assert not column.choices or column.kind == "choice"
