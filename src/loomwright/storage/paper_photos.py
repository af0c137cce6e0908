"""Photos made ready for paper: upright and small; a drawing stays a drawing."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from loomwright.loom import InputProblems, NotFound, StorageFailed
from loomwright.storage.pictures import kind_of, shown

LONGEST = 900
"""Pixels of the longer side: more than 400 to the inch at a third of the page's width."""
MOST_DRAWING_BYTES = 500_000
"""A larger drawing is a photo in disguise, and would make the paper slow to open."""


def printable(names: Iterable[str], read: Callable[[str], bytes], *, most: int) -> dict[str, bytes]:
    """The first photos that can be printed, JPEG or SVG by name; what cannot be read is left out.

    Parameters
    ----------
    names : in the order in which they are wanted
    read : gives the file of a name, or raises what `services.ports.Photos.read` raises
    most : how many are wanted
    """
    made: dict[str, bytes] = {}
    for name in names:
        if len(made) >= most:
            break
        try:
            content = _ready(name, read(name))
        except (InputProblems, NotFound, StorageFailed):
            continue  # the paper names it
        if content:
            made[name] = content
    return made


def _ready(name: str, content: bytes) -> bytes:
    """The picture as it is printed; empty where it is too large for that."""
    if kind_of(content, name=name) == "svg":
        return content if len(content) <= MOST_DRAWING_BYTES else b""
    return shown(content, longest=LONGEST, name=name)
