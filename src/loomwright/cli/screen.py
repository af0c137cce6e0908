"""The terminal: one console with our widths and colours, UTF-8 everywhere, JSON as JSON."""

from __future__ import annotations

import io
import json
import sys
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rich.console import Console

WIDEST = 100
"""Longer lines are hard to follow with a finger on the page [columns]."""

STYLES = {
    "head": "bold",
    "good": "green",
    "bad": "bold red",
    "care": "magenta",
    "quiet": "none",
}
"""Only colours that stay legible on dark and on light; a mark or a word always says the same."""


def speak_utf8() -> None:
    """Make output UTF-8 whatever the system's code page: Ω and ° must not stop the work."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and stream.encoding.lower() != "utf-8":
            stream.reconfigure(encoding="utf-8", errors="replace")


def console() -> Console:
    """A console on standard output, at most `WIDEST` columns wide."""
    from rich.console import Console
    from rich.theme import Theme

    made = Console(highlight=False, markup=False, emoji=False, theme=Theme(STYLES))
    made.width = min(made.width, WIDEST)
    return made


def clean(text: str) -> str:
    """Text without control characters: a job's words cannot steer the terminal."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def print_json(document: Any) -> None:
    """A document as JSON on standard output, letters as they are."""
    sys.stdout.write(json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n")
