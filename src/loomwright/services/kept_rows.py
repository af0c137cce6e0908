"""Rows of a job that is kept row by row: the port, and what becomes of two people's changes."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import AbstractContextManager
from typing import Protocol

import attrs

from loomwright.loom.errors import Conflict, Disputed
from loomwright.services.ports import JobRef

Cells = Mapping[str, str]
"""A row as text by column name, unknown columns included; a blank cell may be left out."""


@attrs.frozen
class KeptRow:
    """A row with the key under which it is kept; the key stays when rows around it go.

    Attributes
    ----------
    key : names the row within its job and table
    cells : the row as text by column, blank cells left out
    """

    key: str
    cells: Cells


class Rows(Protocol):
    """The rows of jobs that several people change one at a time.

    Law: what `put` took under a key is what `rows` gives under it, blank cells aside, in the order
    in which rows came; the same job read through `Jobs` has those rows.
    """

    def held(self, ref: JobRef) -> AbstractContextManager[None]:
        """Nobody else changes the job meanwhile; when an error leaves it, nothing was changed.

        Raises
        ------
        NotFound
            when no such job is kept.
        StorageFailed
            when the storage cannot be reached or stays locked.
        """
        ...

    def rows(self, ref: JobRef, table: str) -> tuple[KeptRow, ...]:
        """The rows of a table in their order.

        Raises
        ------
        NotFound
            when no such job is kept.
        """
        ...

    def put(self, ref: JobRef, table: str, key: str | None, cells: Cells) -> str:
        """Change the row of that key, or add one at the end when there is no key; its key.

        Raises
        ------
        NotFound
            when no such job or row is kept.
        InputProblems
            when a cell holds what no sheet can hold.
        """
        ...

    def remove(self, ref: JobRef, table: str, key: str) -> None:
        """Take a row away.

        Raises
        ------
        NotFound
            when no such job or row is kept.
        """
        ...


def filled(cells: Cells) -> dict[str, str]:
    """The cells without the blank ones."""
    return {column: text for column, text in cells.items() if text.strip()}


def merged(*, before: Cells, now: Cells, typed: Cells, where: str = "") -> dict[str, str]:
    """What a row becomes when a person who saw `before` typed `typed` and `now` stands there.

    A field that the person left alone keeps what another wrote meanwhile. The three-way rule of
    version control, field by field.

    Raises
    ------
    Conflict
        holding every field that both changed to different values.
    """
    disputed = []
    found = dict(now)
    for column, text in typed.items():
        was, stands = before.get(column, "").strip(), now.get(column, "").strip()
        yours = text.strip()
        if yours in (was, stands):
            continue
        if stands != was:
            disputed.append(Disputed(column, before=was, theirs=stands, yours=yours))
        found[column] = text
    if disputed:
        names = ", ".join(each.column for each in disputed)
        raise Conflict(
            f"somebody else changed {names} meanwhile", disputed=tuple(disputed), where=where
        )
    return filled(found)
