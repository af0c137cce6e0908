"""Moments as a job writes them."""

from __future__ import annotations

from datetime import datetime

FORM = "%Y-%m-%d %H:%M"
"""As `taken_at` and its like are written."""


def now_text() -> str:
    """The moment by this machine's clock, `2026-05-14 10:20`."""
    return datetime.now().strftime(FORM)


def moment(text: str) -> datetime | None:
    """The moment that a text names; None when it is written in another way."""
    try:
        return datetime.strptime(text.strip(), FORM)
    except ValueError:
        return None
