"""Any job at all: every value its column allows, in no sensible combination."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from hypothesis import strategies as st

from loomwright.loom import (
    RECORD_OF,
    Condition,
    Face,
    ForeignTable,
    Job,
    Point,
    Record,
    State,
    schema,
)
from loomwright.loom.schema import Column, Kind, Table

Thing = TypeVar("Thing")

_FORBIDDEN = "".join(chr(code) for code in range(32) if chr(code) not in "\t\n") + "\ufffe\uffff"
any_text = st.text(
    st.characters(codec="utf-8", exclude_characters=_FORBIDDEN), max_size=12
) | st.sampled_from(["=1+1", '"', "a\nb", " 007", ";,", "-", "@", "TRUE", "#N/A", "_x000D_"])
filled_text = any_text.filter(lambda text: text.strip() != "")
names = st.from_regex(r"[A-Za-z0-9_-]{1,12}", fullmatch=True)
words = st.from_regex(r"[a-z]{1,6}", fullmatch=True).filter(lambda word: not word.endswith("_c"))
celsius = st.integers(-600, 4000).map(lambda tenths: tenths / 10)


def _number(column: Column) -> st.SearchStrategy[float]:
    return st.floats(column.minimum, column.maximum, allow_nan=False, allow_infinity=False)


def _integer(column: Column) -> st.SearchStrategy[int]:
    low, high = column.minimum, column.maximum
    return st.integers(None if low is None else int(low), None if high is None else int(high))


def _face(_: Column) -> st.SearchStrategy[Face]:
    cavities = st.lists(names, min_size=1, max_size=6, unique=True)
    return cavities.map(lambda row: Face((tuple(row[:3]), (None, *row[3:]))))


def _state(_: Column) -> st.SearchStrategy[State]:
    plain = st.dictionaries(words, words, max_size=2)
    warm = st.dictionaries(words.map(lambda word: word + "_c"), celsius, max_size=2)
    return st.builds(lambda a, b: State((*a.items(), *b.items())), plain, warm).filter(
        lambda state: state.pairs != ()
    )


def _condition(_: Column) -> st.SearchStrategy[Condition]:
    clause = st.tuples(words, st.sampled_from(["=", "!="]), words)
    warm = st.tuples(words, st.sampled_from(["<", ">"]), celsius)
    return st.lists(clause | warm, min_size=1, max_size=3).map(
        lambda clauses: Condition(tuple(clauses))
    )


_VALUES: dict[Kind, Callable[[Column], st.SearchStrategy[object]]] = {
    "identifier": lambda _: names,
    "identifiers": lambda _: st.lists(names, min_size=1, max_size=3).map(tuple),
    "text": lambda _: filled_text,
    "number": _number,
    "integer": _integer,
    "choice": lambda column: st.sampled_from(column.choices),
    "date": lambda _: st.dates().map(str),
    "face": _face,
    "point": lambda _: st.builds(Point, names, names | st.just("")),
    "state": _state,
    "condition": _condition,
    "temperature": lambda _: st.sampled_from(["engine", "air", "ambient"]) | celsius,
    "measured": lambda column: _number(column) | st.just(float("inf")),
}


def _records(table: Table, extras: list[str]) -> st.SearchStrategy[tuple[Record, ...]]:
    parts: dict[str, st.SearchStrategy[object]] = {}
    optional: dict[str, st.SearchStrategy[object]] = {}
    for column in table.columns:
        place = parts if column.required else optional
        place[column.attribute] = _VALUES[column.kind](column)
    parts["extra"] = st.tuples(*(st.tuples(st.just(name), any_text) for name in extras))
    one = st.fixed_dictionaries(parts, optional=optional).map(
        lambda values: RECORD_OF[table.name](**values)
    )
    rows = st.lists(one, min_size=1, max_size=1 if table.single_row else 3)
    return rows.map(tuple)


def _extras(table: Table) -> st.SearchStrategy[list[str]]:
    known = {column.name for column in table.columns}
    name = filled_text.map(str.strip).filter(lambda text: text.casefold() not in known)
    return st.lists(name, max_size=2, unique_by=str.casefold)


def _table(table: Table) -> st.SearchStrategy[tuple[Record, ...]]:
    return _extras(table).flatmap(lambda extras: _records(table, extras))


def _foreign(name: str) -> st.SearchStrategy[ForeignTable]:
    row = st.tuples(filled_text, any_text, filled_text)
    return st.builds(ForeignTable, st.just(name), row, st.lists(row, max_size=3).map(tuple))


def any_job() -> st.SearchStrategy[Job]:
    """Jobs with up to three rows in each of three tables, unknown columns and tables included."""
    others = [table for table in schema.TABLES if table.name != "job"]

    def filled(chosen: list[Table]) -> st.SearchStrategy[Job]:
        parts = {table.name: _table(table) for table in chosen}
        foreign = st.lists(st.sampled_from(["torques", "Notes 1"]).flatmap(_foreign), max_size=1)
        about = _table(schema.JOB).map(lambda rows: rows[0])
        return st.builds(Job, about=about, foreign=foreign.map(tuple), **parts)

    picked = st.lists(st.sampled_from(others), max_size=3, unique_by=lambda table: table.name)
    return picked.flatmap(filled)
