"""What tables, their rows and what is wrong with them are called on the pages."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.loom import Problem, Where, schema
from loomwright.loom.sheets import FIRST_ROW
from loomwright.services.kept_rows import KeptRow
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import label

ONE_ROW = {
    "job": "the job", "plugs": "plug", "joints": "joint", "wires": "wire", "devices": "device",
    "elements": "element", "curves": "point of a curve", "meters": "range of a meter",
    "readings": "reading", "proof": "reading after the work", "survey": "grade",
    "branches": "branch", "zones": "zone", "fuelling": "fuelling point", "settings": "figure",
    "catalogue": "part", "crimps": "trial crimp", "suppliers": "supplier",
    "offers": "pack on sale", "stock": "parts in the drawer", "tasks": "step of the work",
    "photos": "photo", "fixings": "clip or grommet", "warmings": "point of a warming run",
}  # fmt: skip
"""What one row of a table is called."""


def told_of(problem: Problem, name: str = "") -> str:
    """What is wrong, as it is said on a page: no row numbers, columns as forms call them.

    Parameters
    ----------
    problem : what is wrong
    name : of the row that it is about; blank where that is plain, or not known
    """
    where = problem.where
    if where.table not in ONE_ROW:
        return problem.sentence
    place = [f"{ONE_ROW[where.table]} {name}".strip()]
    if where.column and where.column != schema.table(where.table).key:
        place.append(label(where.column).lower())
    words = f"{', '.join(place)}: {problem.what}."
    cure = problem.expected
    words += f" {cure[:1].upper()}{cure[1:]}." if cure else ""
    return words[:1].upper() + words[1:]


class Rows:
    """The kept rows of a job, to find those that problems of the whole job speak of."""

    def __init__(self, job: str) -> None:
        self.job = job
        self._rows: dict[str, Sequence[KeptRow]] = {}

    def of(self, where: Where) -> KeptRow | None:
        """The row at a place; None for a place that is no row, or one that is not kept."""
        if where.row is None or where.table not in ONE_ROW:
            return None
        if where.table not in self._rows:
            self._rows[where.table] = BENCH.rows.rows(self.job, where.table)
        place = where.row - FIRST_ROW
        rows = self._rows[where.table]
        return rows[place] if 0 <= place < len(rows) else None

    def told_of(self, problem: Problem) -> str:
        """What is wrong, with the name of the row that it is about."""
        row = self.of(problem.where)
        if row is None:
            return told_of(problem)
        table = schema.table(problem.where.table)
        # Rows without a name of their own go by what they are about: item, curve, meter.
        return told_of(problem, row.cells.get(table.key or table.columns[0].name, ""))
