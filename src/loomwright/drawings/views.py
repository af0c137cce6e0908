"""A plug's face seen from either side, and what its pattern cannot tell.

Who walks round a plug sees each row turned left to right: in a face of n columns the cavity in
column c (from 0) of one view stands in column n - 1 - c of the other, in the same row.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import attrs

from loomwright.loom import Face

MATING, WIRE = "mating", "wire"
OTHER = {MATING: WIRE, WIRE: MATING}
SEEN = {MATING: "seen from the mating face", WIRE: "seen from the wire side"}

Place = tuple[int, int]
"""Column from the left and row from the top, both from 0."""
Motion = Callable[[int, int], Place]

TURNS: tuple[Motion, ...] = (lambda x, y: (-x, -y),)
"""Half a turn about the origin; what a quarter turn leaves the same, half a turn does, too."""
FLIPS: tuple[Motion, ...] = (
    lambda x, y: (-x, y),
    lambda x, y: (x, -y),
    lambda x, y: (y, x),
    lambda x, y: (-y, -x),
)
"""Left to right, top to bottom, and over both diagonals."""


@attrs.frozen
class View:
    """Where each cavity stands, seen from one side.

    Attributes
    ----------
    side : `mating` or `wire`
    columns, rows : size of the grid, gaps included
    at : place of each cavity
    """

    side: str
    columns: int
    rows: int
    at: Mapping[str, Place]

    @classmethod
    def of(cls, face: Face, side: str) -> View:
        """The face as it was recorded, from the side it was recorded from."""
        at = {
            name: (column, row)
            for row, names in enumerate(face.rows)
            for column, name in enumerate(names)
            if name is not None
        }
        return cls(side, max(len(names) for names in face.rows), len(face.rows), at)

    @property
    def other(self) -> View:
        """The same plug from the other side; the other side of that is this view again."""
        turned = {name: (self.columns - 1 - x, y) for name, (x, y) in self.at.items()}
        return View(OTHER[self.side], self.columns, self.rows, turned)


def both(face: Face, seen_from: str) -> tuple[View, View]:
    """The mating face and the wire side, in this order."""
    recorded = View.of(face, seen_from)
    return (recorded, recorded.other) if seen_from == MATING else (recorded.other, recorded)


def warnings(view: View, marks: Mapping[str, str]) -> tuple[str, ...]:
    """What a photo of this face cannot decide, in words; the last says what decides it.

    A photo may be held any way up, so the two sides look alike when a flip, followed by any turn,
    carries the pattern of cavities into itself.

    Parameters
    ----------
    view : either side
    marks : what can be seen in a cavity beside its shape: the letters of its wires
    """
    plain, marked = pattern(view, {}), pattern(view, marks)
    said = []
    if same(plain, FLIPS):
        helped = not same(marked, FLIPS)
        said.append(
            "The cavities look the same from both sides: a photo of them cannot tell which view "
            f"it is. {_colours(helped)}"
        )
    if same(plain, TURNS):
        helped = not same(marked, TURNS)
        said.append(
            "The cavities look the same turned round: a photo of them cannot tell which way up it "
            f"is. {_colours(helped)}"
        )
    if said:
        said.append(
            "Go by the numbers moulded into the shell, or mark the shell before it comes off."
        )
    return tuple(said)


def pattern(view: View, marks: Mapping[str, str]) -> frozenset[tuple[Place, str]]:
    """Places about the pattern's own centre, in half columns and rows, each with its mark."""
    columns = [x for x, _ in view.at.values()]
    rows = [y for _, y in view.at.values()]
    middle = (min(columns) + max(columns), min(rows) + max(rows))
    return frozenset(
        ((2 * x - middle[0], 2 * y - middle[1]), marks.get(name, ""))
        for name, (x, y) in view.at.items()
    )


def same(found: frozenset[tuple[Place, str]], motions: tuple[Motion, ...]) -> bool:
    """Whether any of the motions carries the pattern into itself."""
    return any(
        frozenset((motion(*place), mark) for place, mark in found) == found for motion in motions
    )


def _colours(helped: bool) -> str:
    if helped:
        return "The wires' colours, where seen, do tell."
    return "Neither can the wires' colours."
