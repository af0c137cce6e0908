"""Suppliers, offers and the drawer: parts that the catalogue holds, units that suit, one currency.

That an offer names a supplier who is there follows from the schema (`naming.unknown_names`).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from loomwright.loom.cells import cell_text
from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.errors import Problem, Where
from loomwright.loom.records import PackOnSale, StockRow


def uncatalogued_parts(evidence: Evidence) -> Iterator[Problem]:
    """A part on sale or in the drawer that the catalogue does not hold."""
    known = evidence.names["catalogue"]
    for table, row in _traded(evidence):
        if row.part not in known and row.part not in evidence.unread:
            yield Problem(
                Where(table, row.row, "part"),
                f'the catalogue holds no part "{row.part}"',
                evidence.cure(row.part, known, ["catalogue"]),
                warning=True,
            )


def unsuited_units(evidence: Evidence) -> Iterator[Problem]:
    """Wire by the piece, anything else by the metre, and parts of a piece."""
    kinds = {part.part: part.kind for part in evidence.job.catalogue}
    for table, row in _traded(evidence):
        kind = kinds.get(row.part)
        if kind == "wire" and row.unit != "m":
            what = f'wire "{row.part}" is counted by the piece'
            yield Problem(Where(table, row.row, "unit"), what, "write m and give metres")
        elif kind not in (None, "wire") and row.unit == "m":
            what = f'{kind} "{row.part}" is counted in metres'
            yield Problem(
                Where(table, row.row, "unit"), what, "write piece; only wire is in metres"
            )
        elif row.unit == "piece" and _amount(row) != int(_amount(row)):
            column = "pack" if isinstance(row, PackOnSale) else "count"
            what = f'"{cell_text(_amount(row))}" pieces are not possible'
            yield Problem(Where(table, row.row, column), what, "give a whole number of pieces")


def colourless_wire(evidence: Evidence) -> Iterator[Problem]:
    """Metres of wire without a colour: they stand for no wire of the loom that has one."""
    for table, row in _traded(evidence):
        if row.unit == "m" and row.colour is None:
            yield Problem(
                Where(table, row.row, "colour"),
                f'"{row.part}" is given in metres, but without its colour',
                "give the colour; without it only wires whose colour is not known are covered",
                warning=True,
            )


def other_currencies(evidence: Evidence) -> Iterator[Problem]:
    """Suppliers whose prices are in another currency than those before, or the job's."""
    kept = evidence.job.about.currency
    for row in evidence.job.suppliers:
        if row.currency is None:
            continue
        kept = kept or row.currency
        if row.currency.strip().casefold() != kept.strip().casefold():
            yield Problem(
                Where("suppliers", row.row, "currency"),
                f'"{row.currency}" stands beside "{kept}": two currencies cannot be added up',
                f"give this supplier's prices and postage in {kept}",
            )


def cheaper_larger_packs(evidence: Evidence) -> Iterator[Problem]:
    """A larger pack of the same part and supplier that costs less than a smaller one."""
    sold: dict[tuple[str, str, str | None], list[PackOnSale]] = {}
    for offer in evidence.job.offers:
        sold.setdefault((offer.supplier, offer.part, offer.colour), []).append(offer)
    for packs in sold.values():
        packs.sort(key=lambda offer: offer.pack)
        for small, large in pairwise(packs):
            if large.pack > small.pack and large.price < small.price:
                yield Problem(
                    Where("offers", large.row, "price"),
                    f'a pack of {cell_text(large.pack)} for "{cell_text(large.price)}" costs less '
                    f"than one of {cell_text(small.pack)} for {cell_text(small.price)}",
                    "give the price of the whole pack, not of a piece; keep it if it is right",
                    warning=True,
                )


def _traded(evidence: Evidence) -> Iterator[tuple[str, PackOnSale | StockRow]]:
    for offer in evidence.job.offers:
        yield "offers", offer
    for row in evidence.job.stock:
        yield "stock", row


def _amount(row: PackOnSale | StockRow) -> float:
    return row.pack if isinstance(row, PackOnSale) else row.count
