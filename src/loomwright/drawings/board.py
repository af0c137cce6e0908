"""A loom on its board, 1 : 1: branches, pegs, splices, clips, and what each end shows."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from loomwright.drawings import svg
from loomwright.drawings.board_end import end_box
from loomwright.drawings.board_parts import MIDDLE, Part, Spot, block, line, words
from loomwright.drawings.insulation import INK, PAPER
from loomwright.services.board import Board, BoardReport, Mark, Run, size_words
from loomwright.services.board_ends import HEAD, TEXT

EDGE = 10.0
"""Round the board, and between it and what is written below [mm]."""
TITLE = 10.0
_LINE = TEXT * svg.LEADING
_BAR_MM = 200.0
_UNKNOWN_MM = 6.0  # how wide a bundle of unknown width is shown
_CROSS = 3.5
_SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.27, 0.73)  # of a stretch, where its words may stand
_FREE_MM = 40.0  # from words to a peg, enough
_SHORT_MM = 70.0  # a branch whose straight stretches are shorter shows its name alone
_FOOT_MM = 420.0  # least width of what is written below


def board_svg(report: BoardReport, board: Board) -> str:
    """The whole board as SVG text, a millimetre on paper for each on the board.

    Parameters
    ----------
    report : the boards of the loom
    board : one of them
    """
    wide, high = board_size(report, board)
    parts = [each.drawn for each in board_parts(report, board)]
    return svg.drawing(
        parts, wide=wide, high=high, title=f"Board {board.number}: {report.job}",
        desc=board_words(board),
    )  # fmt: skip


def board_words(board: Board) -> str:
    """The board in words, for who cannot see it."""
    ways = (
        f"{run.branch.branch} from {run.branch.from_place} to {run.branch.to_place}, "
        f"{run.branch.length_mm:g} mm"
        for run in board.layout.runs
    )
    return f"{size_words(board)}. {'; '.join(ways)}."


def board_size(report: BoardReport, board: Board) -> tuple[float, float]:
    """Width and height of the drawing [mm]."""
    layout = board.layout
    wide = max(layout.wide_mm + 2 * EDGE, _FOOT_MM)
    lines = sum(len(said) for said in _said(report, board, wide))
    return wide, layout.high_mm + 3 * EDGE + TITLE * 1.4 + HEAD + lines * _LINE + EDGE


def board_parts(report: BoardReport, board: Board) -> tuple[Part, ...]:
    """The drawing in parts, what lies below first."""
    made = [
        *_bundles(board),
        *_leaders(board),
        *(part for run in board.layout.runs for part in _branch_words(run, board)),
        *_places(board),
        *_pegs(board),
        *(part for mark in board.marks for part in _mark(mark, board)),
        *_boxes(board),
        *_foot(report, board),
    ]
    return tuple(made)


def _put(spot: Spot) -> Spot:
    return spot[0] + EDGE, spot[1] + EDGE


def _points(run: Run) -> list[Spot]:
    return [_put(spot) for spot in run.points]


def _bundles(board: Board) -> Iterator[Part]:
    """Branches as double lines, all edges first, so that forks are open; then middle lines."""
    known = [
        (run, board.across_mm[str(run.branch.branch)])
        for run in board.layout.runs
        if str(run.branch.branch) in board.across_mm
    ]
    for run, across in known:
        yield line(_points(run), stroke=INK, stroke_width=across + 0.8, stroke_linejoin="round")
    for run, across in known:
        yield line(_points(run), stroke=PAPER, stroke_width=across, stroke_linejoin="round")
    for run in board.layout.runs:
        dash: dict[str, svg.Value] = {}
        if str(run.branch.branch) not in board.across_mm:
            dash["stroke_dasharray"] = "6 3"
        yield line(_points(run), stroke=INK, stroke_width=0.35, class_=MIDDLE, **dash)


def _leaders(board: Board) -> Iterator[Part]:
    for box in board.layout.boxes:
        if box.leader is not None:
            ends = [_put(spot) for spot in box.leader]
            yield line(ends, stroke=INK, stroke_width=0.3, stroke_dasharray="2 1.5")


def _branch_words(run: Run, board: Board) -> Iterator[Part]:
    """Name and length beside the longest straight stretch, clear of pegs, never upside down."""
    one, other = max(pairwise(_points(run)), key=lambda ends: math.dist(*ends))
    if one[0] > other[0] or (one[0] == other[0] and one[1] < other[1]):
        one, other = other, one
    long = math.dist(one, other)
    turn = math.degrees(math.atan2(other[1] - one[1], other[0] - one[0]))
    said = str(run.branch.branch)
    if long >= _SHORT_MM:
        said += f"  {run.branch.length_mm:g} mm"
    up = math.radians(turn - 90)
    off = board.across_mm.get(str(run.branch.branch), 0.0) / 2 + 2.5
    spots = [
        (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))
        for share in _SHARES
    ]
    middle = max(spots, key=lambda spot: min(_to_pegs(spot, board), _FREE_MM))
    at = (middle[0] + off * math.cos(up), middle[1] + off * math.sin(up))
    yield words(said, at, TEXT, turn=turn, bold=True, anchor="middle")


def _to_pegs(spot: Spot, board: Board) -> float:
    """From a spot of the drawing to the nearest peg [mm]."""
    pegs = (_put(peg) for station in board.stations for peg in station.pegs)
    return min((math.dist(spot, peg) for peg in pegs), default=math.inf)


def _places(board: Board) -> Iterator[Part]:
    """A dot at each place; its name where no box tells it."""
    told = {box.place for box in board.layout.boxes if box.leader is not None}
    for place, spot in board.layout.at.items():
        x, y = _put(spot)
        yield block(
            svg.element("circle", cx=x, cy=y, r=1.6, fill=INK), (x - 2, y - 2, x + 2, y + 2)
        )
        if place not in told:
            yield words(place, (x + 4, y - 4), TEXT)


def _pegs(board: Board) -> Iterator[Part]:
    """A cross for each peg, the number of its station beside the first."""
    for station in board.stations:
        for n, peg in enumerate(station.pegs):
            x, y = _put(peg)
            path = (
                f"M{svg.number(x - _CROSS)} {svg.number(y)} H{svg.number(x + _CROSS)} "
                f"M{svg.number(x)} {svg.number(y - _CROSS)} V{svg.number(y + _CROSS)}"
            )
            cross = svg.element("path", d=path, fill="none", stroke=INK, stroke_width=0.5)
            rect = (x - _CROSS, y - _CROSS, x + _CROSS, y + _CROSS)
            yield block(cross, rect)
            if n == 0:
                yield words(str(station.number), (x + 1.2, y - 1.2), TEXT)


def _mark(mark: Mark, board: Board) -> Iterator[Part]:
    """A filled diamond for a splice, a bar across for a clip, a ring for a grommet."""
    x, y = _put(mark.at)
    rect = (x - 9, y - 9, x + 9, y + 9)
    turned = f"rotate({svg.number(mark.heading)} {svg.number(x)} {svg.number(y)})"
    if mark.kind == "splice":
        corners = ((x - 5, y), (x, y - 5), (x + 5, y), (x, y + 5))
        points = " ".join(f"{svg.number(a)},{svg.number(b)}" for a, b in corners)
        drawn = svg.element("polygon", points=points, fill=INK)
    elif mark.kind == "clip":
        drawn = svg.element(
            "rect", x=x - 2, y=y - 9, width=4, height=18, fill=PAPER, stroke=INK,
            stroke_width=0.6, transform=turned,
        )  # fmt: skip
    else:
        drawn = svg.group(
            svg.element("circle", cx=x, cy=y, r=r, fill="none", stroke=INK, stroke_width=0.6)
            for r in (6.0, 9.0)
        )
    yield block(drawn, rect)
    sides = [
        (x + 17 * math.cos(turn), y + 17 * math.sin(turn) + 0.35 * TEXT)
        for turn in (math.radians(mark.heading + 90), math.radians(mark.heading - 90))
    ]
    at = max(sides, key=lambda spot: _to_pegs(spot, board))
    yield words(f"{mark.kind} {mark.name}", at, TEXT, anchor="middle")


def _boxes(board: Board) -> Iterator[Part]:
    for box in board.layout.boxes:
        shifted = f"translate({svg.number(EDGE)} {svg.number(EDGE)})"
        left, top, right, bottom = box.rect
        rect = (left + EDGE, top + EDGE, right + EDGE, bottom + EDGE)
        yield block(svg.group([end_box(board.ends[box.place], box)], transform=shifted), rect)


def _foot(report: BoardReport, board: Board) -> Iterator[Part]:
    """Below the board: what it is, a bar to measure, what the signs mean, what is not known."""
    wide, _ = board_size(report, board)
    y = board.layout.high_mm + 3 * EDGE + TITLE
    title = f"Board {board.number} of {report.pieces}, 1 : 1: {report.job}"
    yield words(title, (EDGE, y), svg.fitting(title, TITLE, wide - 2 * EDGE), bold=True)
    y += HEAD + 4
    yield from _bar(EDGE, y)
    yield words("200 mm: measure it before anything is cut.", (EDGE + _BAR_MM + 8, y + 2), TEXT)
    y += _LINE + 4
    for lines in _said(report, board, wide):
        for said in lines:
            yield words(said, (EDGE, y), TEXT)
            y += _LINE


def _bar(x: float, y: float) -> Iterator[Part]:
    """A bar of 200 mm with a stroke every 50."""
    yield line([(x, y), (x + _BAR_MM, y)], stroke=INK, stroke_width=0.5, class_="bar")
    for step in range(5):
        at = x + step * _BAR_MM / 4
        yield line([(at, y - 3), (at, y + 3)], stroke=INK, stroke_width=0.5)


def _said(report: BoardReport, board: Board, wide: float) -> list[list[str]]:
    """What is written below, in lines that fit."""
    room = wide - 2 * EDGE
    told = (
        report.vehicle,
        f"{size_words(board)}; bends have a radius of {board.layout.bend_mm:g} mm or more.",
        "Cross: a peg, numbered place by place. Dot: a place. Filled diamond: splice. Bar across: "
        "clip. Two rings: grommet. Double line: width of the bundle; broken line: width not known. "
        "Faces are enlarged and seen from the wire side, from where the terminals go in.",
        "Branch lengths are those written down; hold the drawing against the old loom and the car "
        "before anything is cut.",
        *board.notes,
    )
    return [_lines(each, room) for each in told if each]


def _lines(text: str, room: float) -> list[str]:
    made = svg.paragraph(text, 0, 0, size=TEXT, room=room)
    return [str(each.children[0]) for each in made]
