"""The store of solutions: made once, the oldest let go."""

from __future__ import annotations

from loomwright.diagnosis.kept import Kept


def test_a_solution_is_made_once() -> None:
    kept: Kept[str, list[int]] = Kept(10, len)
    first = kept.get("one", lambda: [1, 2])
    assert kept.get("one", list) is first


def test_the_oldest_go_when_there_is_too_much() -> None:
    kept: Kept[int, list[int]] = Kept(10, len)
    for number in range(6):
        kept.get(number, lambda: [0] * 4)
    assert len(kept) == 3
    again = kept.get(5, list)
    assert again == [0] * 4
    assert kept.get(0, list) == []
