"""`datapackage.json`: what stands in the CSV files, as the Data Package standard tells it.

Sources: Data Package and Table Schema, version 1 (Frictionless Data, specs.frictionlessdata.io),
chapters Descriptor, Field Descriptors, Constraints and Foreign Keys. Written for other programs;
reading a job does not need it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence

from loomwright.loom import IDENTIFIER, Sheet, schema
from loomwright.loom.schema import Column, Table

DESCRIPTOR = "datapackage.json"
_NUMBER_OR_OL = r"[+-]?([0-9]+([.][0-9]*)?|[.][0-9]+)([eE][+-]?[0-9]+)?|[oO][lL]"
_PATTERNS = {
    "identifier": IDENTIFIER.pattern.removesuffix(r"\Z"),
    "point": r"[A-Za-z0-9_-]{1,40}([.][A-Za-z0-9_-]{1,40})?",
    "measured": _NUMBER_OR_OL,
}
_TYPES = {"number": "number", "integer": "integer", "date": "date"}

Descriptor = dict[str, object]


def descriptor_bytes(title: str, sheets: Sequence[Sheet]) -> bytes:
    """The descriptor file of a job with these sheets.

    A table of somebody else's whose columns have no or the same names is left out: the standard
    has no way to tell of it.
    """
    told = [sheet for sheet in sheets if len({*sheet.header} - {""}) == len(sheet.header) > 0]
    package: Descriptor = {
        "profile": "tabular-data-package",
        "title": title,
        "resources": [_resource(sheet, number) for number, sheet in enumerate(told, start=1)],
    }
    return (json.dumps(package, ensure_ascii=False, indent=1) + "\n").encode("utf-8")


def _resource(sheet: Sheet, number: int) -> Descriptor:
    known = {table.name: table for table in schema.TABLES}.get(sheet.name)
    slug = re.sub(r"[^a-z0-9-]+", "-", sheet.name.lower())
    name = sheet.name if known else f"other-{number}-{slug}"
    found: Descriptor = {
        "name": name,
        "path": f"{sheet.name}.csv",
        "profile": "tabular-data-resource",
        "encoding": "utf-8",
        "schema": _schema(sheet, known),
        "dialect": {"delimiter": ",", "lineTerminator": "\n"},
    }
    if known:
        found["description"] = known.help
    return found


def _schema(sheet: Sheet, table: Table | None) -> Descriptor:
    columns = {column.name: column for column in table.columns} if table else {}
    fields = [
        _field(columns[name]) if name in columns else {"name": name, "type": "string"}
        for name in sheet.header
    ]
    found: Descriptor = {"fields": fields, "missingValues": [""]}
    if table and table.key:
        found["primaryKey"] = table.key
    keys = [_foreign_key(column) for column in columns.values() if _refers_simply(column)]
    if keys:
        found["foreignKeys"] = keys
    return found


def _field(column: Column) -> Descriptor:
    constraints: Descriptor = {}
    if column.required:
        constraints["required"] = True
    if column.choices:
        constraints["enum"] = list(column.choices)
    if column.kind in _PATTERNS:
        constraints["pattern"] = _PATTERNS[column.kind]
    if column.kind in ("number", "integer"):
        bounds = {"minimum": column.minimum, "maximum": column.maximum}
        constraints |= {name: value for name, value in bounds.items() if value is not None}
    unit = f" [{column.unit}]" if column.unit else ""
    field: Descriptor = {
        "name": column.name,
        "type": _TYPES.get(column.kind, "string"),
        "description": column.help + unit,
    }
    if constraints:
        field["constraints"] = constraints
    return field


def _refers_simply(column: Column) -> bool:
    return column.kind == "identifier" and len(column.refers_to) == 1


def _foreign_key(column: Column) -> Descriptor:
    target = schema.table(column.refers_to[0])
    return {
        "fields": column.name,
        "reference": {"resource": target.name, "fields": target.key or target.columns[0].name},
    }
