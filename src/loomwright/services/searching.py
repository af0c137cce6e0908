"""Find rows by words, and tell a row in words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from functools import cache

from loomwright.loom import schema

__all__ = ["holds", "meant", "row_words", "sure_parts", "words_of"]

MOST_WORDS = 8
_FIGURES = ("number", "integer", "measured", "date")
"""Kinds of columns that are not looked into: a figure says nothing without its column."""
_JOINED = ("symptoms", "kind")
"""Columns of choices and words that are written with underscores."""
_LONGEST = 160
_PLAIN = re.compile(r"[a-z0-9]+")


def words_of(query: str) -> tuple[str, ...]:
    """The words that are looked for, in small letters.

    Examples
    --------
    >>> words_of("Kühler  1.5Ω")
    ('kühler', '1.5ω')
    """
    return tuple(dict.fromkeys(_alike(query).split()))[:MOST_WORDS]


def sure_parts(words: tuple[str, ...]) -> tuple[str, ...]:
    """Parts of the words that stand in every way of writing a row down.

    Letters beyond plain ones are written as codes by some storages, so they are left out.
    """
    return tuple(dict.fromkeys(part for word in words for part in _PLAIN.findall(word)))


def holds(table: str, cells: Mapping[str, str], words: tuple[str, ...]) -> bool:
    """Whether a row holds every word, in whichever of its cells."""
    text = _alike("\n".join(value for _, value in _spoken(table, cells)))
    return bool(words) and all(word in text for word in words)


def meant(table: str, cells: Mapping[str, str], words: tuple[str, ...]) -> bool:
    """Whether a whole cell is what was searched: a plug, where it is asked for by its name."""
    return any(
        _alike(" ".join(value.split())) == " ".join(words) for _, value in _spoken(table, cells)
    )


def row_words(table: str, cells: Mapping[str, str], words: tuple[str, ...] = ()) -> str:
    """A row in words: its cells without what it is called by, a searched word first when long.

    Parameters
    ----------
    table, cells : the row
    words : what was searched
    """
    known = schema.table(table)
    called = {known.key} if known.key else {column.name for column in known.required_columns[:2]}
    said = [_tidy(column, value) for column, value in _spoken(table, cells) if column not in called]
    if len(", ".join(said)) > _LONGEST:
        said.sort(key=lambda value: not any(word in _alike(value) for word in words))
    text = ", ".join(said)
    return text if len(text) <= _LONGEST else text[:_LONGEST].rpartition(" ")[0] + " …"


def _spoken(table: str, cells: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """The cells that are words, in the table's order, the person's own columns last."""
    columns = _kinds(table)
    for name in (*columns, *(name for name in cells if name not in columns)):
        if cells.get(name, "").strip() and columns.get(name) not in _FIGURES:
            yield name, cells[name]


@cache
def _kinds(table: str) -> dict[str, str]:
    return {column.name: column.kind for column in schema.table(table).columns}


def _tidy(column: str, value: str) -> str:
    """On one line, and words that a choice joins by underscores apart."""
    text = " ".join(value.split())
    return text.replace("_", " ") if column in _JOINED else text


def _alike(text: str) -> str:
    """One way of writing: small letters, accents joined to their letters, no underscores."""
    return unicodedata.normalize("NFC", text).lower().replace("_", " ")
