"""The figures that a workshop may replace by its own."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.loom import InputProblems, OwnFigure, Problem
from loomwright.services.check import check
from loomwright.services.defaults import Figure, FigureGroup, figure, figures, found
from loomwright.services.entering import enter, take_away
from loomwright.services.kept_rows import Cells, KeptRow
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Field, before, fields, typed
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.shelf import SHELF, made_shelf

_TABLE = "settings"


@page("figures.html")
@attrs.frozen(kw_only=True)
class FiguresPage:
    """All figures, under headings."""

    find: str = told("The words that are looked for; blank for none")
    groups: tuple[FigureGroup, ...] = told("The figures in which they stand, under headings")
    own: tuple[Figure, ...] = told("The figures that are the workshop's own")
    count: int = told("How many were found")


@page("figure.html")
@attrs.frozen(kw_only=True)
class FigurePage:
    """One figure, with the form of the workshop's own."""

    figure: Figure = told("The figure")
    fields: tuple[Field, ...] = told("The own value and where it comes from")
    problems: tuple[str, ...] = told("What is wrong beyond single fields, a sentence each")
    refused: bool = told("Whether this is what was typed, with what is wrong")


def figures_page(request: HttpRequest) -> HttpResponse:
    """Show every figure that can be replaced, those of the workshop's own first."""
    find = request.GET.get("find", "").strip()
    all_ = figures(_own())
    groups = found(all_, find)
    shown = FiguresPage(
        find=find,
        groups=groups,
        own=tuple(each for each in all_ if each.own),
        count=sum(len(group.figures) for group in groups),
    )
    return show(request, shown, title="Figures of your own")


def figure_page(request: HttpRequest, name: str) -> HttpResponse:
    """Show one figure; take in the workshop's own, or go back to the shipped one."""
    standing = figure(name, _own())
    row = _row(name)
    if request.method != "POST":
        return _ask(request, standing, row.cells if row else {})
    cells = typed(request, _TABLE) | {"name": name}
    try:
        _take_in(request, standing, cells, row)
    except InputProblems as refusal:
        return _ask(request, standing, cells, refusal.problems)
    return HttpResponseRedirect(f"{reverse('figures')}#own", status=303)


def _take_in(request: HttpRequest, standing: Figure, cells: Cells, row: KeptRow | None) -> None:
    if "ship" in request.POST:
        if row:
            take_away(BENCH, SHELF, _TABLE, row.key)
        say(request, f"{standing.words}: the shipped {standing.value} {standing.unit}".rstrip())
        return
    was = before(request.POST) if row else None
    kept = enter(BENCH, made_shelf(), _TABLE, cells, key=row.key if row else None, before=was)
    say(request, f"{standing.words}: your own {kept.cells['value']} {standing.unit}".rstrip())
    for doubt in _doubts(standing.name):
        say(request, doubt, "caution")


def _doubts(name: str) -> tuple[str, ...]:
    """What deserves a look about the own figure of that name."""
    report = check(BENCH.jobs, SHELF)
    rows = [each.row for each in _own() if each.name == name]
    return tuple(
        each.sentence
        for each in report.warnings
        if each.where.table == _TABLE and each.where.row in rows
    )


def _ask(
    request: HttpRequest, standing: Figure, cells: Cells, problems: tuple[Problem, ...] = ()
) -> HttpResponse:
    shown = FigurePage(
        figure=standing,
        fields=fields(
            _TABLE, cells, before=before(request.POST) if problems else None, problems=problems,
            only=("value", "note"),
        ),
        problems=tuple(each.sentence for each in problems if each.where.table != _TABLE),
        refused=bool(problems),
    )  # fmt: skip
    return show(request, shown, title=standing.words, status=400 if problems else 200)


def _own() -> tuple[OwnFigure, ...]:
    return BENCH.jobs.inspect(made_shelf())[0].settings


def _row(name: str) -> KeptRow | None:
    rows = BENCH.rows.rows(made_shelf(), _TABLE)
    return next((row for row in rows if row.cells.get("name") == name), None)
