"""One form for a row of any table: add, change, take away."""

from __future__ import annotations

from urllib.parse import urlencode

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme

from loomwright.loom import InputProblems, NotFound, Problem, read_record, schema
from loomwright.services.entering import enter, take_away
from loomwright.services.kept_rows import Cells
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Field, before, fields, typed
from loomwright.workshop.naming import ONE_ROW, Rows, told_of
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.row_fields import first_and_more, more_words, prefilled, with_free_name

_WITH_PAGES = ("plugs", "joints", "wires", "devices")
"""Tables whose rows have pages of their own, that go with them."""


@page("row.html")
@attrs.frozen(kw_only=True)
class RowPage:
    """The form of one row."""

    about: str = told("What the table holds, a sentence")
    fields: tuple[Field, ...] = told("The fields that stand first, in the table's order")
    more: tuple[Field, ...] = told("The other fields, behind More; empty for a short form")
    more_words: str = told("Which fields those are")
    more_open: bool = told("Whether one of them has a problem, so that all are shown")
    wrong: tuple[Field, ...] = told("Those of them with a problem")
    refused: bool = told("Whether this is what was typed, with what is wrong")
    taking: bool = told("Whether it was the taking away that was refused")
    problems: tuple[str, ...] = told("What is wrong beyond single fields, a sentence each")
    may_keep_anyhow: bool = told("Whether the row may be kept though the job does not hold yet")
    action: str = told("Where the form is sent")
    back: str = told("The page to go back to")
    may_take_away: bool = told("Whether there is a row that can be taken away")
    may_add_another: bool = told("Whether another new row can come after this one")


def row(request: HttpRequest, job: str, table: str, key: str = "") -> HttpResponse:
    """Show and take in the form of a row; without a key, of a new one."""
    if table not in ONE_ROW:
        raise NotFound(f'there is no table "{table}"')
    if request.method == "POST":
        return _take_in(request, job, table, key)
    cells = cells_of(job, table, key) if key else prefilled(table, request.GET.dict())
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
    taking = bool(key) and "take_away" in request.POST
    cells = typed(request, table)
    try:
        if taking:
            take_away(BENCH, job, table, key, anyhow=request.POST["take_away"] == "anyhow")
            say(request, f"Taken away: {ONE_ROW[table]}. History can put it back.")
        else:
            _keep(request, job, table, key, cells)
    except InputProblems as refusal:
        stands = cells_of(job, table, key) if taking else cells
        return _form(request, job, table, key, stands, problems=refusal.problems, taking=taking)
    return HttpResponseRedirect(_after(request, job, table, taking=taking), status=303)


def _keep(request: HttpRequest, job: str, table: str, key: str, cells: Cells) -> None:
    kept = enter(
        BENCH, job, table, cells,
        key=key or None,
        before=before(request.POST) if key else None,
        anyhow="anyhow" in request.POST,
    )  # fmt: skip
    say(request, f"Kept: {_called(table, kept.cells)}.")
    rows = Rows(job)
    for each in kept.warnings:
        say(request, rows.told_of(each), "caution")


def _called(table: str, cells: Cells) -> str:
    return f"{ONE_ROW[table]} {cells.get(schema.table(table).key, '')}".strip()


def _after(request: HttpRequest, job: str, table: str, *, taking: bool) -> str:
    """The page that comes next: back, the same form for another row, or away from what is gone."""
    back = back_to(request, job)
    if taking and table in _WITH_PAGES:
        return reverse("table", args=[job, table])
    if "another" in request.POST:
        return f"{reverse('add_row', args=[job, table])}?{urlencode({'back': back})}"
    return back


def _form(
    request: HttpRequest,
    job: str,
    table: str,
    key: str,
    cells: Cells,
    *,
    problems: tuple[Problem, ...] = (),
    taking: bool = False,
) -> HttpResponse:
    known, _ = BENCH.jobs.inspect(job)
    stood = before(request.POST) if problems and not taking else None
    beside = () if taking else problems
    made = fields(table, cells, job=known, before=stood, problems=beside)
    first, more = first_and_more(table, made if key else with_free_name(table, made))
    single = schema.table(table).single_row
    rows = Rows(job)
    shown = RowPage(
        about=schema.table(table).help,
        fields=first,
        more=more,
        more_words=more_words(more),
        more_open=any(field.problem for field in more),
        wrong=tuple(field for field in made if field.problem),
        problems=tuple(
            rows.told_of(each) if taking or each.where.table != table else told_of(each)
            for each in problems
            if taking or not _of_cell(each, table)
        ),
        refused=bool(problems),
        taking=taking,
        may_keep_anyhow=bool(problems) and not taking and _readable(table, cells),
        action=request.get_full_path(),
        back=back_to(request, job),
        may_take_away=bool(key) and not single,
        may_add_another=not key and not single,
    )
    title = f"Change: {_called(table, cells)}" if key else f"Add: {ONE_ROW[table]}"
    status = 400 if problems else 200
    return show(request, shown, title=title, job=job, here="Loom", status=status)


def _of_cell(problem: Problem, table: str) -> bool:
    return problem.where.table == table and problem.where.column is not None


def _readable(table: str, cells: Cells) -> bool:
    try:
        read_record(schema.table(table), dict(cells))
    except InputProblems:
        return False
    return True
