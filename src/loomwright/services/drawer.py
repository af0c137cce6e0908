"""A parcel that came, put into the drawer: packs on sale become rows of the table stock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from loomwright.loom import InputProblems, PackOnSale, Problem, Where, read_record, schema
from loomwright.repair.market import CUT_TO_ORDER_MM
from loomwright.repair.parts_need import METRE
from loomwright.services.counting import counted
from loomwright.services.entering import Bench, enter
from loomwright.services.kept_rows import Cells, KeptRow
from loomwright.services.ports import JobRef

__all__ = ["put_away"]

_MM = 1000.0
_MOST_PACKS = 1000


def put_away(bench: Bench, ref: JobRef, packs: Mapping[str, int]) -> tuple[str, ...]:
    """Put packs that came into the drawer, all of them or none; what was put there, in words.

    Pieces are added to those of the same part. Each length of wire is a row of its own, because
    lengths cannot be joined; wire that is cut to order comes in one length.

    Parameters
    ----------
    packs : how many packs came, by the name of their offer

    Raises
    ------
    InputProblems
        when nothing came, an offer is none of the job's, or a number of packs is not possible.
    NotFound, StorageFailed
        when the job is not kept, or the storage fails.
    """
    with bench.rows.held(ref):
        offers = _offers(bench, ref)
        _check(packs, offers)
        for name, number in packs.items():
            for length in _lengths(offers[name], number):
                _add(bench, ref, offers[name], length)
    return tuple(_words(offers[name], number) for name, number in packs.items())


def _offers(bench: Bench, ref: JobRef) -> dict[str, PackOnSale]:
    """The offers that can be read, by name; one that cannot sells nothing."""
    table = schema.table("offers")
    found: dict[str, PackOnSale] = {}
    for row in bench.rows.rows(ref, "offers"):
        try:
            read = read_record(table, dict(row.cells))
        except InputProblems:
            continue
        if isinstance(read, PackOnSale):
            found[read.offer] = read
    return found


def _check(packs: Mapping[str, int], offers: Mapping[str, PackOnSale]) -> None:
    found = []
    if not packs:
        found.append(Problem(Where("parcel"), "nothing is ticked", "tick what came"))
    for name, number in packs.items():
        if name not in offers:
            what = f'there is no offer "{name}" any more'
            found.append(Problem(Where("offers"), what, "look at the parts again"))
        elif not 1 <= number <= _MOST_PACKS:
            what = f"{number} packs of {name} cannot have come"
            found.append(Problem(Where("parcel"), what, f"between 1 and {_MOST_PACKS}"))
    if found:
        raise InputProblems(found)


def _lengths(offer: PackOnSale, number: int) -> Iterator[float]:
    """What is added to the drawer at a time: pieces together, lengths of wire one by one."""
    if offer.unit == METRE and offer.pack * _MM > CUT_TO_ORDER_MM:
        yield from (offer.pack for _ in range(number))
    else:
        yield number * offer.pack


def _add(bench: Bench, ref: JobRef, offer: PackOnSale, amount: float) -> None:
    if offer.unit != METRE:
        for row in bench.rows.rows(ref, "stock"):
            there = _pieces(row, offer.part)
            if there is not None:
                enter(bench, ref, "stock", {"count": _text(there + amount)}, key=row.key)
                return
    cells: Cells = {
        "part": offer.part,
        "colour": (offer.colour or "") if offer.unit == METRE else "",
        "count": _text(amount),
        "unit": offer.unit,
    }
    enter(bench, ref, "stock", cells)


def _pieces(row: KeptRow, part: str) -> float | None:
    """How many pieces of the part a row of the drawer holds; None where it holds another."""
    if row.cells.get("part", "").strip() != part or row.cells.get("unit", "").strip() == METRE:
        return None
    try:
        return float(row.cells.get("count", ""))
    except ValueError:  # it is mended where it stands; what came gets a row of its own
        return None


def _text(amount: float) -> str:
    return f"{round(amount, 3):.10g}"


def _words(offer: PackOnSale, number: int) -> str:
    amount = number * offer.pack
    name = f"{offer.part} {offer.colour or ''}".strip()
    if offer.unit == METRE:
        return f"{amount:.2f} m of {name}"
    return f"{counted(round(amount), 'piece')} of {name}"
