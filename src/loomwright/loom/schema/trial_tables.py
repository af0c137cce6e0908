"""What is made on the bench before the loom is touched: trial crimps."""

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
