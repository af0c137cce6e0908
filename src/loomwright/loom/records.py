"""What a job is made of: one frozen record per row of each table.

Every record keeps `row` (the row of its sheet, for messages; not part of equality) and `extra`
(columns we do not know, passed through untouched).
"""

from __future__ import annotations

import math

import attrs

from loomwright.loom.face import Face
from loomwright.loom.identity import (
    BranchId,
    CurveId,
    DeviceId,
    ElementId,
    FixingId,
    JointId,
    MeterId,
    OfferId,
    PartId,
    PlugId,
    Point,
    ReadingId,
    RunId,
    SetUpId,
    SupplierId,
    TaskId,
    TrialId,
    WireId,
    ZoneId,
)
from loomwright.loom.state import Condition, State

Extra = tuple[tuple[str, str], ...]


@attrs.frozen(kw_only=True)
class Record:
    """Common to every row."""

    row: int = attrs.field(default=0, eq=False)
    extra: Extra = ()


@attrs.frozen(kw_only=True)
class About(Record):
    """The `job` table's one row."""

    title: str
    vehicle: str | None = None
    complaint: str | None = None
    symptoms: tuple[str, ...] = ()
    opened_on: str | None = None
    ambient_c: float = 20.0
    supply_v: float = 12.6
    currency: str | None = None
    labour_rate: float | None = None
    offer: str | None = None


@attrs.frozen(kw_only=True)
class Plug(Record):
    """A connector shell on the loom."""

    plug: PlugId
    face: Face
    label: str | None = None
    seen_from: str = "mating"
    latch: str | None = None
    keying: tuple[str, ...] = ()
    pitch_mm: float | None = None
    mates_with: str | None = None
    place: str | None = None
    lock: str | None = None
    terminal: str | None = None
    boot: str | None = None
    spare_mm: float | None = None


@attrs.frozen(kw_only=True)
class Joint(Record):
    """A splice, earth point, battery post or stud."""

    joint: JointId
    kind: str
    place: str | None = None
    label: str | None = None


@attrs.frozen(kw_only=True)
class Wire(Record):
    """A wire with a crimp at each end."""

    wire: WireId
    from_point: Point
    to_point: Point
    colour: str | None = None
    section_mm2: float | None = None
    strands: int | None = None
    strand_mm: float | None = None
    length_mm: float | None = None
    insulation: str | None = None
    outside_mm: float | None = None
    branches: tuple[BranchId, ...] = ()


@attrs.frozen(kw_only=True)
class Device(Record):
    """What a plug fits onto. `temperature` is engine, air, ambient or a number in °C."""

    device: DeviceId
    label: str | None = None
    place: str | None = None
    zone: ZoneId | None = None
    temperature: str | float = "ambient"
    tab_width_mm: float | None = None
    tab_thickness_mm: float | None = None


@attrs.frozen(kw_only=True)
class Element(Record):
    """What a meter finds between two pins of a device."""

    element: ElementId
    device: DeviceId
    from_pin: str
    to_pin: str
    kind: str
    ohm: float | None = None
    tolerance_pct: float | None = None
    curve: CurveId | None = None
    closed_when: Condition | None = None
    pull_up_ohm: float | None = None
    pull_up_v: float | None = None
    inductance_mh: float | None = None
    pull_in_a: float | None = None
    fuse_a: float | None = None
    fuse_type: str | None = None


@attrs.frozen(kw_only=True)
class CurvePoint(Record):
    """One point of a thermistor curve."""

    curve: CurveId
    temperature_c: float
    ohm: float
    tolerance_pct: float | None = None


@attrs.frozen(kw_only=True)
class MeterRange(Record):
    """One range of a meter."""

    meter: MeterId
    quantity: str
    full_scale: float
    percent: float | None = None
    counts: float | None = None
    resolution: float | None = None
    leads_ohm: float | None = None


@attrs.frozen(kw_only=True)
class Reading(Record):
    """One meter value in one state; `value` is infinite for over-range."""

    reading: ReadingId
    quantity: str
    plus: Point
    minus: Point
    value: float
    unplugged: tuple[PlugId, ...] = ()
    state: State = attrs.field(factory=State)
    meter: MeterId | None = None
    taken_at: str | None = None
    note: str | None = None

    @property
    def over_range(self) -> bool:
        """Whether the meter showed OL."""
        return math.isinf(self.value)


@attrs.frozen(kw_only=True)
class SurveyRow(Record):
    """What eye and hand found on one aspect of one item."""

    item: str
    aspect: str
    grade: int | None = None
    strands_left: int | None = None
    note: str | None = None
    photo: str | None = None


@attrs.frozen(kw_only=True)
class Branch(Record):
    """A stretch of loom between two places."""

    branch: BranchId
    from_place: str
    to_place: str
    length_mm: float | None = None
    zone: ZoneId | None = None
    cover: str | None = None
    moves: str | None = None


@attrs.frozen(kw_only=True)
class Fixing(Record):
    """A clip or grommet on a branch, so far from the branch's `from_place`."""

    fixing: FixingId
    kind: str
    branch: BranchId
    at_mm: float | None = None
    bore_mm: float | None = None
    note: str | None = None


@attrs.frozen(kw_only=True)
class Zone(Record):
    """How hot a region gets."""

    zone: ZoneId
    running_c: float | None = None
    soak_c: float | None = None
    hours_per_year: float | None = None
    soak_share: float | None = None


@attrs.frozen(kw_only=True)
class FuellingPoint(Record):
    """Relative fuel quantity at one believed temperature."""

    curve: CurveId
    temperature_c: float
    factor: float


