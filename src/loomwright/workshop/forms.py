"""Forms made of the schema: each column's label, unit, help and choices as a field of a page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import attrs
from django.http import HttpRequest, QueryDict

from loomwright.loom import Job, Problem, cell_text, schema
from loomwright.loom.schema import Column
from loomwright.services.colour_words import colour_words
from loomwright.services.suggesting import WIRE_COLOURS, suggested
from loomwright.services.typed import as_cell

_NUMBERS = ("number", "integer")
_LONG = ("note", "complaint")
_TOLD = ("face", "identifiers", "point", "state", "condition", "temperature")
"""Kinds whose way of writing is best told by an example."""
_EXAMPLES = {"face": "1 2 3 / 4 5 6"}
MOST_CHOICES = 40
"""Names that are offered to choose from; more are typed, with suggestions."""


@attrs.frozen(kw_only=True)
class Choice:
    """One of the choices of a field."""

    value: str
    words: str
    chosen: bool


@attrs.frozen(kw_only=True)
class Field:
    """One field of a form.

    Attributes
    ----------
    name, label, unit, help : of the column
    kind : `text`, `number`, `choice`, `date` or `long`
    value : what stands in it
    was : what stood there when the page was made; sent along, to notice what others change
    choices : for kind `choice`, a blank one first where it may be blank
    suggestions : names that fit
    required : whether it must be filled in
    problem : what is wrong with it, and what would be right
    inputmode : which keyboard a phone shows
    """

    name: str
    label: str
    unit: str = ""
    help: str = ""
    kind: str = "text"
    value: str = ""
    was: str = ""
    choices: tuple[Choice, ...] = ()
    suggestions: tuple[str, ...] = ()
    required: bool = False
    problem: str = ""
    inputmode: str = "text"


def fields(
    table: str,
    cells: Mapping[str, str],
    *,
    job: Job | None = None,
    before: Mapping[str, str] | None = None,
    problems: Iterable[Problem] = (),
    only: Sequence[str] = (),
) -> tuple[Field, ...]:
    """The fields of a row.

    Parameters
    ----------
    table : name of the table
    cells : what stands in the row, or what was typed
    job : where names to choose from are found
    before : what stood there when the form was made; the cells by default
    problems : what is wrong with this row
    only : columns to show; blank for all
    """
    wrong = {each.where.column: each for each in problems if each.where.table == table}
    columns = schema.table(table).columns
    extra = [name for name in cells if name not in {column.name for column in columns}]
    known = tuple(
        _field(table, column, cells, cells if before is None else before, job, wrong)
        for column in columns
        if not only or column.name in only
    )
    if only:
        return known
    return known + tuple(_own(name, cells, cells if before is None else before) for name in extra)


def typed(request: HttpRequest, table: str) -> dict[str, str]:
    """What was typed for a table's columns, numbers as a cell wants them."""
    columns = {column.name: column for column in schema.table(table).columns}
    found = {}
    for name, text in request.POST.items():
        if name in columns:
            found[name] = as_cell(columns[name], cell_text(text))
        elif f"was.{name}" in request.POST:
            found[name] = cell_text(text)
    return found


def before(posted: QueryDict) -> dict[str, str]:
    """What the fields of a form held when it was made."""
    # Browsers send other line ends than a cell holds: nobody changed those.
    return {name[4:]: cell_text(text) for name, text in posted.items() if name.startswith("was.")}


def label(name: str) -> str:
    """A column's name as a person reads it: `outside_mm` is `Outside`."""
    stem = name
    for ending in ("_mm2", "_mm", "_c", "_v", "_ohm", "_pct", "_mh", "_n", "_a"):
        stem = stem.removesuffix(ending)
    return stem.replace("_", " ").capitalize()


def _own(name: str, cells: Mapping[str, str], was: Mapping[str, str]) -> Field:
    return Field(
        name=name, label=name, value=cells.get(name, ""), was=was.get(name, ""),
        help="A column of your own",
    )  # fmt: skip


def _field(
    table: str,
    column: Column,
    cells: Mapping[str, str],
    was: Mapping[str, str],
    job: Job | None,
    wrong: Mapping[str | None, Problem],
) -> Field:
    value = cells.get(column.name, "")
    names = suggested(table, column, job) if job else ()
    open_ = column.kind == "identifiers" or not column.refers_to or len(names) > MOST_CHOICES
    chosen = column.choices or (() if open_ else names)
    return Field(
        name=column.name,
        label=label(column.name),
        unit=column.unit,
        help=_help(table, column, value),
        kind=_kind(column, chosen),
        value=value,
        was=was.get(column.name, ""),
        choices=_choices(column, chosen, value),
        suggestions=() if chosen else names,
        required=column.required,
        problem=_sentence(wrong.get(column.name)),
        inputmode="decimal" if column.kind in _NUMBERS else "text",
    )


def _kind(column: Column, chosen: Sequence[str]) -> str:
    if chosen:
        return "choice"
    if column.kind == "date":
        return "date"
    if column.kind in _NUMBERS:
        return "number"
    return "long" if column.name in _LONG else "text"


def _choices(column: Column, chosen: Sequence[str], value: str) -> tuple[Choice, ...]:
    if not chosen:
        return ()
    # What stands there is offered even if it is none of the choices: nothing typed gets lost.
    offered = [*chosen] if value in ("", *chosen) else [value, *chosen]
    blank = [] if column.required and value else [Choice(value="", words="not said",
                                                         chosen=not value)]  # fmt: skip
    return tuple(blank) + tuple(
        Choice(value=each, words=each.replace("_", " "), chosen=each == value) for each in offered
    )


def _help(table: str, column: Column, value: str) -> str:
    """The column's help, with an example of how it is written or with what stands there said."""
    said = colour_words(value)
    if column.name == "colour" and table in WIRE_COLOURS and said != value.strip() and value:
        return f"{column.help}; {value.strip()} is {said}"
    example = _EXAMPLES.get(column.name, column.example)
    if column.kind not in _TOLD or not example:
        return column.help
    return f"{column.help.rstrip('.')}. For example {example}"


def _sentence(problem: Problem | None) -> str:
    if problem is None:
        return ""
    what = problem.what[:1].upper() + problem.what[1:]
    cure = f" {problem.expected[:1].upper()}{problem.expected[1:]}." if problem.expected else ""
    return f"{what}.{cure}"
