"""What `trace` says: the circuit as a tree, every piece with its ohms."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import attrs

from loomwright.cli.page import Page, table
from loomwright.loom import Job
from loomwright.services.labels import Labels
from loomwright.services.numbers import shown
from loomwright.services.trace import Trace
from loomwright.services.words import state_words

if TYPE_CHECKING:
    from rich.table import Table


@attrs.define(eq=False)
class Stretch:
    """Pieces one after the other, and the stretches that go on from the last one's end."""

    pieces: list[int]
    onward: list[Stretch]


def show_trace(found: Trace, job: Job) -> None:
    """The way as a tree: what lies there, its ohms, the ohms from the beginning.

    Parameters
    ----------
    found : the pieces in order
    job : for the labels
    """
    page = Page()
    page.title(f"From {Labels(job).item(found.point)}")
    page.say(f"State as in the last reading: {state_words(found.state) or 'at rest'}; all plugs on")
    page.gap()
    if found.pieces:
        page.show(_table(found))
    else:
        page.say("Nothing conducts from here in this state.")
    page.gap()
    page.say("Calculated for a sound loom from lengths, sections and the parts' values.")


def _table(found: Trace) -> Table:
    made = table(("What lies there", "left", 60), ("Its own", "right", 9), ("So far", "right", 9))
    for drawn, number in _drawn(stretches(found), ""):
        piece = found.pieces[number]
        made.add_row(drawn + _what(found, number), shown(piece.ohm), shown(piece.so_far))
    return made


def stretches(found: Trace) -> list[Stretch]:
    """The pieces as a tree of stretches, those that begin at the point first."""
    roots: list[Stretch] = []
    way: list[tuple[int, Stretch]] = []
    for number, piece in enumerate(found.pieces):
        if way and number and _continues(found, number):
            way[-1][1].pieces.append(number)
            continue
        while way and way[-1][0] >= piece.depth:
            way.pop()
        made = Stretch([number], [])
        (way[-1][1].onward if way else roots).append(made)
        way.append((piece.depth, made))
    return roots


def _continues(found: Trace, number: int) -> bool:
    before, piece = found.pieces[number - 1], found.pieces[number]
    return before.depth == piece.depth and before.end == piece.start and not before.ends


def _drawn(group: list[Stretch], before: str) -> Iterator[tuple[str, int]]:
    """Each piece's number with the lines of the tree that stand before it."""
    for place, stretch in enumerate(group):
        last = place == len(group) - 1
        below = before + ("  " if last else "│ ")
        first = before + ("└─" if last else "├─")
        for n, number in enumerate(stretch.pieces):
            yield (first if n == 0 else below) + " ", number
        yield from _drawn(stretch.onward, below)


def _what(found: Trace, number: int) -> str:
    piece = found.pieces[number]
    name = piece.items[0] if piece.kind in ("wire", "element") and piece.items else ""
    words = f"{piece.kind} {name}".strip()
    end = f": {piece.ends}" if piece.ends else ""
    return f"{words}, {piece.start} to {piece.end}{end}"
