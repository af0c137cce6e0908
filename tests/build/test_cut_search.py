"""Every way tried: against placing every piece everywhere, and giving up honestly."""

from __future__ import annotations

import doctest
import itertools
from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.build import cut_search
from loomwright.build.cut_search import tried


def comes_out(pieces: list[int], lengths: list[int]) -> bool:
    """Whether some placing of every piece keeps to the lengths."""
    for places in itertools.product(range(len(lengths)), repeat=len(pieces)):
        room = list(lengths)
        for piece, place in zip(pieces, places, strict=True):
            room[place] -= piece
        if min(room) >= 0:
            return True
    return False


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.integers(1, 12), min_size=1, max_size=7),
    st.lists(st.integers(1, 25), min_size=1, max_size=3),
)
def test_a_way_is_found_where_there_is_one(pieces: list[int], lengths: list[int]) -> None:
    found = tried(pieces, lengths)
    assert found.every
    assert (found.cuts is not None) == comes_out(pieces, lengths)
    if found.cuts is not None:
        assert Counter(itertools.chain(*found.cuts)) == Counter(pieces)
        assert all(sum(c) <= length for c, length in zip(found.cuts, lengths, strict=True))


def test_a_search_cut_short_claims_nothing() -> None:
    """Seven of 6 and six of 5 from six lengths of 14: no way, as each holds two of them."""
    pieces, lengths = [6] * 7 + [5] * 6, [14] * 6
    assert tried(pieces, lengths, most=1) == cut_search.Tried(cuts=None, every=False)
    assert tried(pieces, lengths) == cut_search.Tried(cuts=None, every=True)


def test_no_lengths_hold_nothing() -> None:
    assert tried([3], []) == cut_search.Tried(cuts=None, every=True)


def test_the_docstring_tells_true() -> None:
    assert doctest.testmod(cut_search).failed == 0
