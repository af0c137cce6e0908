"""What is tried on the bench: trial crimps, and how fast a plug warms with and without its boot."""

from __future__ import annotations

from loomwright.loom.schema.columns import Column, Table, named

CRIMPS = Table(
    "crimps",
    "Trial crimps in the order they were made; a set-up is one terminal, one wire and one die.",
    (
        named("trial", "The trial's own name", "K1"),
        Column(
            "set_up",
            "identifier",
            "Name of the set-up: the same terminal, wire and die",
            required=True,
            example="S1",
        ),
        Column("terminal", "text", "Kind of terminal", example="REC28"),
        Column(
            "section_mm2",
            "number",
            "Conductor section",
            unit="mm²",
            minimum=0.05,
            maximum=120,
            example="0.75",
        ),
        Column("die", "text", "Tool and nest", example="DIE28"),
        Column(
            "height_mm",
            "number",
            "Height of the conductor crimp at its middle",
            unit="mm",
            minimum=0.1,
            maximum=30,
            example="1.32",
        ),
        Column(
            "width_mm",
            "number",
            "Width of the conductor crimp",
            unit="mm",
            minimum=0.1,
            maximum=50,
            example="1.83",
        ),
        Column(
            "pull_n",
            "number",
            "Force at which it gave way, insulation wings open",
            unit="N",
            minimum=0,
            maximum=20000,
            example="118",
        ),
        Column(
            "failed_at",
            "choice",
            "What gave way: the wire broke, or it slipped out of the crimp",
            choices=("wire", "crimp", "not pulled"),
            example="wire",
        ),
        Column(
            "look",
            "choice",
            "How it looks",
            choices=("good", "doubtful", "bad"),
            example="good",
        ),
        Column("made_at", "text", "When it was made", example="2026-05-14 10:20"),
        Column("note", "text", "Anything seen", example="both wings touch"),
    ),
    key="trial",
)

WARMINGS = Table(
    "warmings",
    "A plug warmed by a hot-air blower, with its boot and without; several rows make one run.",
    (
        Column("run", "identifier", "Name of the run", required=True, example="RUN1"),
        Column(
            "plug",
            "identifier",
            "The plug that was warmed",
            refers_to=("plugs",),
            example="T1",
        ),
        Column(
            "boot",
            "choice",
            "Whether its boot was on",
            choices=("on", "off"),
            default="on",
            example="on",
        ),
        Column(
            "seconds",
            "number",
            "Time since the blower was put to it",
            required=True,
            unit="s",
            minimum=0,
            maximum=86400,
            example="20",
        ),
        Column(
            "temperature_c",
            "number",
            "Temperature inside the plug at that time",
            required=True,
            unit="°C",
            minimum=-60,
            maximum=400,
            example="31.5",
        ),
        Column(
            "air_c",
            "number",
            "Temperature of the blown air at the plug; blank when it was not measured",
            unit="°C",
            minimum=-60,
            maximum=700,
            example="120",
        ),
        Column("note", "text", "Anything seen", example="boot slid back at the end"),
    ),
)
