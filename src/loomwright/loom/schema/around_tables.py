"""What lies around the loom: branches, what holds them, heat zones, fuelling, and own figures."""

from __future__ import annotations

from loomwright.loom.schema.columns import Column, Table, named, positive

BRANCHES = Table(
    "branches",
    "Stretches of loom between two places.",
    (
        named("branch", "The branch's own name", "B1"),
        Column("from_place", "text", "Place at one end", required=True, example="bulkhead"),
        Column("to_place", "text", "Place at the other end", required=True, example="engine"),
        positive("length_mm", "mm", "Length", maximum=50000, example="900"),
        Column(
            "zone",
            "identifier",
            "Heat zone it runs through",
            refers_to=("zones",),
            example="ENGINE",
        ),
        Column("cover", "text", "Tape, tube or sleeve", example="vinyl tube"),
        Column(
            "moves",
            "choice",
            "Whether it bends when the engine rocks",
            choices=("yes", "no"),
            example="no",
        ),
    ),
    key="branch",
)
FIXINGS = Table(
    "fixings",
    "What the loom is held by or goes through: clips and grommets.",
    (
        named("fixing", "The fixing's own name", "CLIP1"),
        Column(
            "kind",
            "choice",
            "What it is",
            required=True,
            choices=("clip", "grommet"),
            example="clip",
        ),
        Column(
            "branch",
            "identifier",
            "The branch it is on",
            required=True,
            refers_to=("branches",),
            example="B1",
        ),
        positive(
            "at_mm", "mm", "How far from the branch's from_place", maximum=50000, example="450"
        ),
        positive("bore_mm", "mm", "Width that the loom has in it", maximum=200, example="12"),
        Column("note", "text", "Anything seen", example="rubber hard"),
    ),
    key="fixing",
)
ZONES = Table(
    "zones",
    "How hot a region gets.",
    (
        named("zone", "The zone's own name", "ENGINE"),
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
    "Your own figures in place of shipped defaults, rates and factors, by their names.",
    (
        named("name", "Name of the default, rate or factor", "lead_resistance"),
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
