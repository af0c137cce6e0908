"""One form for a row of any table: add, change, take away."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme

from loomwright.loom import InputProblems, NotFound, Problem, read_record, schema
from loomwright.services.entering import enter, take_away
from loomwright.services.kept_rows import Cells
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Field, before, fields, typed
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told

ONE_ROW = {
    "job": "the job", "plugs": "plug", "joints": "joint", "wires": "wire", "devices": "device",
    "elements": "element", "curves": "point of a curve", "meters": "range of a meter",
    "readings": "reading", "proof": "reading after the work", "survey": "grade",
    "branches": "branch", "zones": "zone", "fuelling": "fuelling point", "settings": "figure",
    "catalogue": "part", "crimps": "trial crimp", "suppliers": "supplier",
    "offers": "pack on sale", "stock": "parts in the drawer", "tasks": "step of the work",
    "photos": "photo",
}  # fmt: skip
"""What one row of a table is called."""


@page("row.html")
@attrs.frozen(kw_only=True)
class RowPage:
    """The form of one row."""

    about: str = told("What the table holds, a sentence")
    fields: tuple[Field, ...] = told("The fields, in the table's order")
    refused: bool = told("Whether this is what was typed, with what is wrong")
    problems: tuple[str, ...] = told("What is wrong beyond single fields, a sentence each")
    may_keep_anyhow: bool = told("Whether the row may be kept though the job does not hold yet")
    action: str = told("Where the form is sent")
    back: str = told("The page to go back to")
    may_take_away: bool = told("Whether there is a row that can be taken away")


def row(request: HttpRequest, job: str, table: str, key: str = "") -> HttpResponse:
    """Show and take in the form of a row; without a key, of a new one."""
    if table not in ONE_ROW:
        raise NotFound(f'there is no table "{table}"')
    if request.method == "POST":
        return _take_in(request, job, table, key)
    cells = cells_of(job, table, key) if key else {n: str(t) for n, t in request.GET.items()}
    return _form(request, job, table, key, cells)


def cells_of(job: str, table: str, key: str) -> Cells:
    """The row as it stands.

    Raises
    ------
    NotFound
        when it is gone.
    """
    for kept in BENCH.rows.rows(job, table):
        if kept.key == key:
            return kept.cells
    raise NotFound(f"this {ONE_ROW[table]} is not there any more")


def back_to(request: HttpRequest, job: str, usual: str = "loom") -> str:
    """The page of this site that the person came from."""
    wanted = request.POST.get("back", "") or request.GET.get("back", "")
    if wanted and url_has_allowed_host_and_scheme(wanted, allowed_hosts=None):
        return wanted
    return reverse(usual, args=[job])


def _take_in(request: HttpRequest, job: str, table: str, key: str) -> HttpResponse:
    anyhow = "anyhow" in request.POST
    cells = typed(request, table)
    try:
        if "take_away" in request.POST and key:
            take_away(BENCH, job, table, key, anyhow=anyhow)
            say(request, f"Taken away: {ONE_ROW[table]}. History can put it back.")
        else:
            kept = enter(BENCH, job, table, cells, key=key or None,
                         before=before(request.POST) if key else None, anyhow=anyhow)  # fmt: skip
            say(
                request,
                f"Kept: {ONE_ROW[table]} {kept.cells.get(schema.table(table).key, '')}".strip(),
            )
            for each in kept.warnings:
                say(request, each.sentence, "caution")
    except InputProblems as refusal:
        return _form(request, job, table, key, cells, refusal.problems)
    return HttpResponseRedirect(back_to(request, job), status=303)


def _form(
    request: HttpRequest,
    job: str,
    table: str,
    key: str,
    cells: Cells,
    problems: tuple[Problem, ...] = (),
) -> HttpResponse:
    known, _ = BENCH.jobs.inspect(job)
    shown = RowPage(
        about=schema.table(table).help,
        fields=fields(
            table,
            cells,
            job=known,
            before=before(request.POST) if problems else None,
            problems=problems,
        ),
        problems=tuple(each.sentence for each in problems if not _of_cell(each, table)),
        refused=bool(problems),
        may_keep_anyhow=bool(problems) and _readable(table, cells),
        action=request.get_full_path(),
        back=back_to(request, job),
        may_take_away=bool(key) and not schema.table(table).single_row,
    )
    return show(
        request,
        shown,
        title=f"{'Change' if key else 'Add'}: {ONE_ROW[table]}",
        job=job,
        status=400 if problems else 200,
    )


def _of_cell(problem: Problem, table: str) -> bool:
    return problem.where.table == table and problem.where.column is not None


def _readable(table: str, cells: Cells) -> bool:
    try:
        read_record(schema.table(table), dict(cells))
    except InputProblems:
        return False
    return True
