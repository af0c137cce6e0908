"""Every table and column of a job: type, unit, bounds and help, told once.

The readers and writers of files, the checks, the workbook template, the data package and the
documentation of the format all read this module. A record's attribute has its column's name,
except where that is a Python keyword (`from` is `from_point`).
"""

from __future__ import annotations

from typing import Literal

import attrs

Kind = Literal[
    "identifier",  # letters, digits, - and _
    "identifiers",  # several of them, spaces between
    "text",
    "number",
    "integer",
    "choice",
    "date",  # 2026-05-14
    "face",  # 1 2 3 / 4 5 6
    "point",  # PLUG.cavity, DEVICE.pin or JOINT
    "state",  # key=off; throttle=shut
    "condition",  # throttle=shut; engine_c<35
    "temperature",  # engine, air, ambient or a number in °C
    "measured",  # a number, or OL for over-range
]


@attrs.frozen
class Column:
    """One column. Numbers carry their unit in the name; `minimum` and `maximum` are inclusive."""

    name: str
    kind: Kind
    help: str
    required: bool = False
    unit: str = ""
    minimum: float | None = None
    maximum: float | None = None
    choices: tuple[str, ...] = ()
    default: str | float | None = None
    refers_to: tuple[str, ...] = ()
    example: str = ""

    @property
    def attribute(self) -> str:
        """The record attribute that holds this column."""
        return {"from": "from_point", "to": "to_point"}.get(self.name, self.name)


@attrs.frozen
class Table:
    """One table. `key` names the column whose values must differ; empty where rows repeat."""

    name: str
    help: str
    columns: tuple[Column, ...]
    key: str = ""
    single_row: bool = False

    @property
    def required_columns(self) -> tuple[Column, ...]:
        """The columns that must be there and filled."""
        return tuple(column for column in self.columns if column.required)

    def column(self, name: str) -> Column:
        """The column of that name.

        Raises
        ------
        KeyError
            when the table has no such column.
        """
        return next(column for column in self.columns if column.name == name)


def _named(name: str, help_: str, example: str) -> Column:
    return Column(name, "identifier", help_, required=True, example=example)


def _positive(name: str, unit: str, help_: str, *, maximum: float, example: str = "") -> Column:
    return Column(name, "number", help_, unit=unit, minimum=0.0, maximum=maximum, example=example)


