"""The ways in which a branch of a given length can be laid: straight, bent once, or folded back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from loomwright.build.board_lines import Move, bend_length

TURNS: dict[float, float] = {
    0: 0.0, 45: 0.10, -45: 0.10, 60: 0.12, -60: 0.12, 90: 0.12, -90: 0.12, 30: 0.2, -30: 0.2,
    120: 0.5, -120: 0.5, 135: 0.6, -135: 0.6, 150: 0.9, -150: 0.9,
}  # fmt: skip
"""Angles at which a branch may leave a place against how one came there [°], and how unwelcome."""
LEAST_DEG = 30.0
"""Least angle between branches at a place."""
_LEAD_MM = 60.0  # straight before the first bend: fingers and pegs need it at the fork
_REST_MM = 40.0
_SHARES = (0.15, 0.25, 0.35, 0.5, 0.6, 0.8)
_SIDE_MM = (0.0, 180.0, 360.0)
_TRUNK_SIDE_MM = (180.0, 300.0, 450.0)  # what hangs on the trunk needs room on both sides


@attrs.define
class Shape:
    """A way to lay a branch.

    Attributes
    ----------
    moves : straight pieces with the bend at the end of each
    turned : heading at its end against that at its beginning [°]
    unwelcome : how little it is wanted; a straight branch is 0
    """

    moves: tuple[Move, ...]
    turned: float
    unwelcome: float


def shapes(
    long: float, *, bend_mm: float, room_mm: float, trunk: bool, every: bool = False
) -> Iterator[Shape]:
    """Ways to lay a branch, whose pieces always add up to its length.

    Parameters
    ----------
    long : of the branch [mm]
    bend_mm : radius of bends
    room_mm : straight on to the edge of the board
    trunk : whether it is part of the trunk, beside whose runs other branches must find room
    every : many more of them, for a branch that found no room
    """
    if long <= room_mm and not every:
        yield Shape(((long, 0.0),), 0.0, 0.0)
    most = min(long, room_mm - bend_mm)
    leads = _leads(long, bend_mm, room_mm, every)
    leads = sorted({round(each, 3) for each in leads if _LEAD_MM <= each <= most})
    sides = _TRUNK_SIDE_MM if trunk and not every else _SIDE_MM
    for lead in leads:
        for turn in (45.0, -45.0, 90.0, -90.0):
            yield from _bent(long, lead, turn, bend_mm)
        for side in sides:
            for turn in (90.0, -90.0):
                yield from _folded(long, lead, side, turn, bend_mm)
    if not trunk:
        yield from _wound(long, bend_mm, room_mm)
    if every:
        yield from _hooked(long, bend_mm, most)


def _leads(long: float, bend_mm: float, room_mm: float, every: bool) -> Sequence[float]:
    """Where the first bend may begin."""
    edge = room_mm - bend_mm
    if every:
        return (60.0, 120.0, 200.0, *(share * long for share in _SHARES), edge, edge - 125.0)
    return (0.4 * long, 0.7 * long, edge, edge - 250.0)


def _bent(long: float, lead: float, turn: float, bend_mm: float) -> Iterator[Shape]:
    rest = long - lead - bend_length(turn, bend_mm)
    if rest >= _REST_MM:
        yield Shape(((lead, turn), (rest, 0.0)), turn, 0.12)


def _folded(long: float, lead: float, side: float, turn: float, bend_mm: float) -> Iterator[Shape]:
    """Forth and back, the two runs so far apart as the piece between them and two bends say."""
    rest = long - lead - side - 2 * bend_length(turn, bend_mm)
    if rest >= _REST_MM:
        yield Shape(((lead, turn), (side, turn), (rest, 0.0)), 2 * turn, 0.25)


def _hooked(long: float, bend_mm: float, most: float) -> Iterator[Shape]:
    """Away from the trunk, then forth and back beside it, each run farther from it."""
    for lead in (_LEAD_MM, 120.0, 200.0):
        for runs in (2, 3, 4):
            bends = (2 * runs - 1) * bend_length(90.0, bend_mm)
            run = (long - lead - bends) / runs
            if lead > most or run < _REST_MM:
                continue
            for first in (90.0, -90.0):
                moves: list[Move] = [(lead, first)]
                for n in range(runs - 1):
                    turn = -first if n % 2 == 0 else first
                    moves += [(run, turn), (0.0, turn)]
                turned = -first if runs % 2 == 0 else first
                yield Shape((*moves, (run, 0.0)), turned, 0.3 + 0.05 * runs)


def _wound(long: float, bend_mm: float, room_mm: float) -> Iterator[Shape]:
    """Forth and back several times, in runs of one length."""
    for runs in (3, 4, 5, 7):
        lead = (long - (runs - 1) * 2 * bend_length(90.0, bend_mm)) / runs
        if not _LEAD_MM <= lead <= room_mm - bend_mm:
            continue
        for first in (90.0, -90.0):
            moves: list[Move] = []
            for n in range(runs - 1):
                turn = first if n % 2 == 0 else -first
                moves += [(lead, turn), (0.0, turn)]
            turned = 2 * first if runs % 2 == 0 else 0.0
            yield Shape((*moves, (lead, 0.0)), turned, 0.3 + 0.05 * runs)
