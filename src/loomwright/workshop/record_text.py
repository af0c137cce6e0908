"""Records of the database as lines of JSON, and back, nothing lost and nothing believed."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Any

from django.contrib.auth import get_user_model
from django.core.exceptions import ValidationError
from django.db.models import Field, ForeignKey, Model

from loomwright.loom import InputProblems, Problem, Where
from loomwright.loom.schema import TABLES
from loomwright.workshop.backup_file import RECORDS
from loomwright.workshop.models import KeptJob, KeptPhoto, KeptRow, TakenEntry

MOST_PROBLEMS = 20
KINDS: dict[str, type[Model]] = {
    "person": get_user_model(),
    "job": KeptJob,
    "row": KeptRow,
    "row_then": KeptRow.history.model,
    "photo": KeptPhoto,
    "photo_then": KeptPhoto.history.model,
    "entry": TakenEntry,
}
"""What is kept, each after what it speaks of. Sessions are not: devices say again who they are."""
_TABLES = frozenset(table.name for table in TABLES)


def record_line(kind: str, record: Model) -> bytes:
    """A record as a line."""
    told = {field.attname: field.value_from_object(record) for field in _fields(KINDS[kind])}
    text = json.dumps({"kind": kind, "is": told}, ensure_ascii=False, default=_moment)
    return text.encode() + b"\n"


def records(lines: Iterable[bytes]) -> Iterator[tuple[str, Model]]:
    """The records that lines hold, in their order.

    Raises
    ------
    InputProblems
        at the end, holding what is wrong with the lines.
    """
    problems: list[Problem] = []
    for number, line in enumerate(lines, start=1):
        try:
            yield _record(line)
        except (ValueError, ValidationError, RecursionError) as failure:
            problems.append(_damaged(number, failure))
            if len(problems) == MOST_PROBLEMS:
                break
    if problems:
        raise InputProblems(problems)


def strays(found: Iterable[tuple[str, Model]]) -> Iterator[str]:
    """What records speak of that is not among them, and what stands twice; a clause each."""
    seen: dict[str, set[object]] = {kind: set() for kind in KINDS}
    names: set[str] = set()
    kinds = {model: kind for kind, model in KINDS.items()}
    for kind, record in found:
        if record.pk in seen[kind]:
            yield f"the {kind} {record.pk} stands in it twice"
        seen[kind].add(record.pk)
        for field in _fields(type(record)):
            # A row that was taken away may speak of a job that is gone, too.
            if isinstance(field, ForeignKey) and getattr(field, "db_constraint", True):
                other = getattr(record, field.attname)
                if other is not None and other not in seen[kinds[field.related_model]]:
                    yield f"the {kind} {record.pk} belongs to nothing that is in it"
        for field in _fields(type(record)):
            if field.unique and not field.primary_key:
                name = f"{kind} {field.name} {field.value_from_object(record)!r}"
                if name in names:
                    yield f"{name[:80]} stands in it twice"
                names.add(name)


def _fields(model: type[Model]) -> list[Field[Any, Any]]:
    return list(model._meta.concrete_fields)


def _moment(value: object) -> str:
    if isinstance(value, datetime | date):
        return value.isoformat()  # to the microsecond
    raise TypeError(type(value))


def _record(line: bytes) -> tuple[str, Model]:
    told = json.loads(line)
    if not isinstance(told, dict) or {*told} != {"kind", "is"} or told["kind"] not in KINDS:
        raise ValueError("it is no record")
    kind, values = told["kind"], told["is"]
    fields = _fields(KINDS[kind])
    if not isinstance(values, dict) or {*values} != {field.attname for field in fields}:
        raise ValueError(f"the {kind} has other fields")
    return kind, KINDS[kind](
        **{each.attname: _value(each, values[each.attname]) for each in fields}
    )


def _value(field: Field[Any, Any], told: object) -> object:
    plain = field.target_field if isinstance(field, ForeignKey) else field
    if plain.name in _SHAPES:
        if not _SHAPES[plain.name](told):
            raise ValueError(f"{plain.name} is of another shape")
        return told
    value: object = plain.to_python(told)
    if value is None:
        if not field.null:
            raise ValueError(f"{field.name} is missing")
    elif plain.name not in ("history_type",):
        plain.run_validators(value)
    return value


def _is_cells(told: object) -> bool:
    return isinstance(told, dict) and all(isinstance(text, str) for text in told.values())


def _is_columns(told: object) -> bool:
    return isinstance(told, dict) and all(
        table in _TABLES and _is_texts(names) for table, names in told.items()
    )


def _is_foreign(told: object) -> bool:
    return isinstance(told, list) and all(
        isinstance(each, dict)
        and {*each} == {"name", "header", "rows"}
        and isinstance(each["name"], str)
        and _is_texts(each["header"])
        and isinstance(each["rows"], list)
        and all(_is_texts(row) for row in each["rows"])
        for each in told
    )


def _is_texts(told: object) -> bool:
    return isinstance(told, list) and all(isinstance(text, str) for text in told)


_SHAPES = {"cells": _is_cells, "columns": _is_columns, "foreign": _is_foreign}


def _damaged(number: int, failure: Exception) -> Problem:
    what = "; ".join(failure.messages) if isinstance(failure, ValidationError) else str(failure)
    return Problem(
        Where(RECORDS, number), f"a record is damaged: {what[:200]}", "take another backup"
    )
