"""Cut plans: published optima, every choice tried on small ones, and the laws each plan keeps."""

from __future__ import annotations

import doctest
import random
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.build import cut_plan
from loomwright.build.cut_plan import cut_lengths
from loomwright.build.cut_proof import BY_SEARCH, CutLengths, Proof
from loomwright.loom.errors import OutOfRange
from sample.cut_instances import TEXTBOOK, UNIFORM, UNIFORM_LENGTH

PIECES = st.lists(st.integers(1, 20), min_size=1, max_size=5)
DRAWER = st.lists(st.integers(3, 30), max_size=3)


def keeps_the_laws(found: CutLengths, pieces: list[int], drawer: list[int]) -> None:
    """Each piece once, no length cut too far, no length of the drawer twice, sums that add up."""
    assert Counter(cut for _, cuts in found.opened for cut in cuts) == Counter(pieces)
    assert all(0 < sum(cuts) <= length.length_mm for length, cuts in found.opened)
    taken = Counter(length.length_mm for length, _ in found.opened if not length.new)
    assert taken <= Counter(drawer)
    new = [length.length_mm for length, _ in found.opened if length.new]
    assert (len(new), sum(new)) == (found.reels.got, found.bought_mm.got)
    assert sum(length * count for length, count in taken.items()) == found.drawer_mm.got
    for proof in (found.reels, found.bought_mm, found.drawer_mm):
        assert proof.least <= proof.got


@pytest.mark.parametrize("name", TEXTBOOK)
def test_textbook_instances_are_proved(name: str) -> None:
    reel, counts, optimum = TEXTBOOK[name]
    pieces = [length for length, count in counts.items() for _ in range(count)]
    found = cut_lengths(pieces, reels_mm=[reel])
    assert (found.reels.got, found.reels.least) == (optimum, optimum)
    keeps_the_laws(found, pieces, [])


@pytest.mark.parametrize("name", UNIFORM)
def test_the_uniform_set_is_proved(name: str) -> None:
    bins, sizes = UNIFORM[name]
    found = cut_lengths(sizes, reels_mm=[UNIFORM_LENGTH], seconds=60.0)
    assert (found.reels.got, found.reels.least) == (bins, bins)
    keeps_the_laws(found, sizes, [])


def tried(pieces: list[int], drawer: list[int], reels: list[int]) -> tuple[int, int, int]:
    """Fewest reels, then least bought, then least of the drawer: every place for every piece."""
    best = (len(pieces) + 1, 0, 0)

    def put(place: int, room: list[int], new: list[tuple[int, int]]) -> None:
        nonlocal best
        if len(new) > best[0]:
            return
        if place == len(pieces):
            used = sum(mm for mm, left in zip(drawer, room, strict=True) if left < mm)
            best = min(best, (len(new), sum(mm for mm, _ in new), used))
            return
        piece = pieces[place]
        for at, left in enumerate(room):
            if left >= piece:
                room[at] -= piece
                put(place + 1, room, new)
                room[at] += piece
        for at, (length, left) in enumerate(new):
            if left >= piece:
                put(place + 1, room, [*new[:at], (length, left - piece), *new[at + 1 :]])
        for length in reels:
            if length >= piece:
                put(place + 1, room, [*new, (length, length - piece)])

    put(0, list(drawer), [])
    return best


@settings(max_examples=80, deadline=None)
@given(PIECES, DRAWER, st.lists(st.integers(20, 40), min_size=1, max_size=2, unique=True))
def test_no_plan_takes_less(pieces: list[int], drawer: list[int], reels: list[int]) -> None:
    found = cut_lengths(pieces, reels_mm=reels, drawer_mm=drawer)
    keeps_the_laws(found, pieces, drawer)
    got = (found.reels.got, found.bought_mm.got, found.drawer_mm.got)
    assert got == tried(pieces, drawer, reels)
    assert found.proved


@pytest.mark.parametrize("reels", [1, 2, 3, 5])
def test_reels_cut_up_without_waste_are_put_together_again(reels: int) -> None:
    """The optimum is known by construction: so many reels hold the pieces, and none is over."""
    made, pieces = random.Random(reels), list[int]()
    for _ in range(reels):
        left = 25_000
        while left > 4_000:
            pieces.append(made.randint(500, 4_000))
            left -= pieces[-1]
        pieces.append(left)
    found = cut_lengths(pieces, reels_mm=[25_000], keep_mm=500)
    assert found.reels == Proof(got=reels, least=reels)
    assert sum(length.length_mm for length, _ in found.opened) == sum(pieces)


