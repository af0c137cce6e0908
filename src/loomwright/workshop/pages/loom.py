"""The loom: its picture, what does not hold together yet, every plug, every table."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from loomwright.drawings.tree_upright import upright_tree_svg
from loomwright.loom import Job, Problem
from loomwright.services.draw import loom_plan
from loomwright.services.loom_list import PlugLine, running_list
from loomwright.workshop.bench import BENCH
from loomwright.workshop.models import KeptRow
from loomwright.workshop.naming import ONE_ROW, Rows
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.pages.table import back_here, title_of

GROUPS: Mapping[str, tuple[str, ...]] = {
    "What is wired to what": ("plugs", "wires", "joints", "devices", "elements", "curves"),
    "What lies around it": ("branches", "fixings", "zones", "fuelling", "settings"),
    "Seen and measured": (
        "survey",
        "readings",
        "proof",
        "meters",
        "crimps",
        "warmings",
        "photos",
        "tasks",
    ),
    "Parts": ("catalogue", "suppliers", "offers", "stock"),
}
"""The tables as they are shown, in groups."""
MOST_SHOWN = 50
"""Problems that are shown one by one."""


@attrs.frozen
class Trouble:
    """A thing that does not hold together, with the way to where it is mended."""

    words: str
    url: str


@attrs.frozen
class PlugRow:
    """A plug of the running list, with the way to its page and the kind of its grade's chip."""

    line: PlugLine
    url: str
    kind: str


@attrs.frozen(kw_only=True)
class Tile:
    """A table: how many rows it has, and the ways to look, to add and to paste."""

    title: str
    one: str
    count: int
    look: str
    add: str
    paste: str


@attrs.frozen
class Group:
    """Tables that belong together."""

    title: str
    tiles: tuple[Tile, ...]


@page("loom.html")
@attrs.frozen(kw_only=True)
class LoomPage:
    """The loom of a job."""

    picture: str = told("Drawing of the loom as a tree; blank without branches")
    branches: str = told("The table of branches")
    grave: tuple[Trouble, ...] = told("What does not hold together, the first of it")
    watch: tuple[Trouble, ...] = told("What deserves a look, the first of it")
    more: int = told("How many of both are not shown")
    plugs: tuple[PlugRow, ...] = told("The running list")
    add_plug: str = told("Form for a new plug")
    paste_wires: str = told("Page for pasting a wire list")
    differences: str = told("Page that compares with another job's loom")
    groups: tuple[Group, ...] = told("Every table")


def loom(request: HttpRequest, job: str) -> HttpResponse:
    """Show the loom."""
    known, problems = BENCH.jobs.inspect(job)
    here = reverse("loom", args=[job])
    grave = [each for each in problems if not each.warning]
    watch = [each for each in problems if each.warning]
    rows = Rows(job)
    shown = LoomPage(
        picture=upright_tree_svg(loom_plan(known)) if known.branches else "",
        branches=reverse("table", args=[job, "branches"]),
        grave=tuple(_trouble(rows, each, here) for each in grave[:MOST_SHOWN]),
        watch=tuple(_trouble(rows, each, here) for each in watch[:MOST_SHOWN]),
        more=max(len(grave) - MOST_SHOWN, 0) + max(len(watch) - MOST_SHOWN, 0),
        plugs=_plugs(job, known),
        add_plug=back_here(reverse("add_row", args=[job, "plugs"]), here),
        paste_wires=reverse("paste", args=[job, "wires"]),
        differences=reverse("differences", args=[job]),
        groups=_groups(job, here),
    )
    return show(request, shown, title="Loom", job=job, here="Loom")


def _trouble(rows: Rows, problem: Problem, here: str) -> Trouble:
    """The problem with its row's form, or its table where it is about no row that is there."""
    table, row = problem.where.table, rows.of(problem.where)
    words = rows.told_of(problem)
    if row is not None:
        return Trouble(words, back_here(reverse("row", args=[rows.job, table, row.key]), here))
    known = table in ONE_ROW
    return Trouble(words, reverse("table", args=[rows.job, table]) if known else "")


def _plugs(job: str, known: Job) -> tuple[PlugRow, ...]:
    return tuple(
        PlugRow(line, reverse("plug", args=[job, line.plug]), _kind(line.grade))
        for line in running_list(known)
    )


def _kind(grade: int | None) -> str:
    """The chip of a grade: good up to aged, to be watched when worn, bad from there."""
    if grade is None:
        return "waiting"
    return "good" if grade < 2 else "watch" if grade == 2 else "bad"


def _groups(job: str, here: str) -> tuple[Group, ...]:
    counted = KeptRow.objects.filter(job__name=job).values_list("table").annotate(Count("pk"))
    counts: dict[str, int] = dict(counted.order_by())
    return tuple(
        Group(title, tuple(_tile(job, table, counts.get(table, 0), here) for table in tables))
        for title, tables in GROUPS.items()
    )


def _tile(job: str, table: str, count: int, here: str) -> Tile:
    return Tile(
        title=title_of(table),
        one=ONE_ROW[table],
        count=count,
        look=reverse("table", args=[job, table]),
        add=back_here(reverse("add_row", args=[job, table]), here),
        paste=reverse("paste", args=[job, table]),
    )
