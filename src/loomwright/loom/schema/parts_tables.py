"""Parts that may go on the loom, and what each needs of the place it goes to."""

from __future__ import annotations

from loomwright.loom.schema.columns import Column, Table, named, positive

CATALOGUE = Table(
    "catalogue",
    "Parts at hand or on offer, with what they fit; a blank cell leaves that fit not known.",
    (
        named("part", "The part's own name; plugs may name it as their terminal or boot", "REC28"),
        Column(
            "kind",
            "choice",
            "What it is",
            required=True,
            choices=("terminal", "boot", "shell", "wire", "splice", "sleeve", "die"),
            example="terminal",
        ),
        Column("label", "text", "What it is, in words", example="flat receptacle 2.8 x 0.8"),
        positive(
            "section_min_mm2", "mm²", "Smallest conductor section", maximum=120, example="0.5"
        ),
        positive("section_max_mm2", "mm²", "Largest conductor section", maximum=120, example="1"),
        positive(
            "insulation_min_mm",
            "mm",
            "Smallest outside diameter of the insulation it grips; of a wire, its own",
            maximum=30,
            example="1.6",
        ),
        positive(
            "insulation_max_mm",
            "mm",
            "Largest outside diameter of the insulation it grips; of a wire, its own",
            maximum=30,
            example="2.6",
        ),
        positive("tab_width_mm", "mm", "Width of the tab it goes on", maximum=30, example="2.8"),
        positive(
            "tab_thickness_mm", "mm", "Thickness of the tab it goes on", maximum=5, example="0.8"
        ),
        positive(
            "barrel_mm", "mm", "Length of the conductor barrel", maximum=60, example="3.5"
        ),
        Column("plating", "text", "Plating of a terminal", example="tin"),
        Column("ways", "integer", "Cavities of a shell, or of the plug a boot goes over",
               minimum=1, maximum=500),
        Column("form", "choice", "Shape of a boot", choices=("straight", "angled")),
        positive("bore_mm", "mm", "Wire opening of a boot or sleeve at rest", maximum=200),
        positive("bore_max_mm", "mm", "The same, stretched as far as it goes", maximum=200),
        Column(
            "lock",
            "choice",
            "How a shell holds its terminals",
            choices=("tongue", "staked", "finger", "moulded"),
        ),
        Column("die", "identifier", "Die that crimps this terminal or splice, a part of its own"),
        Column("colour", "text", "Colour", example=""),
        Column("note", "text", "Anything else", example="loose, not on a strip"),
    ),
    key="part",
)  # fmt: skip
