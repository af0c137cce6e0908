"""What a loom and a job are: frozen records, identities, the schema, the error family.

Imports only the standard library and attrs. Start reading in `schema` (every table and column),
then `records` (the same as types) and `topology` (what meets what).
"""

from loomwright.loom import errors, schema
from loomwright.loom.cells import cell_text, nearest, read_cell
from loomwright.loom.consistency import inconsistencies
from loomwright.loom.errors import InputProblems, NotFound, Problem, StorageFailed, Where
from loomwright.loom.face import Face
from loomwright.loom.identity import CASE_PIN, IDENTIFIER, Point
from loomwright.loom.records import (
    RECORD_OF,
    About,
    Branch,
    CrimpTrial,
    CurvePoint,
    Device,
    Element,
    Fixing,
    ForeignTable,
    FuellingPoint,
    Job,
    Joint,
    MeterRange,
    OwnFigure,
    PackOnSale,
    Part,
    PhotoRow,
    Plug,
    Reading,
    Record,
    StockRow,
    SupplierRow,
    SurveyRow,
    TaskRow,
    WarmingPoint,
    Wire,
    Zone,
)
from loomwright.loom.sheets import Readout, Sheet, read_record, read_sheets, write_sheets
from loomwright.loom.state import RESTING, TEMPERATURE_KEYS, Condition, State
from loomwright.loom.topology import Topology

__all__ = [
    "CASE_PIN",
    "IDENTIFIER",
    "RECORD_OF",
    "RESTING",
    "TEMPERATURE_KEYS",
    "About",
    "Branch",
    "Condition",
    "CrimpTrial",
    "CurvePoint",
    "Device",
    "Element",
    "Face",
    "Fixing",
    "ForeignTable",
    "FuellingPoint",
    "InputProblems",
    "Job",
    "Joint",
    "MeterRange",
    "NotFound",
    "OwnFigure",
    "PackOnSale",
    "Part",
    "PhotoRow",
    "Plug",
    "Point",
    "Problem",
    "Reading",
    "Readout",
    "Record",
    "Sheet",
    "State",
    "StockRow",
    "StorageFailed",
    "SupplierRow",
    "SurveyRow",
    "TaskRow",
    "Topology",
    "WarmingPoint",
    "Where",
    "Wire",
    "Zone",
    "cell_text",
    "errors",
    "inconsistencies",
    "nearest",
    "read_cell",
    "read_record",
    "read_sheets",
    "schema",
    "write_sheets",
]
