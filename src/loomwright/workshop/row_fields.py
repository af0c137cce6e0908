"""Which fields of a long form stand first, and which behind "More"."""

from __future__ import annotations

from collections.abc import Sequence

import attrs

from loomwright.loom import schema
from loomwright.services.entering import NUMBERED
from loomwright.services.kept_rows import Cells
from loomwright.services.words import listed
from loomwright.workshop.forms import Field

FIRST = {
    "job": ("vehicle", "complaint", "symptoms", "opened_on", "currency", "labour_rate"),
    "plugs": ("label", "seen_from", "mates_with", "place", "lock"),
    "wires": ("colour", "section_mm2", "length_mm", "branches"),
    "elements": ("ohm", "tolerance_pct", "curve", "closed_when", "fuse_a"),
    "readings": ("unplugged", "state", "meter", "note"),
    "proof": ("unplugged", "state", "meter", "note"),
    "catalogue": ("label", "section_min_mm2", "section_max_mm2", "tab_width_mm", "bore_mm"),
    "crimps": ("terminal", "section_mm2", "die", "height_mm", "pull_n", "failed_at", "look"),
    "offers": ("unit", "colour"),
    "tasks": ("item", "done_at", "minutes", "note"),
}
"""Columns that stand first beside those that must be filled in; other tables are short."""


def first_and_more(
    table: str, made: Sequence[Field]
) -> tuple[tuple[Field, ...], tuple[Field, ...]]:
    """The fields that stand first, and the rest; own columns are with the rest."""
    if table not in FIRST:
        return tuple(made), ()
    wanted = {*FIRST[table], *(column.name for column in schema.table(table).required_columns)}
    return (
        tuple(field for field in made if field.name in wanted),
        tuple(field for field in made if field.name not in wanted),
    )


def with_free_name(table: str, made: Sequence[Field]) -> tuple[Field, ...]:
    """The fields of a new row; its name may be left blank where the next free one is given."""
    key = schema.table(table).key
    return tuple(
        attrs.evolve(field, required=False, help=f"{field.help}; left blank, the next free one")
        if field.name == key and table in NUMBERED
        else field
        for field in made
    )


def more_words(more: Sequence[Field], most: int = 4) -> str:
    """What stands behind "More": the first few fields, and how many are filled in."""
    names = [field.label.lower() for field in more[:most]]
    rest = len(more) - len(names)
    said = listed([*names, f"{rest} more"] if rest else names)
    filled = sum(bool(field.value.strip()) for field in more)
    return f"{said}; {filled} filled in" if filled else said


def prefilled(table: str, asked: Cells) -> dict[str, str]:
    """What the address says of a new row, for the table's own columns only."""
    return {
        column.name: asked[column.name]
        for column in schema.table(table).columns
        if column.name in asked
    }
