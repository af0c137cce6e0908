"""How many of a thing, in words; needs nothing else, so that a failure can be told at once."""

from __future__ import annotations


def counted(number: int, thing: str) -> str:
    """How many: `1 problem`, `2 problems`."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"
