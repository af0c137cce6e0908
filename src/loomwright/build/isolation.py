"""The fewest tests that show all nets apart, and the way to the pair that is not.

With a fixture that ties points together, ⌈log₂ n⌉ tests are enough: number the nets from 0, and in
test t put those whose digit t in binary is 1 on red, the others on black. Two numbers differ in one
digit at least, so each pair is on two sides at least once. Fewer cannot do: t tests give each net
one of 2^t rows of sides, and two nets with the same row are never on two sides.

By hand n - 1 tests are enough: each net against all that follow it, tied together.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import attrs
import numpy as np
from numpy.typing import NDArray

Item = TypeVar("Item")


@attrs.frozen
class Split:
    """One test: everything on red against everything on black.

    Attributes
    ----------
    red, black : numbers of the nets on each side
    """

    red: tuple[int, ...]
    black: tuple[int, ...]

    @property
    def more(self) -> int:
        """Tests that half-splitting takes at most when this one fails."""
        return halvings(len(self.red)) + halvings(len(self.black))


def halvings(count: int) -> int:
    """⌈log₂ n⌉: how often so many things are halved until one is left; 0 for none.

    Examples
    --------
    >>> [halvings(count) for count in (1, 2, 3, 4, 5, 24, 60)]
    [0, 1, 2, 2, 3, 5, 6]
    """
    return max(count - 1, 0).bit_length()


def group_tests(count: int) -> tuple[Split, ...]:
    """With a fixture: the fewest tests for so many nets.

    Examples
    --------
    >>> [(test.red, test.black) for test in group_tests(3)]
    [((1,), (0, 2)), ((2,), (0, 1))]
    """
    return tuple(
        Split(
            tuple(net for net in range(count) if net >> digit & 1),
            tuple(net for net in range(count) if not net >> digit & 1),
        )
        for digit in range(halvings(count))
    )


def hand_tests(count: int) -> tuple[Split, ...]:
    """By hand: each net against all that follow it, one fewer than there are nets."""
    return tuple(Split((net,), tuple(range(net + 1, count))) for net in range(count - 1))


def sides(tests: Sequence[Split], count: int) -> NDArray[np.int8]:
    """On which side each net is in each test: 1 red, -1 black, 0 neither; shape (tests, nets)."""
    found = np.zeros((len(tests), count), dtype=np.int8)
    for row, test in zip(found, tests, strict=True):
        row[list(test.red)] = 1
        row[list(test.black)] = -1
    return found


def parted(sides: NDArray[np.int8], one: int, other: int) -> bool:
    """Whether some test has two nets on two sides.

    Parameters
    ----------
    sides : as `sides` gives them
    one, other : numbers of the nets
    """
    return bool((sides[:, one] * sides[:, other] == -1).any())


def joined_pair(
    red: Sequence[Item],
    black: Sequence[Item],
    joins: Callable[[Sequence[Item], Sequence[Item]], bool],
) -> tuple[Item, Item]:
    """The pair behind a test that failed, by halving red, then black.

    Parameters
    ----------
    red, black : the two sides of the test that failed
    joins : makes a test: whether anything of the first joins anything of the second

    Returns
    -------
    one of red and one of black that are joined, after `Split.more` tests at most
    """
    one = _halved(red, lambda part: joins(part, black))
    return one, _halved(black, lambda part: joins([one], part))


def _halved(items: Sequence[Item], joins: Callable[[Sequence[Item]], bool]) -> Item:
    while len(items) > 1:
        first, second = items[: len(items) // 2], items[len(items) // 2 :]
        # The whole failed, so what the first half does not join the second does.
        items = first if joins(first) else second
    return items[0]
