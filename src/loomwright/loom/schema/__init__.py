"""Every table and column of a job: type, unit, bounds and help, told once.

The readers and writers of files, the checks, the workbook template, the data package and the
documentation of the format all read this. A record's attribute has its column's name, except where
that is a Python keyword (`from` is `from_point`). Start with `columns` (what a column is).
"""

from loomwright.loom.schema.around_tables import BRANCHES, FIXINGS, FUELLING, SETTINGS, ZONES
from loomwright.loom.schema.bench_tables import JOB, METERS, PROOF, READINGS, SURVEY
from loomwright.loom.schema.columns import OVER_RANGE, Column, Kind, Table
from loomwright.loom.schema.parts_tables import CATALOGUE
from loomwright.loom.schema.trade_tables import OFFERS, STOCK, SUPPLIERS
from loomwright.loom.schema.trial_tables import CRIMPS, WARMINGS
from loomwright.loom.schema.wiring_tables import (
    CURVES,
    DEVICES,
    ELEMENTS,
    JOINTS,
    NO_SIDE,
    PLUGS,
    SIDES,
    WIRES,
)
from loomwright.loom.schema.work_tables import PHOTOS, TASKS

__all__ = ["NO_SIDE", "OVER_RANGE", "SIDES", "TABLES", "Column", "Kind", "Table", "table"]

TABLES: tuple[Table, ...] = (
    JOB, PLUGS, JOINTS, WIRES, DEVICES, ELEMENTS, CURVES,
    METERS, READINGS, PROOF, SURVEY, BRANCHES, FIXINGS, ZONES, FUELLING, SETTINGS, CATALOGUE,
    CRIMPS, WARMINGS, SUPPLIERS, OFFERS, STOCK, TASKS, PHOTOS,
)  # fmt: skip


def table(name: str) -> Table:
    """The table of that name.

    Raises
    ------
    KeyError
        when there is none.
    """
    return {each.name: each for each in TABLES}[name]
