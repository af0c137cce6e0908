"""What was seen and measured: the job itself, meters, readings, survey."""

from __future__ import annotations

import attrs

from loomwright.loom.schema.columns import Column, Table, named

SYMPTOMS = (
    "cold_no_start",
    "no_start",
    "hot_start",
    "runs_rich",
    "runs_lean",
    "one_cylinder",
    "several_cylinders",
    "cuts_out",
    "hesitates",
    "idle_hunts",
)
"""The words for a complaint that the diagnosis can weigh."""

OFFERS_MADE = ("only what failed", "all within reach", "everything", "what pays")
"""The offers that a plan makes, the smallest first, and the one of least expected cost."""

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
        Column(
            "symptoms",
            "identifiers",
            f"The complaint in words that are weighed, spaces between: {', '.join(SYMPTOMS)}",
            example="hot_start",
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
        Column(
            "offer",
            "choice",
            "The offer that the owner chose; the work, parts and papers follow it",
            choices=OFFERS_MADE,
            example="what pays",
        ),
    ),
    single_row=True,
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
        named("reading", "The reading's own name", "R1"),
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
PROOF = attrs.evolve(
    READINGS,
    name="proof",
    help="Readings after the work, in the columns of readings; the same points in the same state.",
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
