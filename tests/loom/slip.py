"""A slip in the small job, and what must be said about it."""

from __future__ import annotations

import attrs

from sample.jobs import Edits


@attrs.frozen
class Case:
    """A slip: what is changed, and where it must be told (table, row, column)."""

    name: str
    edits: Edits
    where: tuple[str, int, str]
    says: str
    warning: bool = False
