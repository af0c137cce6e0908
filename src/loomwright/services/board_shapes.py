"""A board as plain lines and words by layer, for a plotter or a drawing program.

Coordinates are millimetres, x to the right and y upwards, the lower left corner of the board at 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import attrs

from loomwright.services.board import Board, Box, Spot
from loomwright.services.board_ends import TEXT

Layer = Literal["OUTLINE", "BRANCHES", "PEGS", "BOXES", "LEADERS", "MARKS", "WORDS"]
LAYERS: tuple[Layer, ...] = (
    "OUTLINE", "BRANCHES", "PEGS", "BOXES", "LEADERS", "MARKS", "WORDS",
)  # fmt: skip
_CROSS = 3.5


@attrs.frozen
class Line:
    """A line through points.

    Attributes
    ----------
    layer : what it belongs to
    points : its corners [mm]
    closed : whether it ends where it begins
    """

    layer: Layer
    points: tuple[Spot, ...]
    closed: bool = False


@attrs.frozen
class Words:
    """Words with their foot at a spot [mm].

    Attributes
    ----------
    layer : what they belong to
    text : the words
    at : where they begin
    size : height of the letters [mm]
    """

    layer: Layer
    text: str
    at: Spot
    size: float


def shapes(board: Board) -> Iterator[Line | Words]:
    """The board as lines and words."""
    high = board.layout.high_mm

    def up(spot: Spot) -> Spot:
        return spot[0], high - spot[1]

    def words(text: str, at: Spot) -> Words:
        return Words("WORDS", text, up(at), TEXT)

    wide = board.layout.wide_mm
    yield Line("OUTLINE", ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), closed=True)
    for run in board.layout.runs:
        yield Line("BRANCHES", tuple(map(up, run.points)))
        middle = run.points[len(run.points) // 2]
        yield words(f"{run.branch.branch} {run.branch.length_mm:g} mm", middle)
    for station in board.stations:
        for peg in station.pegs:
            yield from (Line("PEGS", tuple(map(up, ends))) for ends in _cross(peg))
        yield words(str(station.number), station.pegs[0])
    for box in board.layout.boxes:
        yield Line("BOXES", tuple(map(up, _corners(box))), closed=True)
        yield words(box.place, (box.left + 3, box.top + 8))
        if box.leader is not None:
            yield Line("LEADERS", tuple(map(up, box.leader)))
    for mark in board.marks:
        yield from (Line("MARKS", tuple(map(up, ends))) for ends in _cross(mark.at))
        yield words(f"{mark.kind} {mark.name}", mark.at)


def _cross(at: Spot) -> tuple[tuple[Spot, Spot], tuple[Spot, Spot]]:
    x, y = at
    return ((x - _CROSS, y), (x + _CROSS, y)), ((x, y - _CROSS), (x, y + _CROSS))


def _corners(box: Box) -> tuple[Spot, ...]:
    left, top, right, bottom = box.rect
    return (left, top), (right, top), (right, bottom), (left, bottom)
