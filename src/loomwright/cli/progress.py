"""A sign of life on standard error while something takes long, on a terminal only."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def working(what: str) -> Iterator[Callable[[str, float], bool]]:
    """Show what is being done; yields what a service calls with its step and the share done.

    Parameters
    ----------
    what : the work in a few words
    """
    if not sys.stderr.isatty():
        yield lambda _step, _share: True
        return
    from rich.console import Console

    with Console(stderr=True, markup=False).status(f"{what} …") as status:

        def progress(step: str, share: float) -> bool:
            status.update(f"{what}: {step} {share:.0%} …")
            return True

        yield progress
