"""Cutting wire from reels of one length: the fewest reels, proven, because pieces cannot be joined.

With a_jp pieces of length j in pattern p, and x_p reels cut by that pattern,

    min  Σ x_p      Σ a_jp x_p >= pieces of length j      x_p whole

over all maximal patterns: those that no further piece fits in (Gilmore and Gomory, Operations
Research 9 (1961) 849). Solved exactly by branch and cut (HiGHS: Huangfu and Hall, Math. Prog. Comp.
10 (2018) 119). All lengths are whole millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import attrs
import numpy as np

from loomwright.loom.errors import OutOfRange

Pattern = tuple[tuple[int, int], ...]
"""Length [mm] and how many of it, the longest first."""
MOST_PATTERNS = 20_000
_STEPS_MM = (1, 10, 50, 100, 250, 500)


@attrs.frozen(kw_only=True)
class CutPlan:
    """How reels are cut.

    Attributes
    ----------
    cuts : a pattern per reel: the lengths that are cut from it, the longest first [mm]
    waste_mm : what is left over of all reels together
    """

    cuts: tuple[tuple[int, ...], ...]
    waste_mm: int


def patterns(
    pieces: Mapping[int, int], length_mm: int, *, most: int = MOST_PATTERNS
) -> tuple[Pattern, ...]:
    """Every maximal way to cut one reel, no piece more often than it is wanted.

    Parameters
    ----------
    pieces : how many are wanted of each length [mm]; what is too long for the reel is left out
    length_mm : of the reel
    most : ways that may be found

    Raises
    ------
    OutOfRange
        when a length is not above 0, or there are too many ways.
    """
    for length in (*pieces, length_mm):
        if length <= 0:
            raise OutOfRange(
                f"{length} mm is not possible", where="length", expected="give a length above 0"
            )
    lengths = sorted((each for each, count in pieces.items() if count > 0), reverse=True)
    found: list[Pattern] = []
    for pattern in _filled(lengths, pieces, length_mm):
        found.append(pattern)
        if len(found) > most:
            raise OutOfRange(
                f"{len(lengths)} different lengths can be cut from {length_mm} mm in more than "
                f"{most} ways",
                where="cutting",
                expected="make the lengths alike, such as to the next 50 mm",
            )
    return tuple(found)


def _filled(lengths: list[int], pieces: Mapping[int, int], room: int) -> Iterator[Pattern]:
    """Maximal patterns, depth first; the longest piece as often as it fits, then less often."""
    if sum(length * pieces[length] for length in lengths) <= room:
        yield tuple((length, pieces[length]) for length in lengths)
        return

    def deeper(place: int, left: int, least_refused: int, taken: Pattern) -> Iterator[Pattern]:
        if place == len(lengths):
            if taken and left < least_refused:
                yield taken
            return
        length = lengths[place]
        most = min(pieces[length], left // length)
        for count in range(most, -1, -1):
            # Once a length is used less often than wanted, no room for it may stay.
            refused = min(least_refused, length) if count < pieces[length] else least_refused
            more = (*taken, (length, count)) if count else taken
            yield from deeper(place + 1, left - count * length, refused, more)

    yield from deeper(0, room, room + 1, ())


def fewest_reels(pieces: Mapping[int, int], length_mm: int) -> CutPlan:
    """The fewest reels of one length that all pieces can be cut from; a proven optimum.

    Parameters
    ----------
    pieces : how many are wanted of each length [mm]
    length_mm : of a reel

    Raises
    ------
    OutOfRange
        when a piece is longer than the reel, a length is not above 0, or there are too many ways.

    Examples
    --------
    Lengths of 6, 5, 4, 3 once and 2 twice from 10: 6 + 4, 5 + 3 + 2, 2.

    >>> len(fewest_reels({6: 1, 5: 1, 4: 1, 3: 1, 2: 2}, 10).cuts)
    3
    """
    # late: a second of loading for a few milliseconds of work
    from scipy.optimize import Bounds, LinearConstraint, milp

    wanted = {length: count for length, count in pieces.items() if count > 0}
    if not wanted:
        return CutPlan(cuts=(), waste_mm=0)
    if max(wanted) > length_mm:
        raise OutOfRange(
            f"a piece of {max(wanted)} mm cannot be cut from {length_mm} mm",
            where="cutting",
            expected="take a longer reel",
        )
    ways = patterns(wanted, length_mm)
    lengths = list(wanted)
    count_in = np.zeros((len(lengths), len(ways)))
    for column, way in enumerate(ways):
        for length, count in way:
            count_in[lengths.index(length), column] = count
    done = milp(
        np.ones(len(ways)),
        constraints=LinearConstraint(count_in, np.array(list(wanted.values()), float), np.inf),
        integrality=np.ones(len(ways)),
        bounds=Bounds(0.0, np.inf),
        options={"mip_rel_gap": 0.0},
    )
    reels = [
        way for way, times in zip(ways, done.x, strict=True) for _ in range(round(float(times)))
    ]
    cuts = without_surplus(reels, wanted)
    used = sum(length * count for length, count in wanted.items())
    return CutPlan(cuts=cuts, waste_mm=len(cuts) * length_mm - used)


def without_surplus(reels: list[Pattern], wanted: Mapping[int, int]) -> tuple[tuple[int, ...], ...]:
    """The cuts of each reel, what would be more than is wanted left uncut."""
    left = dict(wanted)
    cuts = []
    for reel in reels:
        cut: list[int] = []
        for length, count in reel:
            taken = min(count, left.get(length, 0))
            if taken:
                left[length] -= taken
                cut += [length] * taken
        cuts.append(tuple(cut))
    return tuple(cuts)


def alike(
    pieces: Mapping[int, int],
    reels_mm: Iterable[int],
    *,
    sold_mm: int | None = None,
    most: int = MOST_PATTERNS,
) -> dict[int, int]:
    """Lengths rounded up just so far that there are few enough ways to cut them [mm].

    A piece that fits the longest reel on sale is never made too long for it. What is cut by the
    rounded lengths can be cut; it may then take more wire than it must.

    Parameters
    ----------
    pieces : how many are wanted of each length [mm]
    reels_mm : the reels they are cut from
    sold_mm : the longest reel that there is any number of; the longest of all when not given
    most : ways to cut one reel that may be found

    Returns
    -------
    the rounded length of each

    Raises
    ------
    OutOfRange
        when even rough lengths can be cut in too many ways.
    """
    reels = sorted(set(reels_mm))
    longest = max(reels, default=0) if sold_mm is None else sold_mm
    *finer, coarsest = _STEPS_MM
    for step in finer:
        rounded = _rounded(pieces, longest, step)
        try:
            _all_patterns(pieces, rounded, reels, most)
        except OutOfRange:
            continue
        return rounded
    rounded = _rounded(pieces, longest, coarsest)
    _all_patterns(pieces, rounded, reels, most)
    return rounded


def _rounded(pieces: Mapping[int, int], longest: int, step: int) -> dict[int, int]:
    found = {}
    for length in pieces:
        up = -(-length // step) * step
        found[length] = length if length <= longest < up else up
    return found


def _all_patterns(
    pieces: Mapping[int, int], rounded: Mapping[int, int], reels: list[int], most: int
) -> None:
    counts: dict[int, int] = {}
    for length, count in pieces.items():
        counts[rounded[length]] = counts.get(rounded[length], 0) + count
    for reel in reels:
        patterns({each: n for each, n in counts.items() if each <= reel}, reel, most=most)
