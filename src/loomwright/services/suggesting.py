"""What a job already says that fits a column: names, points, places, colours."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.loom import Job, schema
from loomwright.loom.schema import Column
from loomwright.services.measuring import points

__all__ = ["WIRE_COLOURS", "suggested"]

WIRE_COLOURS = ("wires", "offers", "stock")
"""Tables whose column `colour` is the colour of a wire."""

_PLACES = ("place", "from_place", "to_place")


def suggested(table: str, column: Column, job: Job) -> tuple[str, ...]:
    """Words that may stand in a cell, each once, in the order of the sheets.

    Parameters
    ----------
    table : name of the column's table
    column : names it refers to, points, places along the branches, or colours of wires
    job : as far as it can be read
    """
    found: Iterator[str] = iter(())
    if column.refers_to:
        found = _names(column, job)
    elif column.kind == "point":
        found = _ends(job) if table == "wires" else iter(points(job))
    elif column.name in _PLACES:
        found = (place for row in job.branches for place in (row.from_place, row.to_place))
    elif column.name == "colour" and table in WIRE_COLOURS:
        found = (wire.colour.strip() for wire in job.wires if wire.colour)
    return tuple(dict.fromkeys(found))


def _names(column: Column, job: Job) -> Iterator[str]:
    for table in column.refers_to:
        key = schema.table(table).columns[0].attribute
        yield from (str(getattr(row, key)) for row in job.rows(table))


def _ends(job: Job) -> Iterator[str]:
    """Where a wire may end: cavities, empty ones too, and joints."""
    for plug in job.plugs:
        yield from (f"{plug.plug}.{cavity}" for cavity in plug.face.cavities)
    yield from (joint.joint for joint in job.joints)