@attrs.frozen(kw_only=True)
class OwnFigure(Record):
    """A figure of the person's own in place of a shipped default."""

    name: str
    value: float
    note: str | None = None


@attrs.frozen(kw_only=True)
class Part(Record):
    """A part that may go on the loom, with what it fits; a blank is not known."""

    part: PartId
    kind: str
    label: str | None = None
    section_min_mm2: float | None = None
    section_max_mm2: float | None = None
    insulation_min_mm: float | None = None
    insulation_max_mm: float | None = None
    tab_width_mm: float | None = None
    tab_thickness_mm: float | None = None
    barrel_mm: float | None = None
    plating: str | None = None
    ways: int | None = None
    form: str | None = None
    bore_mm: float | None = None
    bore_max_mm: float | None = None
    lock: str | None = None
    die: PartId | None = None
    colour: str | None = None
    note: str | None = None


@attrs.frozen(kw_only=True)
class CrimpTrial(Record):
    """A trial crimp; those of one set-up share terminal, wire and die."""

    trial: TrialId
    set_up: SetUpId
    terminal: str | None = None
    section_mm2: float | None = None
    die: str | None = None
    height_mm: float | None = None
    width_mm: float | None = None
    pull_n: float | None = None
    failed_at: str | None = None
    look: str | None = None
    made_at: str | None = None
    note: str | None = None


@attrs.frozen(kw_only=True)
class WarmingPoint(Record):
    """One point of a run in which a plug was warmed, its boot on or off."""

    run: RunId
    seconds: float
    temperature_c: float
    plug: PlugId | None = None
    boot: str = "on"
    air_c: float | None = None
    note: str | None = None


@attrs.frozen(kw_only=True)
class SupplierRow(Record):
    """Somebody who sells parts."""

    supplier: SupplierId
    label: str | None = None
    postage: float | None = None
    least_order: float | None = None
    lead_days: float | None = None
    currency: str | None = None
    note: str | None = None


@attrs.frozen(kw_only=True)
class PackOnSale(Record):
    """A pack of one part at one supplier; `pack` counts pieces, or metres of wire."""

    offer: OfferId
    supplier: SupplierId
    part: PartId
    pack: float
    price: float
    unit: str = "piece"
    colour: str | None = None
    note: str | None = None


@attrs.frozen(kw_only=True)
class StockRow(Record):
    """Parts in the drawer; a row of wire is one length."""

    part: PartId
    count: float
    colour: str | None = None
    unit: str = "piece"
    kept: str | None = None
    note: str | None = None


@attrs.frozen(kw_only=True)
class TaskRow(Record):
    """What was really done of one step; without an item it is a step of the whole job."""

    task: TaskId
    step: str
    state: str
    item: str | None = None
    nth: int = 1
    begun_at: str | None = None
    done_at: str | None = None
    minutes: float | None = None
    by: str | None = None
    note: str | None = None


@attrs.frozen(kw_only=True)
class PhotoRow(Record):
    """A picture pinned to an item; `photo` is its file name in the job's folder `photos`."""

    photo: str
    item: str | None = None
    face: str | None = None
    taken_at: str | None = None
    by: str | None = None
    note: str | None = None


@attrs.frozen
class ForeignTable:
    """A table we do not know: header and rows as text, passed through untouched."""

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@attrs.frozen(kw_only=True)
class Job:
    """A whole job: each table as a tuple of its records, in sheet order."""

    about: About
    plugs: tuple[Plug, ...] = ()
    joints: tuple[Joint, ...] = ()
    wires: tuple[Wire, ...] = ()
    devices: tuple[Device, ...] = ()
    elements: tuple[Element, ...] = ()
    curves: tuple[CurvePoint, ...] = ()
    meters: tuple[MeterRange, ...] = ()
    readings: tuple[Reading, ...] = ()
    proof: tuple[Reading, ...] = ()
    survey: tuple[SurveyRow, ...] = ()
    branches: tuple[Branch, ...] = ()
    fixings: tuple[Fixing, ...] = ()
    zones: tuple[Zone, ...] = ()
    fuelling: tuple[FuellingPoint, ...] = ()
    settings: tuple[OwnFigure, ...] = ()
    catalogue: tuple[Part, ...] = ()
    crimps: tuple[CrimpTrial, ...] = ()
    warmings: tuple[WarmingPoint, ...] = ()
    suppliers: tuple[SupplierRow, ...] = ()
    offers: tuple[PackOnSale, ...] = ()
    stock: tuple[StockRow, ...] = ()
    tasks: tuple[TaskRow, ...] = ()
    photos: tuple[PhotoRow, ...] = ()
    foreign: tuple[ForeignTable, ...] = ()

    def rows(self, table: str) -> tuple[Record, ...]:
        """The records of one table by its name in the schema."""
        if table == "job":
            return (self.about,)
        found: tuple[Record, ...] = getattr(self, table)
        return found


RECORD_OF: dict[str, type[Record]] = {
    "job": About,
    "plugs": Plug,
    "joints": Joint,
    "wires": Wire,
    "devices": Device,
    "elements": Element,
    "curves": CurvePoint,
    "meters": MeterRange,
    "readings": Reading,
    "proof": Reading,
    "survey": SurveyRow,
    "branches": Branch,
    "fixings": Fixing,
    "zones": Zone,
    "fuelling": FuellingPoint,
    "settings": OwnFigure,
    "catalogue": Part,
    "crimps": CrimpTrial,
    "warmings": WarmingPoint,
    "suppliers": SupplierRow,
    "offers": PackOnSale,
    "stock": StockRow,
    "tasks": TaskRow,
    "photos": PhotoRow,
}
"""The record class of each table."""
