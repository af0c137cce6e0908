"""All rows of one table: to look through, to change, to take away as CSV."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlencode

import attrs
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.http import content_disposition_header

from loomwright.drawings.swatch import swatch_svg
from loomwright.loom import NotFound, schema
from loomwright.services.counting import counted
from loomwright.services.draw import screen_paint
from loomwright.services.kept_rows import KeptRow
from loomwright.services.suggesting import WIRE_COLOURS
from loomwright.services.table_rows import as_sheet, found_rows, used_columns
from loomwright.storage.job_folder.csv_text import bytes_from_sheet
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import label
from loomwright.workshop.naming import ONE_ROW
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.paging import paged

ON_A_PAGE = 100
"""Rows on one page."""
_FIGURES = ("number", "integer", "measured")
_MARK = b"\xef\xbb\xbf"
"""Tells spreadsheets that the text is UTF-8; readers of jobs take it or leave it."""


@attrs.frozen
class Head:
    """A column: its label, its unit, and whether it holds figures."""

    label: str
    unit: str
    figures: bool


@attrs.frozen
class Cell:
    """A cell with its column; `swatch` draws the cut end of a wire of a colour."""

    head: Head
    text: str
    swatch: str = ""


@attrs.frozen
class Line:
    """A row: what it is called, its form, and its other cells."""

    name: str
    url: str
    cells: tuple[Cell, ...]


@page("table.html")
@attrs.frozen(kw_only=True)
class TablePage:
    """The rows of a table."""

    about: str = told("What the table holds, a sentence")
    one: str = told("What one row is called")
    count: str = told("How many rows are found, in words")
    any: bool = told("Whether the table has any row")
    find: str = told("The words that rows were looked through for")
    first: Head = told("The column that names the rows")
    heads: tuple[Head, ...] = told("The other columns that are used")
    lines: tuple[Line, ...] = told("The rows of this page")
    number: int = told("Which page of the list this is")
    of: int = told("How many pages the list has")
    before: str = told("Address of the page before; blank for none")
    after: str = told("Address of the page after; blank for none")
    here: str = told("This table without words to look for")
    add: str = told("Form for a new row; blank where there is one row only")
    paste: str = told("Page for pasting rows")
    csv: str = told("The found rows as CSV")
    loom: str = told("The loom's page")


def table(request: HttpRequest, job: str, table: str) -> HttpResponse:
    """Show the rows of a table, or give them as CSV."""
    asked(table)
    rows = BENCH.rows.rows(job, table)
    found = found_rows(rows, request.GET.get("find", ""))
    if request.GET.get("as") == "csv":
        return _csv(job, table, found)
    shown = _listed(request, job, table, rows, found)
    return show(request, shown, title=title_of(table), job=job, here="Loom")


def asked(table: str) -> None:
    """See that there is such a table.

    Raises
    ------
    NotFound
        when there is none.
    """
    if table not in ONE_ROW:
        raise NotFound(f'there is no table "{table}"')


def title_of(table: str) -> str:
    """What a table is called at the head of a page."""
    return "Readings after the work" if table == "proof" else table.capitalize()


def back_here(address: str, here: str) -> str:
    """An address of a form that leads back here."""
    return f"{address}?{urlencode({'back': here})}"


def _listed(
    request: HttpRequest, job: str, table: str, rows: Sequence[KeptRow], found: Sequence[KeptRow]
) -> TablePage:
    here, this = reverse("table", args=[job, table]), request.get_full_path()
    find = request.GET.get("find", "").strip()
    columns = used_columns(table, rows)
    heads = tuple(_head(table, name) for name in columns)
    part = paged(request, found, ON_A_PAGE)
    return TablePage(
        about=schema.table(table).help,
        one=ONE_ROW[table],
        count=_count(len(found), len(rows), find),
        any=bool(rows),
        find=find,
        first=heads[0],
        heads=heads[1:],
        lines=tuple(_line(job, table, row, columns, heads, this) for row in part.rows),
        number=part.number,
        of=part.of,
        before=part.before,
        after=part.after,
        here=here,
        add="" if table == "job" else back_here(reverse("add_row", args=[job, table]), here),
        paste=reverse("paste", args=[job, table]),
        csv=f"{here}?{urlencode({'find': find, 'as': 'csv'})}",
        loom=reverse("loom", args=[job]),
    )


def _count(found: int, all_: int, find: str) -> str:
    return f"{counted(found, 'row')} of {all_} with “{find}”" if find else counted(found, "row")


def _head(table: str, name: str) -> Head:
    for column in schema.table(table).columns:
        if column.name == name:
            return Head(label(name), column.unit, column.kind in _FIGURES)
    return Head(name, "", False)


def _line(
    job: str, table: str, row: KeptRow, columns: Sequence[str], heads: Sequence[Head], here: str
) -> Line:
    first, *others = (row.cells.get(name, "") for name in columns)
    cells = zip(columns[1:], heads[1:], others, strict=True)
    return Line(
        name=first.strip() or ONE_ROW[table],
        url=back_here(reverse("row", args=[job, table, row.key]), here),
        cells=tuple(Cell(head, text, _swatch(table, name, text)) for name, head, text in cells),
    )


def _swatch(table: str, column: str, text: str) -> str:
    if column != "colour" or table not in WIRE_COLOURS or not text.strip():
        return ""
    return swatch_svg(text, screen_paint())


def _csv(job: str, table: str, rows: Sequence[KeptRow]) -> HttpResponse:
    named = content_disposition_header(True, f"{job}-{table}.csv")
    content = _MARK + bytes_from_sheet(as_sheet(table, rows))
    return HttpResponse(
        content,
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": str(named)},
    )
