"""A new loom laid flat on a board at true length: branches, pegs, splices, what each end shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import attrs

from loomwright import standards
from loomwright.build.board import lay_out
from loomwright.build.board_layout import Box, Layout, Run
from loomwright.build.board_lines import Spot, along
from loomwright.build.board_pegs import BEND, END, FORK, WAY, Station, stations
from loomwright.build.board_plan import Bounds
from loomwright.build.splices import place_splices
from loomwright.build.spots import Spot as BranchSpot
from loomwright.build.tree import LoomTree, Piece
from loomwright.loom import Job, NotFound, Wire
from loomwright.loom.errors import OutOfRange
from loomwright.repair.needs import Needs, bundle_mm
from loomwright.services.board_ends import End, ends, sizes, wires_of
from loomwright.services.counting import counted
from loomwright.services.numbers import plain
from loomwright.services.words import listed

__all__ = [
    "BEND",
    "END",
    "FORK",
    "WAY",
    "Board",
    "BoardReport",
    "Box",
    "Layout",
    "Mark",
    "Run",
    "Spot",
    "Station",
    "board",
]

_LEAST_MM, _MOST_MM = 600.0, 20000.0


@attrs.frozen(kw_only=True)
class Mark:
    """A splice, clip or grommet on the board.

    Attributes
    ----------
    kind : `splice`, `clip` or `grommet`
    name : its name; several splices at one place share a mark
    at : where it sits [mm]
    heading : of the loom there [°]
    """

    kind: str
    name: str
    at: Spot
    heading: float


@attrs.frozen(kw_only=True)
class Board:
    """The board of one piece of loom.

    Attributes
    ----------
    number : of the piece, from 1
    layout : where everything lies
    ends : what each place shows, by its name
    across_mm : width of the branches' bundles by name, where known
    stations : pegs
    marks : splices, clips, grommets
    fits_table : whether it is no wider than the table
    notes : what is not known, and what the board is not
    """

    number: int
    layout: Layout
    ends: Mapping[str, End]
    across_mm: Mapping[str, float]
    stations: tuple[Station, ...]
    marks: tuple[Mark, ...]
    fits_table: bool
    notes: tuple[str, ...]

    @property
    def pegs(self) -> int:
        """How many pegs it takes."""
        return sum(len(each.pegs) for each in self.stations)

    @property
    def loom_mm(self) -> float:
        """Length of all branches together [mm]."""
        return sum(run.branch.length_mm or 0.0 for run in self.layout.runs)


@attrs.frozen(kw_only=True)
class BoardReport:
    """The boards of a loom.

    Attributes
    ----------
    job, vehicle : of the job, the vehicle empty where not written down
    pieces : how many pieces the loom has
    width_mm : of the table
    overlap_mm : what neighbouring sheets have in common
    boards : of the pieces asked for
    """

    job: str
    vehicle: str
    pieces: int
    width_mm: float
    overlap_mm: float
    boards: tuple[Board, ...]

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "pieces": self.pieces,
            "table_width_mm": self.width_mm,
            "boards": [_board(each) for each in self.boards],
        }


def board(job: Job, *, piece: int | None = None, width_mm: float | None = None) -> BoardReport:
    """Lay a loom flat on a board.

    Parameters
    ----------
    job : its branches, plugs, joints, wires, fixings
    piece : number of the piece, from 1; all of them where none is given
    width_mm : of the table; the figure `board_width` where none is given

    Raises
    ------
    InputProblems
        when the branches are no tree, or one has no length.
    NotFound
        when there is no such piece.
    OutOfRange
        when a table cannot be so wide.
    """
    value = standards.values({row.name: row.value for row in job.settings})
    width = _usable(value["board_width"] if width_mm is None else width_mm)
    tree = LoomTree(job)
    chosen = _chosen(tree, piece)
    wires, spots = wires_of(tree), place_splices(tree, value=value).spots
    return BoardReport(
        job=job.about.title,
        vehicle=job.about.vehicle or "",
        pieces=len(tree.pieces),
        width_mm=width,
        overlap_mm=value["board_overlap"],
        boards=tuple(
            _laid(tree, n, wires[n], spots, value=value, width=width, first=n == chosen[0])
            for n in chosen
        ),
    )


def _usable(width_mm: float) -> float:
    if not _LEAST_MM <= width_mm <= _MOST_MM:
        raise OutOfRange(
            f"a table {width_mm:g} mm wide is not possible",
            where="width",
            expected=f"give {_LEAST_MM:g} to {_MOST_MM:g} mm",
        )
    return width_mm


def _chosen(tree: LoomTree, piece: int | None) -> Sequence[int]:
    count = len(tree.pieces)
    if piece is None:
        return range(count)
    if not 1 <= piece <= count:
        raise NotFound(
            f"the loom has no piece {piece}",
            where="piece",
            expected=f"give 1 to {count}" if count > 1 else "it has one piece, 1",
        )
    return (piece - 1,)


def _laid(
    tree: LoomTree,
    number: int,
    wires: Sequence[Wire],
    spots: Mapping[str, BranchSpot],
    *,
    value: Mapping[str, float],
    width: float,
    first: bool,
) -> Board:
    piece = tree.pieces[number]
    shown = ends(tree, piece, wires)
    layout = lay_out(
        piece.branches,
        copper=_copper(tree, piece, value["wire_section"]),
        boxes={place: sizes(end) for place, end in shown.items()},
        bounds=Bounds(
            width_mm=width, clear_mm=value["board_clear"], fork_mm=value["board_fork"],
            bend_mm=value["board_bend"],
        ),
    )  # fmt: skip
    across = dict(_across(tree, piece, value))
    return Board(
        number=number + 1,
        layout=layout,
        ends=shown,
        across_mm=across,
        stations=stations(
            layout, across_mm=across, gap_mm=value["board_peg_gap"], step_mm=value["board_peg_step"]
        ),
        marks=tuple(_marks(tree, layout, spots)),
        fits_table=layout.wide_mm <= width,
        notes=tuple(_notes(tree, piece, layout, across, clear=value["board_clear"], first=first)),
    )


def _copper(tree: LoomTree, piece: Piece, usual_mm2: float) -> dict[str, float]:
    """Section of all wires in each branch [mm²]; a wire that states none counts as a usual one."""
    names = [str(branch.branch) for branch in piece.branches]
    return {
        name: sum(wire.section_mm2 or usual_mm2 for wire in tree.wires_through[name])
        for name in names
    }


def _across(
    tree: LoomTree, piece: Piece, value: Mapping[str, float]
) -> Iterator[tuple[str, float]]:
    """Widths of bundles as usually met; of thick-walled wires where nothing is measured."""
    needs = Needs(tree.job, value)
    for branch in piece.branches:
        wires = tree.wires_through[str(branch.branch)]
        spans = [span for wire in wires if (span := needs.outside(wire)) is not None]
        if wires and len(spans) == len(wires):
            high = [span.high for span in spans]
            yield str(branch.branch), bundle_mm(high, factor=value["bundle_most"])


def _marks(tree: LoomTree, layout: Layout, spots: Mapping[str, BranchSpot]) -> Iterator[Mark]:
    """Splices at the spots that `build` gives them, where none is found at their place."""
    by_name = {str(run.branch.branch): run for run in layout.runs}
    for splice, where in spots.items():
        if where.branch in by_name:
            spot, heading = along(by_name[where.branch].points, where.at_mm)
            yield Mark(kind="splice", name=splice, at=spot, heading=heading)
    for place, at in layout.at.items():
        names = [
            str(joint.joint)
            for joint in tree.job.joints
            if joint.kind == "splice" and joint.place == place and str(joint.joint) not in spots
        ]
        if names:
            yield Mark(kind="splice", name=", ".join(names), at=at, heading=_heading(layout, place))
    for fixing in tree.job.fixings:
        run = by_name.get(str(fixing.branch))
        long = run.branch.length_mm if run else None
        if run is None or fixing.at_mm is None or not long or fixing.at_mm > long:
            continue
        spot, heading = along(run.points, fixing.at_mm)
        yield Mark(kind=fixing.kind, name=str(fixing.fixing), at=spot, heading=heading)


def _heading(layout: Layout, place: str) -> float:
    """Where the loom runs at a place [°]."""
    for run in layout.runs:
        if run.branch.from_place == place:
            return along(run.points, 0.0)[1]
    run = next(run for run in layout.runs if run.branch.to_place == place)
    return along(run.points, run.branch.length_mm or 0.0)[1]


def _notes(
    tree: LoomTree,
    piece: Piece,
    layout: Layout,
    across: Mapping[str, float],
    *,
    clear: float,
    first: bool,
) -> Iterator[str]:
    """What is not known of the loom, and where the board is less than it should be."""
    thin = [str(b.branch) for b in piece.branches if str(b.branch) not in across]
    if thin:
        yield f"Bundle width not known: {listed(thin)}. Only their middle line is drawn."
    if first:
        lost = [name for name, way in tree.ways.items() if way is None]
        if lost:
            yield f"Not on any board, as an end has no place on a branch: wires {listed(lost)}."
    yield from _lost_fixings(tree, piece)
    apart = [box.place for box in layout.boxes if box.leader is None]
    if apart:
        yield f"No room beside their place: the boxes of {listed(apart)} stand apart, by name."
    if layout.fan:
        yield "Found no better layout than a plain fan: it is large, and pegs may not fit between."
    if layout.clear_mm < clear:
        yield f"Stretches come as near as {layout.clear_mm:.3g} mm to each other, not {clear:g} mm."


def _lost_fixings(tree: LoomTree, piece: Piece) -> Iterator[str]:
    long = {str(branch.branch): branch.length_mm or 0.0 for branch in piece.branches}
    here = [fixing for fixing in tree.job.fixings if str(fixing.branch) in long]
    open_ = [str(each.fixing) for each in here if each.at_mm is None]
    if open_:
        yield f"Not drawn, as it is not known where on the branch: {listed(open_)}."
    beyond = [
        str(each.fixing)
        for each in here
        if each.at_mm is not None and each.at_mm > long[str(each.branch)]
    ]
    if beyond:
        yield f"Not drawn, as they lie beyond the end of their branch: {listed(beyond)}."


def _board(each: Board) -> dict[str, Any]:
    return {
        "piece": each.number,
        "wide_mm": plain(each.layout.wide_mm, 4),
        "high_mm": plain(each.layout.high_mm, 4),
        "fits_table": each.fits_table,
        "fan": each.layout.fan,
        "clear_mm": plain(each.layout.clear_mm, 3),
        "bend_mm": plain(each.layout.bend_mm, 3),
        "loom_mm": plain(each.loom_mm, 6),
        "pegs": each.pegs,
        "branches": [_run(run, each.across_mm) for run in each.layout.runs],
        "stations": [
            {"number": at.number, "why": at.why, "pegs": [_spot(peg) for peg in at.pegs]}
            for at in each.stations
        ],
        "marks": [
            {"kind": mark.kind, "name": mark.name, "at": _spot(mark.at)} for mark in each.marks
        ],
        "notes": list(each.notes),
    }


def _run(run: Run, across_mm: Mapping[str, float]) -> dict[str, Any]:
    across = across_mm.get(str(run.branch.branch))
    return {
        "branch": str(run.branch.branch),
        "length_mm": run.branch.length_mm,
        "across_mm": None if across is None else plain(across, 3),
        "points": [_spot(spot) for spot in run.points],
    }


def _spot(spot: Spot) -> list[float]:
    return [round(spot[0], 2), round(spot[1], 2)]


def size_words(each: Board) -> str:
    """How large a board is, in words: `2270 × 855 mm, 14 branches, 96 pegs`."""
    layout = each.layout
    branches = "1 branch" if len(layout.runs) == 1 else f"{len(layout.runs)} branches"
    pegs = counted(each.pegs, "peg")
    return f"{layout.wide_mm:.0f} × {layout.high_mm:.0f} mm, {branches}, {pegs}"
