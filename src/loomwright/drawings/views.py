"""A plug's face seen from either side, and what its pattern cannot tell.

Who walks round a plug sees each row turned left to right: in a face of n columns the cavity in
column c (from 0) of one view stands in column n - 1 - c of the other, in the same row. What sits
on the shell goes with it: a latch on the left of one view is on the right of the other, one at the
top stays at the top.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import combinations

import attrs

from loomwright.loom import Face, schema

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
ROUND = FLIPS[0]
"""What walking round the plug does to a place measured from its middle."""

TOWARDS: Mapping[str, Place] = dict(
    zip(schema.SIDES, ((0, -1), (0, 1), (-1, 0), (1, 0)), strict=True)
)
"""Each side of the shell as a direction from the middle, right and down counted up."""
LATCH, KEY, COLOURS = "the latch", "the key", "the wires' colours"
"""What tells views apart where the cavities alone do not."""


@attrs.frozen
class View:
    """Where each cavity stands, seen from one side.

    Attributes
    ----------
    side : `mating` or `wire`
    columns, rows : size of the grid, gaps included
    at : place of each cavity
    latch : side of the shell it sits on in this view; empty where there is none or none is known
    keys : the same of keys and ribs, in the order of the sides
    """

    side: str
    columns: int
    rows: int
    at: Mapping[str, Place]
    latch: str = ""
    keys: tuple[str, ...] = ()

    @classmethod
    def of(cls, face: Face, side: str, *, latch: str = "", keys: Iterable[str] = ()) -> View:
        """The face as it was recorded, from the side it was recorded from."""
        at = {
            name: (column, row)
            for row, names in enumerate(face.rows)
            for column, name in enumerate(names)
            if name is not None
        }
        columns = max(len(names) for names in face.rows)
        return cls(side, columns, len(face.rows), at, latch, _ordered(keys))

    @property
    def other(self) -> View:
        """The same plug from the other side; the other side of that is this view again."""
        return View(
            OTHER[self.side],
            self.columns,
            self.rows,
            {name: self._turned(place) for name, place in self.at.items()},
            turned_side(self.latch),
            _ordered(map(turned_side, self.keys)),
        )

    def _turned(self, place: Place) -> Place:
        """A place from the other side; measured in half columns and rows from the middle."""
        wide, high = self.columns - 1, self.rows - 1
        x, y = ROUND(2 * place[0] - wide, 2 * place[1] - high)
        return (x + wide) // 2, (y + high) // 2


def turned_side(side: str) -> str:
    """A side of the shell as it is seen from the other side; no side stays none.

    Examples
    --------
    >>> turned_side("left"), turned_side("top"), turned_side("")
    ('right', 'top', '')
    """
    if not side:
        return ""
    there = ROUND(*TOWARDS[side])
    return next(name for name, towards in TOWARDS.items() if towards == there)


def _ordered(sides: Iterable[str]) -> tuple[str, ...]:
    """Sides once each, in their own order."""
    wanted = set(sides)
    return tuple(side for side in schema.SIDES if side in wanted)


def both(
    face: Face, seen_from: str, *, latch: str = "", keys: Iterable[str] = ()
) -> tuple[View, View]:
    """The mating face and the wire side, in this order."""
    recorded = View.of(face, seen_from, latch=latch, keys=keys)
    return (recorded, recorded.other) if seen_from == MATING else (recorded.other, recorded)


def warnings(view: View, marks: Mapping[str, str]) -> tuple[str, ...]:
    """What a photo of this face cannot decide, in words; the last says what decides it.

    A photo may be held any way up, so the two sides look alike when a flip, followed by any turn,
    carries the pattern of cavities into itself. What else can be seen tells them apart when it is
    not carried into itself, too.

    Parameters
    ----------
    view : either side
    marks : what can be seen in a cavity beside its shape: the letters of its wires
    """
    said, told = [], []
    for motions, alike, asked in (
        (FLIPS, "from both sides", "which view it is"),
        (TURNS, "turned round", "which way up it is"),
    ):
        if same(pattern(view, {}), motions):
            found = clues(view, marks, motions)
            told.append(next((each for each in found if COLOURS not in each), None))
            said.append(
                f"The cavities look the same {alike}: a photo of them cannot tell {asked}. "
                f"{' '.join(_in_words(found, view))}"
            )
    if not said:
        return ()
    by_shell = [each for each in told if each is not None]
    return (*said, _advice(by_shell if len(by_shell) == len(told) else []))


def clues(
    view: View, marks: Mapping[str, str], motions: tuple[Motion, ...]
) -> tuple[tuple[str, ...], ...]:
    """What must be seen beside the cavities to tell, each with nothing needless in it.

    Parameters
    ----------
    view : either side
    marks : letters of the wires by cavity
    motions : what carries the cavities into themselves
    """
    found: list[tuple[str, ...]] = []
    for count in (1, 2, 3):
        for chosen in combinations(_recorded(view), count):
            if any(set(each) <= set(chosen) for each in found):
                continue
            seen = pattern(view, marks if COLOURS in chosen else {}) | _on_shell(view, chosen)
            if not same(seen, motions):
                found.append(chosen)
    return tuple(found)


def pattern(view: View, marks: Mapping[str, str]) -> frozenset[tuple[Place, str]]:
    """Places about the pattern's own centre, in half columns and rows, each with its mark."""
    columns = [x for x, _ in view.at.values()]
    rows = [y for _, y in view.at.values()]
    middle = (min(columns) + max(columns), min(rows) + max(rows))
    return frozenset(
        ((2 * x - middle[0], 2 * y - middle[1]), f"cavity {marks.get(name, '')}")
        for name, (x, y) in view.at.items()
    )


