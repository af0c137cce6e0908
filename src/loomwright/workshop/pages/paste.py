"""Rows pasted from a spreadsheet: what they would do, then doing it, all of them or none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.loom import InputProblems, Problem, schema
from loomwright.services.kept_rows import Cells, KeptRow
from loomwright.services.paste_plan import ChangedRow, NewRow, PastePlan, planned_paste
from loomwright.services.paste_words import kept, outcome, understood
from loomwright.services.pasting import foreseen, paste, read_pasted
from loomwright.services.table_rows import as_sheet
from loomwright.services.words import listed
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import label
from loomwright.workshop.naming import ONE_ROW
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.pages.table import asked, title_of

MOST_SHOWN = 200
"""Rows and problems that are shown one by one."""
MOST_SAID = 5
_OVERTAKEN = "The table or the text was changed since this was shown. Look once more, then keep it."


@attrs.frozen
class Change:
    """A cell that changes; blank where nothing stands."""

    label: str
    was: str
    becomes: str


@attrs.frozen
class ChangedLine:
    """A row that changes."""

    name: str
    changes: tuple[Change, ...]


@attrs.frozen
class NewLine:
    """A row that is new: what it is called, and its other cells in words."""

    name: str
    words: str


@attrs.frozen
class AskedColumn:
    """A column that may be pasted."""

    name: str
    help: str
    needed: bool


@attrs.frozen(kw_only=True)
class ShownPlan:
    """What pasting would do.

    Attributes
    ----------
    understood : how the text was read, a sentence each
    outcome : how many rows would do what
    changed, new : rows that would change and be new, the first of them
    more : what is not shown one by one; blank when all is
    mark : stands for all of it, sent along when it is kept
    """

    understood: tuple[str, ...]
    outcome: str
    changed: tuple[ChangedLine, ...]
    new: tuple[NewLine, ...]
    more: str
    mark: str


@page("paste.html")
@attrs.frozen(kw_only=True)
class PastePage:
    """Pasting into a table."""

    text: str = told("What was pasted")
    columns: tuple[AskedColumn, ...] = told("The table's columns, in their order")
    problems: tuple[str, ...] = told("What must be put right first, a sentence each")
    caution: str = told("Why what was to be kept is shown once more; blank for no reason")
    plan: ShownPlan | None = told("What would happen; None before it is asked")
    loose: tuple[str, ...] = told("What would not hold together yet, a sentence each")
    watch: tuple[str, ...] = told("What would deserve a look, a sentence each")
    may_keep: bool = told("Whether there is something that can be kept")
    back: str = told("The table's page")


def paste_rows(request: HttpRequest, job: str, table: str) -> HttpResponse:
    """Show what pasted text would do; with `keep`, do it."""
    asked(table)
    rows = BENCH.rows.rows(job, table)
    if request.method != "POST":
        return _answer(request, job, table)
    try:
        pasted = read_pasted(request.POST.get("text", ""), table, own=_own(table, rows))
    except InputProblems as refusal:
        return _answer(request, job, table, problems=refusal.problems)
    plan = planned_paste(pasted, rows)
    if "keep" in request.POST and not plan.problems:
        return _keep(request, job, plan, rows)
    return _answer(request, job, table, plan=plan, rows=rows, problems=plan.problems)


def _keep(request: HttpRequest, job: str, plan: PastePlan, rows: Sequence[KeptRow]) -> HttpResponse:
    if request.POST.get("mark") != plan.mark:
        return _answer(request, job, plan.table, plan=plan, rows=rows, caution=_OVERTAKEN)
    try:
        warnings = paste(BENCH, job, plan, anyhow=request.POST["keep"] == "anyhow")
    except InputProblems as refusal:
        problems = refusal.problems
        return _answer(request, job, plan.table, plan=plan, rows=rows, problems=problems)
    say(request, kept(plan))
    for each in warnings[:MOST_SAID]:
        say(request, each.sentence, "caution")
    return HttpResponseRedirect(reverse("table", args=[job, plan.table]), status=303)


def _own(table: str, rows: Sequence[KeptRow]) -> tuple[str, ...]:
    """The person's own columns that the table has already."""
    return as_sheet(table, rows).header[len(schema.table(table).columns) :]


def _answer(
    request: HttpRequest,
    job: str,
    table: str,
    *,
    plan: PastePlan | None = None,
    rows: Sequence[KeptRow] = (),
    problems: Sequence[Problem] = (),
    caution: str = "",
) -> HttpResponse:
    """The page: with a plan, what it would do; problems stand before all else."""
    foretold = foreseen(BENCH.jobs.inspect(job)[0], plan, rows) if plan and not problems else ()
    shown = PastePage(
        text=request.POST.get("text", ""),
        columns=tuple(
            AskedColumn(column.name, column.help, column.required)
            for column in schema.table(table).columns
        ),
        problems=_sentences(problems),
        caution=caution,
        plan=_plan_shown(plan) if plan else None,
        loose=_sentences([each for each in foretold if not each.warning]),
        watch=_sentences([each for each in foretold if each.warning]),
        may_keep=bool(plan and not problems and (plan.new or plan.changed)),
        back=reverse("table", args=[job, table]),
    )
    status = 409 if caution else 400 if problems else 200
    return show(request, shown, title=f"Paste: {title_of(table).lower()}", job=job, here="Loom",
                status=status)  # fmt: skip


def _plan_shown(plan: PastePlan) -> ShownPlan:
    more = [
        f"{len(rows) - MOST_SHOWN} more {words}"
        for rows, words in ((plan.changed, "that change"), (plan.new, "that are new"))
        if len(rows) > MOST_SHOWN
    ]
    return ShownPlan(
        understood=understood(plan.pasted),
        outcome=outcome(plan),
        changed=tuple(_changed(plan.table, row) for row in plan.changed[:MOST_SHOWN]),
        new=tuple(_new(plan.table, row) for row in plan.new[:MOST_SHOWN]),
        more=f"Not shown here: {listed(more)}." if more else "",
        mark=plan.mark,
    )


def _changed(table: str, row: ChangedRow) -> ChangedLine:
    changes = (Change(label(each.column), each.was, each.becomes) for each in row.changes)
    return ChangedLine(row.name or ONE_ROW[table], tuple(changes))


def _new(table: str, row: NewRow) -> NewLine:
    key = schema.table(table).key
    name = row.cells.get(key, "") or f"row {row.number} of the text"
    return NewLine(name, ", ".join(_spoken(row.cells, key)))


def _spoken(cells: Cells, key: str) -> Iterator[str]:
    return (f"{label(name).lower()} {text}" for name, text in cells.items() if text and name != key)


def _sentences(problems: Sequence[Problem]) -> tuple[str, ...]:
    told = tuple(each.sentence for each in problems[:MOST_SHOWN])
    more = len(problems) - MOST_SHOWN
    return (*told, f"And {more} more.") if more > 0 else told
