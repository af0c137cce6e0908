"""Turns: one at a time, in the order in which they were asked for."""

from __future__ import annotations

import threading
import time

import pytest

from loomwright.workshop.turns import Turns

PATIENCE_S = 10


def asked_for(turns: Turns, number: int) -> None:
    """Wait until so many have asked for a turn."""
    until = time.monotonic() + PATIENCE_S
    while turns._asked < number:
        assert time.monotonic() < until
        time.sleep(0.001)


def test_turns_are_given_in_the_order_they_were_asked_for() -> None:
    turns, order, holding = Turns(), [], []

    def wanting(number: int) -> None:
        with turns.turn():
            holding.append(number)
            order.append((number, len(holding)))
            holding.remove(number)

    with turns.turn():
        threads = []
        for number in range(5):
            threads.append(threading.Thread(target=wanting, args=(number,)))
            threads[-1].start()
            asked_for(turns, number + 2)
        assert order == []
    for thread in threads:
        thread.join(PATIENCE_S)
    assert order == [(number, 1) for number in range(5)]


def test_who_lets_go_and_asks_again_comes_after_who_waited() -> None:
    turns, order = Turns(), []

    def waiting() -> None:
        with turns.turn():
            order.append("waited")

    with turns.turn():
        thread = threading.Thread(target=waiting)
        thread.start()
        asked_for(turns, 2)
    with turns.turn():
        order.append("again")
    thread.join(PATIENCE_S)
    assert order == ["waited", "again"]


def test_a_turn_ends_with_a_failure() -> None:
    turns = Turns()
    with pytest.raises(ValueError, match="broken"), turns.turn():
        raise ValueError("broken")
    with turns.turn():
        pass
