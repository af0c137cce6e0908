"""In what two jobs' looms differ: what one has and the other has not, cell by cell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import attrs

from loomwright.loom import Job, Sheet, schema, write_sheets
from loomwright.services.starting import OF_THE_CAR

__all__ = ["Changed", "Difference", "differences"]

_WITHOUT_KEY = {
    "curves": ("curve", "temperature_c"),
    "fuelling": ("curve", "temperature_c"),
}
"""What tells the rows of a table apart that have no name of their own."""


@attrs.frozen
class Changed:
    """A cell that is another one.

    Attributes
    ----------
    column : its name
    here, there : what stands in the job, and in the one it is compared with; blank is nothing
    """

    column: str
    here: str
    there: str


@attrs.frozen(kw_only=True)
class Difference:
    """A row in which two jobs differ.

    Attributes
    ----------
    table, name : the table, and what the row is called there
    kind : `only here`, `only there` or `changed`
    cells : the cells that differ; of a row that is on one side only, all that are filled
    """

    table: str
    name: str
    kind: Literal["only here", "only there", "changed"]
    cells: tuple[Changed, ...]


def differences(job: Job, other: Job) -> tuple[Difference, ...]:
    """In what the loom of a job differs from another job's, table by table in the sheets' order.

    What was measured, seen or done is not compared: only plugs, joints, wires, devices, elements,
    curves, branches, zones and fuelling points.
    """
    here = {sheet.name: sheet for sheet in write_sheets(job)}
    there = {sheet.name: sheet for sheet in write_sheets(other)}
    return tuple(each for name in OF_THE_CAR for each in _of_table(name, here[name], there[name]))


def _of_table(table: str, here: Sheet, there: Sheet) -> Iterator[Difference]:
    ours, theirs = _by_name(table, here), _by_name(table, there)
    for name in dict.fromkeys((*ours, *theirs)):
        mine, other = ours.get(name, {}), theirs.get(name, {})
        cells = tuple(
            Changed(column, mine.get(column, ""), other.get(column, ""))
            for column in dict.fromkeys((*mine, *other))
            if mine.get(column, "") != other.get(column, "")
        )
        if not cells:
            continue
        kind: Literal["only here", "only there", "changed"] = "changed"
        if not mine or not other:
            kind = "only here" if mine else "only there"
        yield Difference(table=table, name=name, kind=kind, cells=cells)


def _by_name(table: str, sheet: Sheet) -> dict[str, dict[str, str]]:
    """Filled cells of each row by what it is called; a name that is there twice gets a number."""
    columns = _WITHOUT_KEY.get(table) or (schema.table(table).key,)
    found: dict[str, dict[str, str]] = {}
    for row in sheet.rows:
        cells = {name: text for name, text in zip(sheet.header, row, strict=True) if text}
        name = " ".join(cells.get(column, "") for column in columns)
        times = 1
        while (called := name if times == 1 else f"{name} ({times})") in found:
            times += 1
        found[called] = cells
    return found
