"""In what the loom of a job differs from another job's."""

from __future__ import annotations

from itertools import groupby

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.loom import NotFound
from loomwright.services.differing import Difference, differences
from loomwright.services.words import sentence
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Choice, Field, label
from loomwright.workshop.job_list import kept_jobs
from loomwright.workshop.naming import ONE_ROW
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.shelf import SHELF


@attrs.frozen
class Cell:
    """A cell that differs; blank is nothing there."""

    label: str
    here: str
    there: str


@attrs.frozen
class Row:
    """A row that differs; `kind` is `only here`, `only there` or `changed`."""

    title: str
    kind: str
    cells: tuple[Cell, ...]


@attrs.frozen
class Group:
    """The rows of one table that differ."""

    title: str
    rows: tuple[Row, ...]


@page("differences.html")
@attrs.frozen(kw_only=True)
class DifferencesPage:
    """The differences."""

    others: Field = told("The job it is compared with, to choose")
    choosable: bool = told("Whether there is another job")
    other: str = told("Title of the job it is compared with; blank before one is chosen")
    count: int = told("How many rows differ")
    groups: tuple[Group, ...] = told("The rows that differ, table by table")


def differences_page(request: HttpRequest, job: str) -> HttpResponse:
    """Compare with another job."""
    chosen = request.GET.get("with", "")
    if chosen == SHELF or (chosen and not BENCH.jobs.exists(chosen)):
        raise NotFound(f'there is no job "{chosen}"', expected="choose one of those offered")
    known, _ = BENCH.jobs.inspect(job)
    found: tuple[Difference, ...] = ()
    other = ""
    if chosen:
        compared, _ = BENCH.jobs.inspect(chosen)
        found, other = differences(known, compared), compared.about.title
    field = _others(job, chosen)
    shown = DifferencesPage(
        others=field, choosable=len(field.choices) > 1, other=other, count=len(found),
        groups=_groups(found),
    )  # fmt: skip
    return show(request, shown, title="Compared with another job", job=job)


def _others(job: str, chosen: str) -> Field:
    names = [each for each in kept_jobs() if each.name != job]
    choices = [Choice(value="", words="choose a job", chosen=not chosen)]
    choices += [
        Choice(value=each.name, words=each.title, chosen=each.name == chosen) for each in names
    ]
    return Field(
        name="with", label="Compare with", kind="choice", value=chosen, was=chosen,
        choices=tuple(choices),
    )  # fmt: skip


def _groups(found: tuple[Difference, ...]) -> tuple[Group, ...]:
    return tuple(
        Group(title=sentence(table), rows=tuple(map(_row, rows)))
        for table, rows in groupby(found, key=lambda each: each.table)
    )


def _row(each: Difference) -> Row:
    return Row(
        title=sentence(f"{ONE_ROW[each.table]} {each.name}"),
        kind=each.kind,
        cells=tuple(Cell(label(cell.column), cell.here, cell.there) for cell in each.cells),
    )
