"""Names: used once, and known where they are used."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from functools import cached_property

import attrs

from loomwright.loom import schema
from loomwright.loom.cells import bound_problem, cell_text, nearest
from loomwright.loom.errors import Problem, Where
from loomwright.loom.identity import Point
from loomwright.loom.records import Job, Reading
from loomwright.loom.schema import Column
from loomwright.loom.topology import Topology

SINGULAR = {
    "plugs": "plug",
    "joints": "joint",
    "wires": "wire",
    "devices": "device",
    "elements": "element",
    "curves": "curve",
    "meters": "meter",
    "readings": "reading",
    "branches": "branch",
    "fixings": "fixing",
    "zones": "zone",
    "catalogue": "part",
    "suppliers": "supplier",
}
"""What one row of each named table is called."""


@attrs.define(slots=False, eq=False)
class Evidence:
    """What a rule looks at: the job, its topology, and names in rows that could not be read."""

    job: Job
    unread: frozenset[str] = frozenset()
    mentioned: frozenset[str] = frozenset()
    suggestions_left: int = 100

    @cached_property
    def topology(self) -> Topology:
        """Look-ups over the loom."""
        return Topology(self.job)

    @cached_property
    def meets(self) -> dict[Point, Point]:
        """What a cavity meets when its plug is on, and the cavity that a pin meets."""
        cavities = (
            Point(plug.plug, name) for plug in self.job.plugs for name in plug.face.cavities
        )
        found: dict[Point, Point] = {}
        for cavity in cavities:
            met = self.topology.across(cavity)
            if met:
                found[cavity] = met
                found.setdefault(met, cavity)
        return found

    @cached_property
    def taken(self) -> tuple[tuple[str, Reading], ...]:
        """Every reading with its table: before the work, and after it."""
        return (
            *(("readings", reading) for reading in self.job.readings),
            *(("proof", reading) for reading in self.job.proof),
        )

    @cached_property
    def names(self) -> dict[str, dict[str, None]]:
        """Known names by table, in sheet order."""
        found: dict[str, dict[str, None]] = {}
        for table, word in SINGULAR.items():
            rows = self.job.rows(table)
            found[table] = dict.fromkeys(getattr(row, word) for row in rows)
        return found

    def unknown(self, name: str, tables: Sequence[str], where: Where) -> Problem | None:
        """The problem of a name that stands in none of the tables, or None."""
        if name in self.unread or any(name in self.names[table] for table in tables):
            return None
        known = [each for table in tables for each in self.names[table]]
        words = " or ".join(SINGULAR[table] for table in tables)
        return Problem(where, f'there is no {words} "{name}"', self.cure(name, known, tables))

    def cure(self, name: str, known: Collection[str], tables: Sequence[str]) -> str:
        """`did you mean "T4"?`, or what to do where nothing is near.

        Looking for a near name takes long where thousands are known, so it is not done for ever.
        """
        self.suggestions_left -= 1
        near = nearest(name, list(known)) if self.suggestions_left >= 0 else None
        if near:
            return f'did you mean "{near}"?'
        return f"add it to {' or '.join(tables)}, or correct the name"


Rule = Callable[[Evidence], Iterable[Problem]]
"""Looks at the evidence and tells what is wrong in one respect."""


def duplicate_keys(evidence: Evidence) -> Iterator[Problem]:
    """Two rows with the same name in a table where names must differ."""
    for table in schema.TABLES:
        first: dict[str, int] = {}
        for record in evidence.job.rows(table.name) if table.key else ():
            name = getattr(record, table.key)
            if name in first:
                yield Problem(
                    Where(table.name, record.row, table.key),
                    f'"{name}" is there twice, first in row {first[name]}',
                    "give one of them another name, or delete it",
                )
            first.setdefault(name, record.row)


def ambiguous_names(evidence: Evidence) -> Iterator[Problem]:
    """One name for two things of which a point could mean either."""
    owners: dict[str, str] = {}
    for table in ("plugs", "joints", "devices", "wires"):
        word = SINGULAR[table]
        for record in evidence.job.rows(table):
            name = getattr(record, word)
            other = owners.get(name, word)
            if other != word:
                yield Problem(
                    Where(table, record.row, word),
                    f'"{name}" is also the name of a {other}',
                    "give one of them another name",
                    warning=table == "wires",
                )
            owners.setdefault(name, word)


def unknown_names(evidence: Evidence) -> Iterator[Problem]:
    """A name that stands in none of the tables its column refers to."""
    for table in schema.TABLES:
        for column in table.columns:
            if not column.refers_to:
                continue
            for record in evidence.job.rows(table.name):
                value = getattr(record, column.attribute)
                names = value if isinstance(value, tuple) else (value,) if value else ()
                where = Where(table.name, record.row, column.name)
                for name in names:
                    problem = evidence.unknown(name, column.refers_to, where)
                    if problem:
                        yield problem


def unknown_places(evidence: Evidence) -> Iterator[Problem]:
    """A place that no branch ends at, where branches are given."""
    places = dict.fromkeys(
        place for branch in evidence.job.branches for place in (branch.from_place, branch.to_place)
    )
    if not places:
        return
    for table in ("plugs", "joints", "devices"):
        for record in evidence.job.rows(table):
            place = getattr(record, "place", None)
            if place and place not in places:
                yield Problem(
                    Where(table, record.row, "place"),
                    f'no branch ends at a place "{place}"',
                    evidence.cure(place, places, ["branches"]),
                    warning=table == "devices",
                )


def branches_to_nowhere(evidence: Evidence) -> Iterator[Problem]:
    """A branch with the same place at both ends."""
    for branch in evidence.job.branches:
        if branch.from_place == branch.to_place:
            yield Problem(
                Where("branches", branch.row, "to_place"),
                f'"{branch.to_place}" is the place at both ends',
                "name the place at the other end",
            )


def impossible_values(evidence: Evidence) -> Iterator[Problem]:
    """A number or choice outside what its column allows (records not made from a sheet)."""
    for table in schema.TABLES:
        for column in table.columns:
            bounded = column.minimum is not None or column.maximum is not None
            if not bounded and not column.choices:
                continue
            for record in evidence.job.rows(table.name):
                value = getattr(record, column.attribute)
                problem = _impossible(column, value, Where(table.name, record.row, column.name))
                if problem:
                    yield problem


def _impossible(column: Column, value: object, where: Where) -> Problem | None:
    if value is None:
        return None
    if column.choices:
        if value in column.choices:
            return None
        listed = ", ".join(column.choices)
        return Problem(where, f'"{value}" is not one of the choices', f"choose one of {listed}")
    if not isinstance(value, int | float) or (column.kind == "measured" and value == float("inf")):
        return None
    return bound_problem(column, value, typed=cell_text(value), where=where)
