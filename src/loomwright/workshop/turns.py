"""A queue for what only one at a time may do: first come, first served."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager


class Turns:
    """A lock that goes to who has waited longest.

    `threading.Lock` promises no order: who lets go of it and wants it again at once mostly gets it,
    and the others wait on.
    """

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._asked = 0
        self._served = 0

    @contextmanager
    def turn(self) -> Iterator[None]:
        """Wait for one's turn, and hold it. A thread that holds it must not ask for another."""
        with self._changed:
            mine = self._asked
            self._asked += 1
            self._changed.wait_for(lambda: self._served == mine)
        try:
            yield
        finally:
            with self._changed:
                self._served += 1
                self._changed.notify_all()
