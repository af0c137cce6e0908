"""What somebody changed in a job, in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Literal

import attrs

from loomwright.loom import schema
from loomwright.services.kept_rows import Cells

Kind = Literal["added", "changed", "taken away"]
PICTURE = "photo"
"""Stands for the table where it is a photo's file that changed."""
_MOST_SHOWN = 6
_MANY = 4
_ONE_GO_S = 1.0
_VERBS = {"added": "added", "changed": "changed", "taken away": "took away"}
_AGAIN = {"added": "put back", "taken away": "took away again", "changed": "changed back"}
_CALLED = {"job": "the job", PICTURE: "the file of photo"}


@attrs.frozen(kw_only=True)
class Change:
    """One change of one row, or of one photo's file.

    Attributes
    ----------
    number : its own, by which it can be undone
    table : name of the table; `PICTURE` for a photo's file
    key : the row
    kind : what was done
    at : when
    by : who, blank where nobody said
    before, after : the row's cells; empty where it was not there
    back : whether it undid another one
    """

    number: int
    table: str
    key: str
    kind: Kind
    at: datetime
    by: str
    before: Cells
    after: Cells
    back: bool = False

    @property
    def cells(self) -> Cells:
        """The row as it stood last."""
        return self.after or self.before

    @property
    def columns(self) -> tuple[str, ...]:
        """The columns that differ, in the table's order."""
        known = [] if self.table == PICTURE else [c.name for c in schema.table(self.table).columns]
        all_ = dict.fromkeys([*known, *self.before, *self.after])
        return tuple(c for c in all_ if self.before.get(c, "") != self.after.get(c, ""))


@attrs.frozen
class Difference:
    """One field of a change, both blank where there was nothing."""

    column: str
    before: str
    after: str


def did(change: Change, one_row: Mapping[str, str]) -> str:
    """What was done: `changed reading R12`, `put back wire W7`.

    Parameters
    ----------
    one_row : what a row of each table is called
    """
    verb = (_AGAIN if change.back else _VERBS)[change.kind]
    return f"{verb} {named(change.table, change.cells, one_row)}"


def did_at_once(group: Sequence[Change]) -> str:
    """What was done where many rows of a table came in one go: `added 29 rows to offers`."""
    if group[0].table == PICTURE:
        return f"added the files of {len(group)} photos"
    return f"added {len(group)} rows to {group[0].table}"


def said(change: Change, one_row: Mapping[str, str]) -> str:
    """The whole of it: `Sam changed reading R12: value 1.2 → 1.3`."""
    told = "; ".join(
        f"{each.column.replace('_', ' ')} {each.before or 'blank'} → {each.after or 'blank'}"
        for each in differences(change)
    )
    who = f"{change.by or 'Somebody'} {did(change, one_row)}"
    return f"{who}: {told}" if told and change.kind == "changed" else who


def said_of_all(group: Sequence[Change], one_row: Mapping[str, str]) -> str:
    """The same of changes that are told together: `Sam added 29 rows to offers`."""
    if len(group) == 1:
        return said(group[0], one_row)
    return f"{group[0].by or 'Somebody'} {did_at_once(group)}"


def named(table: str, cells: Cells, one_row: Mapping[str, str]) -> str:
    """A row by its name or by what tells it from others: `wire W7`, `grade TE boot`."""
    called = _CALLED.get(table) or one_row.get(table, table)
    if table == "job":
        return called
    if table == PICTURE:
        return f"{called} {cells.get('name', '')}"
    words = [cells[name] for name in _telling(table) if cells.get(name)]
    return " ".join([called, *(words or [*cells.values()][:2])])


def differences(change: Change) -> tuple[Difference, ...]:
    """The fields that differ; of a row that came or went the first few."""
    if change.table == PICTURE:
        return ()
    found = tuple(
        Difference(column, change.before.get(column, ""), change.after.get(column, ""))
        for column in change.columns
    )
    if change.kind == "changed":
        return found
    telling = _telling(change.table)
    return tuple(each for each in found if each.column not in telling)[:_MOST_SHOWN]


def _telling(table: str) -> tuple[str, ...]:
    """The columns that tell a row from others."""
    known = schema.table(table)
    return (known.key,) if known.key else tuple(c.name for c in known.required_columns[:2])


def matching(change: Change, wanted: str, one_row: Mapping[str, str]) -> bool:
    """Whether every word that is looked for stands in the change, capitals aside."""
    values = (*change.before.values(), *change.after.values(), change.by, change.table)
    text = " ".join([did(change, one_row), *values]).casefold()
    return all(word in text for word in wanted.casefold().split())


def gathered(changes: Iterable[Change]) -> tuple[tuple[Change, ...], ...]:
    """Changes one by one, but rows of a table that came in one go together."""
    found: list[list[Change]] = []
    for each in changes:
        if found and _in_one_go(found[-1][-1], each):
            found[-1].append(each)
        else:
            found.append([each])
    few = (_apart(group) for group in found)
    return tuple(part for parts in few for part in parts)


def _apart(group: list[Change]) -> list[tuple[Change, ...]]:
    return [tuple(group)] if len(group) >= _MANY else [(each,) for each in group]


def _in_one_go(one: Change, other: Change) -> bool:
    return (
        one.kind == other.kind == "added"
        and (one.table, one.by, one.back) == (other.table, other.by, other.back)
        and abs((one.at - other.at).total_seconds()) < _ONE_GO_S
    )
