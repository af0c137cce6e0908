"""Where a number came from and how far it can be trusted."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, Literal, get_args

import attrs

from loomwright.standards.csv_table import Row, not_found, rows

Standing = Literal["measured", "published", "derived", "common practice", "assumed"]
STANDINGS: tuple[str, ...] = get_args(Standing)


@attrs.frozen(kw_only=True)
class Source:
    """A document or a body of practice.

    Attributes
    ----------
    key : short name used in the tables
    body : author or body
    title, edition, clause, year : the place in it; blank when not known
    """

    key: str
    body: str
    title: str
    edition: str
    clause: str
    year: str

    @property
    def citation(self) -> str:
        """One line for a report: `body, title, edition 3, clause, year`."""
        edition = f"edition {self.edition}" if self.edition else ""
        parts = (self.body, self.title, edition, self.clause, self.year)
        return ", ".join(part for part in parts if part)


@attrs.frozen(kw_only=True)
class Sourced:
    """What every table row carries beside its values.

    Attributes
    ----------
    source : the document
    standing : measured, published, derived, common practice or assumed
    note : what the reader must know, "value from memory" among it; may be blank
    """

    source: Source
    standing: Standing
    note: str


@cache
def sources() -> Mapping[str, Source]:
    """All sources by key."""
    names = [field.name for field in attrs.fields(Source)]
    found = {
        row.text("key"): Source(**{name: row.text(name) for name in names})
        for row in rows("sources")
    }
    return MappingProxyType(found)


def source(key: str) -> Source:
    """The source of that key.

    Raises
    ------
    NotFound : no source has that key
    """
    if key not in sources():
        raise not_found("source", key, sources(), where="sources")
    return sources()[key]


def sourced(row: Row) -> dict[str, Any]:
    """The fields of `Sourced` read from a row."""
    return {
        "source": source(row.text("source")),
        "standing": row.text("standing"),
        "note": row.text("note"),
    }