def same(found: frozenset[tuple[Place, str]], motions: tuple[Motion, ...]) -> bool:
    """Whether any of the motions carries the pattern into itself."""
    return any(
        frozenset((motion(*place), mark) for place, mark in found) == found for motion in motions
    )


def _recorded(view: View) -> tuple[str, ...]:
    """What is known to be seen beside the cavities."""
    return (*((LATCH,) if view.latch else ()), *((KEY,) if view.keys else ()), COLOURS)


def _on_shell(view: View, chosen: tuple[str, ...]) -> frozenset[tuple[Place, str]]:
    """Directions in which what is chosen sits on the shell, each with its mark."""
    sides = [(LATCH, view.latch), *((KEY, side) for side in view.keys)]
    return frozenset((TOWARDS[side], what) for what, side in sides if what in chosen)


def _in_words(found: tuple[tuple[str, ...], ...], view: View) -> Iterator[str]:
    """What tells, and what is recorded and does not."""
    alone = [clue[0] for clue in found if len(clue) == 1]
    if alone:
        verb = "do" if alone[-1] == COLOURS else "does"
        yield f"{_capital(_listed(alone, 'or'))}, where seen, {verb} tell."
    joined = [_listed(clue, "and") for clue in found if len(clue) > 1]
    if joined:
        yield f"{_capital(', or '.join(joined))}, seen together, do tell."
    helping = {each for clue in found for each in clue}
    rest = [each for each in _recorded(view) if each not in helping]
    if rest and not found:
        yield f"Neither can {_listed(rest, 'or')}."
    elif rest:
        several = len(rest) > 1 or rest == [COLOURS]
        yield f"{_capital(_listed(rest, 'and'))} {'do' if several else 'does'} not."


def _advice(by_shell: list[tuple[str, ...]]) -> str:
    """What to do: a photo with the latch or key in it where that decides everything."""
    if by_shell:
        needed = [each for each in (LATCH, KEY) if any(each in clue for clue in by_shell)]
        return f"Take photos so that {_listed(needed, 'and')} can be seen in them."
    return "Go by the numbers moulded into the shell, or mark the shell before it comes off."


def _listed(words: Iterable[str], last: str) -> str:
    *first, end = words
    return f"{', '.join(first)} {last} {end}" if first else end


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]
