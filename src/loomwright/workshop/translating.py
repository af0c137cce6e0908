"""What the database raises, as an error of the family."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import DatabaseError

from loomwright.loom import StorageFailed


@contextmanager
def translated() -> Iterator[None]:
    """Turns what the database raises into StorageFailed."""
    try:
        yield
    except DatabaseError as failure:
        raise StorageFailed(
            "the workshop's database did not answer",
            expected="try again; if it stays so, look for a full disk or a server that is down",
        ) from failure
