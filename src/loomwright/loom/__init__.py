"""What a loom and a job are: frozen records, identities, the schema, the error family.

Imports only the standard library and attrs. Start reading in `schema` (every table and column),
then `records` (the same as types) and `topology` (what meets what).
"""

from loomwright.loom import errors, schema
from loomwright.loom.errors import Problem, Where
from loomwright.loom.face import Face
from loomwright.loom.identity import CASE_PIN, IDENTIFIER, Point
from loomwright.loom.records import (
    RECORD_OF,
    About,
    Branch,
    CurvePoint,
    Device,
    Element,
    ForeignTable,
    FuellingPoint,
    Job,
    Joint,
    MeterRange,
    Plug,
    Reading,
    Record,
    SurveyRow,
    Wire,
    Zone,
)
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
    "CurvePoint",
    "Device",
    "Element",
    "Face",
    "ForeignTable",
    "FuellingPoint",
    "Job",
    "Joint",
    "MeterRange",
    "Plug",
    "Point",
    "Problem",
    "Reading",
    "Record",
    "State",
    "SurveyRow",
    "Topology",
    "Where",
    "Wire",
    "Zone",
    "errors",
    "schema",
]
