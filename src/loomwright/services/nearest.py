"""The known name nearest to a mistyped one."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def nearest(typed: str, known: Iterable[str]) -> str:
    """A clause that names the nearest known names, eight at most."""
    names = list(known)
    close = get_close_matches(typed, names, n=3, cutoff=0.5) or names[:8]
    return f"known ones near it: {', '.join(close)}" if close else "there is none yet"