def test_long_reels_with_many_pieces_are_proved() -> None:
    """61 different lengths on 100 m: far too many ways to list."""
    pieces = [500 + 53 * number for number in range(61)]
    found = cut_lengths(pieces, reels_mm=[100_000], drawer_mm=[4_000, 9_000, 2_500, 700])
    keeps_the_laws(found, pieces, [4_000, 9_000, 2_500, 700])
    assert found.proved
    assert found.reels.got == 2  # 127.2 m, of which the drawer has 16.2


def test_no_more_of_the_drawer_is_opened_than_must_be() -> None:
    """Ten of 3 m: 8 from the reel of 25 m, 2 from the drawer, out of its 3 m and 5 m."""
    found = cut_lengths([3_000] * 10, reels_mm=[25_000], drawer_mm=[2_000, 2_000, 5_000, 3_000])
    assert found.reels.got == 1
    assert found.drawer_mm == Proof(got=8_000, least=8_000)


def test_the_drawer_stays_shut_where_the_reels_hold_all() -> None:
    """24 m need a reel of 25 m, as the drawer has 12 m; the reel alone does."""
    found = cut_lengths([3_000] * 8, reels_mm=[25_000], drawer_mm=[2_000, 2_000, 5_000, 3_000])
    assert (found.reels.got, found.drawer_mm) == (1, Proof(got=0, least=0))


def test_a_long_offcut_stays_whole_where_a_short_one_does() -> None:
    found = cut_lengths([900, 800], reels_mm=[25_000], drawer_mm=[6_000, 1_800, 2_500])
    assert [length.length_mm for length, _ in found.opened] == [1_800]


def test_the_shortest_reel_that_does_is_taken() -> None:
    found = cut_lengths([3_000, 3_000, 3_000], reels_mm=[5_000, 10_000, 25_000])
    assert found.bought_mm == Proof(got=10_000, least=10_000)


def test_a_gap_of_the_linear_program_is_closed() -> None:
    """44, 33 and 12 from 132, the program at 259/132: O. Marcotte, Math. Program. 33 (1985).

    Two lengths would have to be filled to 127 at least, and no pieces are 127 to 132 together.
    """
    found = cut_lengths([44] * 2 + [33] * 3 + [12] * 6, reels_mm=[132])
    assert (found.reels.got, found.reels.least) == (3, 3)


def test_a_proof_by_search_says_so() -> None:
    """4, 8 and 9 from 4, 7, 14 and 16: by length 25 would do, were there a second piece of 4."""
    found = cut_lengths([4, 8, 9], reels_mm=[20], drawer_mm=[4, 7, 14, 16])
    assert found.drawer_mm == Proof(got=30, least=30, by=BY_SEARCH)


def test_without_time_the_plan_holds_and_tells_its_gap() -> None:
    bins, sizes = UNIFORM["u120_00"]
    found = cut_lengths(sizes, reels_mm=[UNIFORM_LENGTH], seconds=0.0)
    keeps_the_laws(found, sizes, [])
    assert found.reels.least <= bins <= found.reels.got


def test_short_ends_are_gathered_into_one_that_can_be_kept() -> None:
    """Two reels of 10 m for 12 m: three pieces from one, so that 7 m stay in one piece."""
    found = cut_lengths([3_000] * 4, reels_mm=[10_000], keep_mm=500)
    ends = sorted(length.length_mm - sum(cuts) for length, cuts in found.opened)
    assert ends == [1_000, 7_000]


def test_nothing_to_cut_opens_nothing() -> None:
    found = cut_lengths([], reels_mm=[10])
    assert (found.opened, found.reels.got, found.proved) == ((), 0, True)


@pytest.mark.parametrize(
    ("pieces", "reels", "drawer", "words"),
    [
        ([0], [10], [], "0 mm is not possible"),
        ([3], [10], [-4], "-4 mm is not possible"),
        ([11], [10], [20], "a piece of 11 mm cannot be cut from 10 mm"),
        ([11], [], [], "a piece of 11 mm cannot be cut from 0 mm"),
    ],
)
def test_what_cannot_be_cut_is_named(
    pieces: list[int], reels: list[int], drawer: list[int], words: str
) -> None:
    with pytest.raises(OutOfRange, match=words):
        cut_lengths(pieces, reels_mm=reels, drawer_mm=drawer)


def test_the_same_pieces_give_the_same_plan() -> None:
    pieces = [1 + 7 * number % 40 for number in range(20)]
    plans = [cut_lengths(some, reels_mm=[90], drawer_mm=[60, 30]) for some in
             (pieces, pieces[::-1])]  # fmt: skip
    assert plans[0] == plans[1]


def test_the_docstring_tells_true() -> None:
    assert doctest.testmod(cut_plan).failed == 0
