"""What is wired to what: plugs, joints, wires, devices with their elements and curves."""

from __future__ import annotations

from loomwright.loom.schema.columns import Column, Table, named, positive

SIDES = ("top", "bottom", "left", "right")
"""The sides of a face, as it is seen."""
NO_SIDE = "none"
"""Looked for, and there is none; a blank cell means not known."""

PLUGS = Table(
    "plugs",
    "Connector shells on the loom, with their cavities.",
    (
        named("plug", "The plug's own name", "T1"),
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
            "latch",
            "choice",
            "Side of the shell where its latch or tongue sits, as seen from seen_from",
            choices=(*SIDES, NO_SIDE),
            example="top",
        ),
        Column(
            "keying",
            "identifiers",
            "Sides where a key or polarising rib sits, as seen from seen_from, spaces between: "
            f"{', '.join(SIDES)}; or {NO_SIDE}",
            example="left",
        ),
        Column(
            "pitch_mm",
            "number",
            "From cavity to cavity, middle to middle",
            unit="mm",
            minimum=1,
            maximum=50,
            example="5",
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
        Column("boot", "text", "Kind of boot, or none", example="straight 2-way"),
        positive(
            "spare_mm", "mm", "Wire length that can be given up here", maximum=5000, example="40"
        ),
    ),
    key="plug",
)
JOINTS = Table(
    "joints",
    "Splices, earth points, battery posts and studs.",
    (
        named("joint", "The joint's own name", "EARTH1"),
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
        named("wire", "The wire's own name", "W1"),
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
        positive(
            "length_mm", "mm", "Length from terminal to terminal", maximum=50000, example="1200"
        ),
        Column("insulation", "text", "Kind of insulation", example="PVC 105"),
        Column(
            "outside_mm",
            "number",
            "Outside diameter of the insulation",
            unit="mm",
            minimum=0.2,
            maximum=40,
            example="1.9",
        ),
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
        named("device", "The device's own name", "SENSOR1"),
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
        positive(
            "tab_width_mm", "mm", "Width of the tabs its plug goes on", maximum=30, example="2.8"
        ),
        positive("tab_thickness_mm", "mm", "Thickness of these tabs", maximum=5, example="0.8"),
    ),
    key="device",
)
ELEMENTS = Table(
    "elements",
    "What a meter finds inside a device, between its pins. "
    "The pin name `case` is the metal body, joined to earth.",
    (
        named("element", "The element's own name", "NTC1"),
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
        Column("fuse_a", "number", "Rating of a fuse", unit="A", minimum=0.1, maximum=500),
        Column(
            "fuse_type",
            "choice",
            "Kind of blade fuse by ISO 8820-3: C usual, F small, E large; blank for any other",
            choices=("C", "E", "F"),
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
