"""Pieces put into lengths of wire, quickly: what finds a plan nearly always, and proves nothing.

The fullest way to fill a length is a subset sum, told exactly by a row of bits: bit n is set where
some pieces together are n mm long (Bellman, Dynamic Programming, 1957). First fit and best fit,
the longest piece first: Johnson and others, SIAM J. Comput. 3 (1974) 299. Whole millimetres.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

Cuts = tuple[int, ...]
"""Lengths cut from one length of wire, the longest first [mm]."""


def reachable(pieces: Sequence[int], most_mm: int) -> int:
    """A row of bits: bit n is set where some of the pieces together are n mm long, up to a most.

    Examples
    --------
    Of 3 and 5 there can be made 0, 3, 5 and 8.

    >>> bin(reachable([3, 5], 10))
    '0b100101001'
    """
    mask, reach = (1 << (most_mm + 1)) - 1, 1
    for piece in pieces:
        reach |= (reach << piece) & mask
    return reach


def fullest_mm(reach: int, length_mm: int) -> int:
    """The most that can be cut from a length [mm], by the row of bits of `reachable`."""
    return (reach & ((1 << (length_mm + 1)) - 1)).bit_length() - 1


def fullest(pieces: Sequence[int], length_mm: int) -> Cuts:
    """Pieces that fill a length as far as any can; the first ones of the row where it can be.

    Examples
    --------
    >>> fullest([6, 5, 4, 3], 10)
    (6, 4)
    """
    mask, rows = (1 << (length_mm + 1)) - 1, [1]
    for piece in pieces:
        rows.append(rows[-1] | (rows[-1] << piece) & mask)
        if rows[-1] >> length_mm:  # no room is left over: further pieces cannot do better
            break
    left, taken = rows[-1].bit_length() - 1, []
    for number in range(len(rows) - 1, 0, -1):
        if not rows[number - 1] >> left & 1:
            taken.append(pieces[number - 1])
            left -= pieces[number - 1]
    return tuple(sorted(taken, reverse=True))


def placed(pieces: Sequence[int], lengths_mm: Sequence[int]) -> Iterator[tuple[Cuts, ...]]:
    """Ways in which all pieces come out of these lengths; none when none was found.

    Parameters
    ----------
    pieces : to be cut [mm]
    lengths_mm : there are [mm]

    Yields
    ------
    the cuts of each length, in their order
    """
    order = sorted(pieces, reverse=True)
    for way in _WAYS:
        found = way(order, lengths_mm)
        if found is not None:
            yield tuple(tuple(cuts) for cuts in found)


_Found = list[list[int]] | None


def _filled_up(order: Sequence[int], lengths: Sequence[int], *, longest_in: bool) -> _Found:
    """One length after another as full as it can be, the shortest first."""
    left = list(order)
    cuts: list[list[int]] = [[] for _ in lengths]
    for place in sorted(range(len(lengths)), key=lambda each: lengths[each]):
        room = lengths[place]
        first = next((piece for piece in left if piece <= room), None) if longest_in else None
        if first is not None:
            left.remove(first)
            cuts[place].append(first)
            room -= first
        more = fullest([piece for piece in left if piece <= room], room)
        for piece in more:
            left.remove(piece)
        cuts[place] += more
    return None if left else cuts


def _fitted(order: Sequence[int], lengths: Sequence[int], *, tightest: bool) -> _Found:
    """The longest piece first, into the first length with room, or into the tightest."""
    room = list(lengths)
    cuts: list[list[int]] = [[] for _ in lengths]
    for piece in order:
        fitting = [place for place, left in enumerate(room) if left >= piece]
        if not fitting:
            return None
        place = min(fitting, key=lambda each: room[each]) if tightest else fitting[0]
        room[place] -= piece
        cuts[place].append(piece)
    return cuts


_WAYS: tuple[Callable[[Sequence[int], Sequence[int]], _Found], ...] = (
    lambda order, lengths: _filled_up(order, lengths, longest_in=False),
    lambda order, lengths: _filled_up(order, lengths, longest_in=True),
    lambda order, lengths: _fitted(order, lengths, tightest=False),
    lambda order, lengths: _fitted(order, lengths, tightest=True),
)
