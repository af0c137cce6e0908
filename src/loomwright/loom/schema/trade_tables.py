"""What parts cost and where they come from: suppliers, their packs, and the drawer."""

from __future__ import annotations

from loomwright.loom.schema.columns import Column, Table, named

UNITS = ("piece", "m")
"""What is counted: pieces, or metres of wire."""

_PART = "Part of the catalogue"
_COLOUR = "Colour of a wire by IEC 60757, tracers after a stroke"
_UNIT = Column(
    "unit",
    "choice",
    "What is counted: pieces, or metres for wire",
    choices=UNITS,
    default="piece",
    example="piece",
)


def _price(name: str, help_: str, *, example: str, required: bool = False) -> Column:
    return Column(
        name, "number", help_, required=required, minimum=0, maximum=1000000, example=example
    )


SUPPLIERS = Table(
    "suppliers",
    "Who sells parts, and what a parcel costs; a blank price or delay counts as none.",
    (
        named("supplier", "The supplier's own name", "SUPPLIER-1"),
        Column("label", "text", "Who that is, in words", example="Parts by post"),
        _price("postage", "Price of a parcel", example="5.9"),
        _price("least_order", "Least value of an order, postage apart", example="15"),
        Column(
            "lead_days",
            "number",
            "Days until a parcel is there",
            minimum=0,
            maximum=1000,
            example="4",
        ),
        Column(
            "currency",
            "text",
            "Currency of the prices; blank means that of the job",
            example="EUR",
        ),
        Column("note", "text", "Anything else", example="no parcels in August"),
    ),
    key="supplier",
)
OFFERS = Table(
    "offers",
    "A row per pack that a supplier sells; a price break is a row with a larger pack.",
    (
        named("offer", "The offer's own name", "O1"),
        Column(
            "supplier",
            "identifier",
            "Who sells it",
            required=True,
            refers_to=("suppliers",),
            example="SUPPLIER-1",
        ),
        Column("part", "identifier", _PART, required=True, example="REC28"),
        Column(
            "pack",
            "number",
            "Pieces in the pack, or metres of wire on the reel; up to 1 m is cut to order",
            required=True,
            minimum=0.01,
            maximum=100000,
            example="25",
        ),
        _UNIT,
        _price("price", "Price of the pack, without postage", required=True, example="6.5"),
        Column("colour", "text", _COLOUR, example=""),
        Column("note", "text", "Anything else", example="loose, not on a strip"),
    ),
    key="offer",
)
STOCK = Table(
    "stock",
    "What lies in the drawer; a row per length of wire, because lengths cannot be joined.",
    (
        Column("part", "identifier", _PART, required=True, example="REC28"),
        Column("colour", "text", _COLOUR, example=""),
        Column(
            "count",
            "number",
            "Pieces, or metres of one length of wire",
            required=True,
            minimum=0,
            maximum=100000,
            example="12",
        ),
        _UNIT,
        Column("kept", "text", "Where it is kept", example="drawer 3"),
        Column("note", "text", "Anything else", example="left over from the last job"),
    ),
)