JOB = Table(
    "job",
    "One row: what the job is about and what holds unless a reading says otherwise.",
    (
        Column(
            "title",
            "text",
            "A short name for the job",
            required=True,
            example="Hard to start when hot",
        ),
        Column(
            "vehicle", "text", "The car, in your own words", example="Example touring estate 1972"
        ),
        Column(
            "complaint", "text", "What the owner says", example="Floods when hot, fine when cold"
        ),
        Column("opened_on", "date", "The day the job was opened", example="2026-05-14"),
        Column(
            "ambient_c",
            "number",
            "Air temperature in the workshop",
            unit="°C",
            minimum=-60,
            maximum=70,
            default=20.0,
            example="20",
        ),
        Column(
            "supply_v",
            "number",
            "Battery voltage at rest",
            unit="V",
            minimum=0,
            maximum=60,
            default=12.6,
            example="12.6",
        ),
        Column("currency", "text", "Currency for quotes", example="EUR"),
        Column(
            "labour_rate",
            "number",
            "Price of an hour's work",
            minimum=0,
            maximum=10000,
            example="60",
        ),
    ),
    single_row=True,
)
PLUGS = Table(
    "plugs",
    "Connector shells on the loom, with their cavities.",
    (
        _named("plug", "The plug's own name", "T1"),
        Column("label", "text", "What it is", example="Engine temperature sensor plug"),
        Column(
            "face",
            "face",
            "Cavities as seen: rows split by /, cavities by spaces, a dot for a gap",
            required=True,
            example="1 2",
        ),
        Column(
            "seen_from",
            "choice",
            "The side the face is drawn from",
            choices=("mating", "wire"),
            default="mating",
            example="mating",
        ),
        Column(
            "mates_with",
            "identifier",
            "The device or plug it fits onto; cavity n meets pin n",
            refers_to=("devices", "plugs"),
            example="SENSOR1",
        ),
        Column(
            "place",
            "text",
            "Where it sits in the car; must be a place of the branches if those are given",
            example="engine",
        ),
        Column(
            "lock",
            "choice",
            "How terminals are held",
            choices=("tongue", "staked", "finger", "moulded"),
            example="tongue",
        ),
        Column("terminal", "text", "Kind of terminal", example="flat 2.8 x 0.8"),
        Column("boot", "text", "Kind of boot", example="straight 2-way"),
        _positive(
            "spare_mm", "mm", "Wire length that can be given up here", maximum=5000, example="40"
        ),
    ),
    key="plug",
)
JOINTS = Table(
    "joints",
    "Splices, earth points, battery posts and studs.",
    (
        _named("joint", "The joint's own name", "EARTH1"),
        Column(
            "kind",
            "choice",
            "What it is",
            required=True,
            choices=("splice", "earth", "battery_plus", "battery_minus", "stud"),
            example="earth",
        ),
        Column("place", "text", "Where it sits", example="engine"),
        Column("label", "text", "What it is, in words", example="Earth point on the engine"),
    ),
    key="joint",
)
WIRES = Table(
    "wires",
    "One row per wire, from point to point on the loom side.",
    (
        _named("wire", "The wire's own name", "W1"),
        Column("from", "point", "PLUG.cavity or JOINT at one end", required=True, example="T1.1"),
        Column(
            "to", "point", "PLUG.cavity or JOINT at the other end", required=True, example="EARTH1"
        ),
        Column("colour", "text", "IEC 60757 letter codes, tracer after a stroke", example="BN/WH"),
        Column(
            "section_mm2",
            "number",
            "Conductor section",
            unit="mm²",
            minimum=0.05,
            maximum=120,
            example="0.75",
        ),
        Column("strands", "integer", "Number of strands", minimum=1, maximum=5000, example="24"),
        Column(
            "strand_mm",
            "number",
            "Strand diameter",
            unit="mm",
            minimum=0.02,
            maximum=5,
            example="0.20",
        ),
        _positive(
            "length_mm", "mm", "Length from terminal to terminal", maximum=50000, example="1200"
        ),
        Column("insulation", "text", "Kind of insulation", example="PVC 105"),
        Column(
            "branches",
            "identifiers",
            "Branches it runs through, in order",
            refers_to=("branches",),
            example="B1",
        ),
    ),
    key="wire",
)
DEVICES = Table(
    "devices",
    "What plugs fit onto: sensors, injectors, switches, relays, the control unit.",
    (
        _named("device", "The device's own name", "SENSOR1"),
        Column("label", "text", "What it is", example="Engine temperature sensor"),
        Column("place", "text", "Where it sits", example="engine"),
        Column("zone", "identifier", "Heat zone", refers_to=("zones",)),
        Column(
            "temperature",
            "temperature",
            "What sets its temperature: engine, air, ambient, or a number",
            unit="°C",
            default="ambient",
            example="engine",
        ),
    ),
    key="device",
)
ELEMENTS = Table(
    "elements",
    "What a meter finds inside a device, between its pins. "
    "The pin name `case` is the metal body, joined to earth.",
    (
        _named("element", "The element's own name", "NTC1"),
        Column(
            "device",
            "identifier",
            "The device it is in",
            required=True,
            refers_to=("devices",),
            example="SENSOR1",
        ),
        Column("from_pin", "identifier", "Pin at one end", required=True, example="1"),
        Column("to_pin", "identifier", "Pin at the other end, or case", required=True, example="2"),
        Column(
            "kind",
            "choice",
            "What it is",
            required=True,
            choices=("resistor", "winding", "thermistor", "contact", "link", "input", "diode"),
            example="thermistor",
        ),
        Column(
            "ohm", "number", "Resistance at 20 °C", unit="Ω", minimum=0, maximum=1e9, example=""
        ),
        Column(
            "tolerance_pct",
            "number",
            "How far a good one may differ",
            unit="%",
            minimum=0,
            maximum=95,
            example="5",
        ),
        Column(
            "curve",
            "identifier",
            "Temperature curve of a thermistor",
            refers_to=("curves",),
            example="NTC",
        ),
        Column("closed_when", "condition", "State in which a contact is closed", example=""),
        Column(
            "pull_up_ohm",
            "number",
            "Control-unit input: resistance to its inner supply",
            unit="Ω",
            minimum=0,
            maximum=1e8,
        ),
        Column(
            "pull_up_v",
            "number",
            "Control-unit input: its inner supply",
            unit="V",
            minimum=0,
            maximum=60,
        ),
        Column(
            "inductance_mh", "number", "Inductance of a winding", unit="mH", minimum=0, maximum=1e5
        ),
        Column(
            "pull_in_a", "number", "Current at which it moves", unit="A", minimum=0, maximum=100
        ),
    ),
    key="element",
)
CURVES = Table(
    "curves",
    "Resistance of a thermistor against temperature; several rows make one curve.",
    (
        Column("curve", "identifier", "Name of the curve", required=True, example="NTC"),
        Column(
            "temperature_c",
            "number",
            "Temperature",
            required=True,
            unit="°C",
            minimum=-60,
            maximum=400,
            example="20",
        ),
        Column(
            "ohm",
            "number",
            "Resistance there",
            required=True,
            unit="Ω",
            minimum=0.001,
            maximum=1e9,
            example="2500",
        ),
        Column(
            "tolerance_pct",
            "number",
            "How far a good one may differ there",
            unit="%",
            minimum=0,
            maximum=95,
            example="5",
        ),
    ),
)
METERS = Table(
    "meters",
    "A row per range of each meter, from its data sheet.",
    (
        Column("meter", "identifier", "Name of the meter", required=True, example="DMM"),
        Column(
            "quantity",
            "choice",
            "What the range measures",
            required=True,
            choices=("ohm", "volt"),
            example="ohm",
        ),
        Column(
            "full_scale",
            "number",
            "Largest value of the range",
            required=True,
            minimum=1e-6,
            maximum=1e12,
            example="400",
        ),
        Column(
            "percent",
            "number",
            "Accuracy: percent of the reading",
            unit="%",
            minimum=0,
            maximum=100,
            example="0.8",
        ),
        Column(
            "counts",
            "number",
            "Accuracy: counts of the last digit",
            minimum=0,
            maximum=1e4,
            example="3",
        ),
        Column(
            "resolution",
            "number",
            "Value of the last digit",
            minimum=1e-12,
            maximum=1e9,
            example="0.1",
        ),
        Column(
            "leads_ohm",
            "number",
            "Lead resistance still contained in the values; blank when zeroed",
            unit="Ω",
            minimum=0,
            maximum=50,
        ),
    ),
)
READINGS = Table(
    "readings",
    "One meter value in one state.",
    (
        _named("reading", "The reading's own name", "R1"),
        Column(
            "quantity",
            "choice",
            "What was measured",
            required=True,
            choices=("ohm", "volt"),
            example="ohm",
        ),
        Column("plus", "point", "Where the red probe touched", required=True, example="T1.1"),
        Column("minus", "point", "Where the black probe touched", required=True, example="EARTH1"),
        Column(
            "unplugged", "identifiers", "Plugs that were off", refers_to=("plugs",), example="T1"
        ),
        Column("state", "state", "Key, throttle, temperatures", example="key=off; engine_c=18"),
        Column(
            "value",
            "measured",
            "The value in ohms or volts, or OL for over-range",
            required=True,
            minimum=-1000,
            maximum=1e12,
            example="0.3",
        ),
        Column("meter", "identifier", "The meter used", refers_to=("meters",), example="DMM"),
        Column("taken_at", "text", "When it was taken", example="2026-05-14 10:20"),
        Column("note", "text", "Anything seen", example="engine cold"),
    ),
    key="reading",
)
SURVEY = Table(
    "survey",
    "What the eye and hand found, graded 0 (as new) to 4 (danger).",
    (
        Column(
            "item",
            "identifier",
            "Plug, wire, joint or device",
            required=True,
            refers_to=("plugs", "wires", "joints", "devices"),
            example="T1",
        ),
        Column(
            "aspect",
            "choice",
            "What was looked at",
            required=True,
            choices=("boot", "shell", "terminal", "insulation", "strands"),
            example="terminal",
        ),
        Column(
            "grade",
            "integer",
            "0 as new, 1 aged, 2 worn, 3 bad, 4 danger",
            minimum=0,
            maximum=4,
            example="2",
        ),
        Column(
            "strands_left",
            "integer",
            "Unbroken strands at the worst place",
            minimum=0,
            maximum=5000,
        ),
        Column("note", "text", "Anything seen", example="dark, still springy"),
        Column("photo", "text", "File name of a photo"),
    ),
)
BRANCHES = Table(
    "branches",
    "Stretches of loom between two places.",
    (
        _named("branch", "The branch's own name", "B1"),
        Column("from_place", "text", "Place at one end", required=True, example="bulkhead"),
        Column("to_place", "text", "Place at the other end", required=True, example="engine"),
        _positive("length_mm", "mm", "Length", maximum=50000, example="900"),
        Column(
            "zone",
            "identifier",
            "Heat zone it runs through",
            refers_to=("zones",),
            example="ENGINE",
        ),
        Column("cover", "text", "Tape, tube or sleeve", example="vinyl tube"),
    ),
    key="branch",
)
ZONES = Table(
    "zones",
    "How hot a region gets.",
    (
        _named("zone", "The zone's own name", "ENGINE"),
        Column(
            "running_c",
            "number",
            "Temperature while running",
            unit="°C",
            minimum=-60,
            maximum=1000,
            example="95",
        ),
        Column(
            "soak_c",
            "number",
            "Temperature after a hot stop",
            unit="°C",
            minimum=-60,
            maximum=1000,
            example="115",
        ),
        Column(
            "hours_per_year",
            "number",
            "Hours of use in a year",
            minimum=0,
            maximum=8784,
            example="150",
        ),
        Column(
            "soak_share",
            "number",
            "Share of those hours that is hot soak",
            minimum=0,
            maximum=1,
            example="0.1",
        ),
    ),
    key="zone",
)
FUELLING = Table(
    "fuelling",
    "Relative fuel quantity the control unit gives at the temperature it believes.",
    (
        Column(
            "curve",
            "identifier",
            "Thermistor curve this belongs to",
            required=True,
            refers_to=("curves",),
            example="NTC",
        ),
        Column(
            "temperature_c",
            "number",
            "Believed temperature",
            required=True,
            unit="°C",
            minimum=-60,
            maximum=400,
            example="20",
        ),
        Column(
            "factor",
            "number",
            "Fuel quantity; 1 is that of a warm engine",
            required=True,
            minimum=0,
            maximum=20,
            example="1.25",
        ),
    ),
)

SETTINGS = Table(
    "settings",
    "Your own figures in place of the shipped defaults, by their names.",
    (
        _named("name", "Name of the default", "lead_resistance"),
        Column(
            "value",
            "number",
            "Your figure, in the unit of the default",
            required=True,
            minimum=0,
            maximum=1e9,
            example="0.2",
        ),
        Column("note", "text", "Where it comes from", example="both leads shorted, own meter"),
    ),
    key="name",
)

TABLES: tuple[Table, ...] = (
    JOB, PLUGS, JOINTS, WIRES, DEVICES, ELEMENTS, CURVES,
    METERS, READINGS, SURVEY, BRANCHES, ZONES, FUELLING, SETTINGS,
)  # fmt: skip

OVER_RANGE = "OL"


def table(name: str) -> Table:
    """The table of that name.

    Raises
    ------
    KeyError
        when there is none.
    """
    return {each.name: each for each in TABLES}[name]
