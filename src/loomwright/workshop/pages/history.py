"""History: who changed what when, and the way back."""

from __future__ import annotations

from datetime import datetime
from urllib.parse import urlencode

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.loom import InputProblems, cell_text, schema
from loomwright.services.change_words import (
    PICTURE,
    Change,
    did,
    did_at_once,
    differences,
    gathered,
    matching,
)
from loomwright.workshop.changes import change, changes, undo
from loomwright.workshop.forms import Choice, before, label
from loomwright.workshop.naming import ONE_ROW
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told

A_PAGE = 50
"""Changes that are shown together."""


@attrs.frozen
class Carried:
    """A field that the form of an undo sends along, to notice what others changed since."""

    name: str
    value: str
    was: str


@attrs.frozen(kw_only=True)
class Detail:
    """One field of a change."""

    label: str
    before: str
    after: str


@attrs.frozen(kw_only=True)
class Line:
    """One change, or many rows that came in one go."""

    time: str
    who: str
    what: str
    kind: str
    details: tuple[Detail, ...] = ()
    undo_url: str = ""
    carried: tuple[Carried, ...] = ()
    each_url: str = ""


@attrs.frozen
class Day:
    """The changes of one day."""

    title: str
    lines: tuple[Line, ...]


@page("history.html")
@attrs.frozen(kw_only=True)
class HistoryPage:
    """Who changed what when."""

    days: tuple[Day, ...] = told("The days with their changes, the newest first")
    find: str = told("The words that are looked for; blank for none")
    tables: tuple[Choice, ...] = told("The tables to choose from, all of them first")
    filtered: bool = told("Whether only some of the changes are shown")
    all_url: str = told("The page with all of them")
    problems: tuple[str, ...] = told("Why a change could not be undone, a sentence each")
    number: int = told("Which page of the list this is, from 1")
    of: int = told("How many there are")
    before: str = told("Address of the page before; blank on the first")
    after: str = told("Address of the page after; blank on the last")


def history(request: HttpRequest, job: str) -> HttpResponse:
    """Show the changes of a job."""
    return _show(request, job)


def undo_change(request: HttpRequest, job: str, table: str, number: int) -> HttpResponse:
    """Bring one row or photo back to what it was before a change."""
    back = reverse("history", args=[job])
    if request.method != "POST":
        return HttpResponseRedirect(back)
    undone = change(job, table, number)
    posted = request.POST
    typed = {name: cell_text(posted[name]) for name in undone.columns if name in posted}
    try:
        undo(job, undone, typed=typed, seen=before(posted))
    except InputProblems as refusal:
        problems = tuple(each.sentence for each in refusal.problems if not each.warning)
        return _show(request, job, problems)
    say(request, f"Undone: {undone.by or 'somebody'} {did(undone, ONE_ROW)}.")
    return HttpResponseRedirect(back, status=303)


def _show(request: HttpRequest, job: str, problems: tuple[str, ...] = ()) -> HttpResponse:
    find, table = request.GET.get("find", "").strip(), request.GET.get("table", "")
    found = _found(job, find, table)
    groups = tuple((each,) for each in found) if find or table else gathered(found)
    of = max(1, -(-len(groups) // A_PAGE))
    number = min(max(1, _whole(request.GET.get("page", ""))), of)
    shown = HistoryPage(
        days=_days(job, groups[(number - 1) * A_PAGE : number * A_PAGE]),
        find=find,
        tables=_tables(table),
        filtered=bool(find or table),
        all_url=reverse("history", args=[job]),
        problems=problems,
        number=number,
        of=of,
        before=_to(find, table, number - 1) if number > 1 else "",
        after=_to(find, table, number + 1) if number < of else "",
    )
    status = 400 if problems else 200
    return show(request, shown, title="History", job=job, here="History", status=status)


def _found(job: str, find: str, table: str) -> tuple[Change, ...]:
    return tuple(
        each
        for each in changes(job)
        if table in ("", each.table) and (not find or matching(each, find, ONE_ROW))
    )


def _days(job: str, groups: tuple[tuple[Change, ...], ...]) -> tuple[Day, ...]:
    days: dict[str, list[Line]] = {}
    for group in groups:
        at = group[0].at.astimezone()  # by this machine's clock, as on the wall
        days.setdefault(_day(at), []).append(_line(job, group, f"{at:%H:%M}"))
    return tuple(Day(title, tuple(lines)) for title, lines in days.items())


def _line(job: str, group: tuple[Change, ...], time: str) -> Line:
    first = group[0]
    who = first.by or "Somebody"
    if len(group) > 1:
        what = did_at_once(group)
        each_url = f"{reverse('history', args=[job])}{_to('', first.table, 1)}"
        return Line(time=time, who=who, what=what, kind="added", each_url=each_url)
    return Line(
        time=time,
        who=who,
        what=did(first, ONE_ROW),
        kind=first.kind,
        details=tuple(_detail(first, *attrs.astuple(each)) for each in differences(first)),
        undo_url=reverse("undo", args=[job, first.table, first.number]),
        carried=_carried(first),
    )


def _detail(of: Change, column: str, was: str, now: str) -> Detail:
    units = {each.name: each.unit for each in schema.table(of.table).columns}
    unit = units.get(column, "")
    return Detail(label=label(column), before=_told(was, unit), after=_told(now, unit))


def _told(text: str, unit: str) -> str:
    """A cell with its unit; words, such as `engine` for a temperature, have none."""
    numeric = text.lstrip("-+")[:1].isdigit()
    return f"{text} {unit}" if unit and numeric else text or "blank"


def _carried(of: Change) -> tuple[Carried, ...]:
    if of.kind != "changed" or of.table == PICTURE:
        return ()
    return tuple(
        Carried(name, of.before.get(name, ""), of.after.get(name, "")) for name in of.columns
    )


def _tables(chosen: str) -> tuple[Choice, ...]:
    names = [("", "all of it"), *((each.name, each.name) for each in schema.TABLES)]
    names.append((PICTURE, "files of photos"))
    return tuple(Choice(value=name, words=words, chosen=name == chosen) for name, words in names)


def _day(at: datetime) -> str:
    today = datetime.now().astimezone().date()
    return "Today" if at.date() == today else f"{at:%Y-%m-%d}"


def _to(find: str, table: str, number: int) -> str:
    return f"?{urlencode({'find': find, 'table': table, 'page': number})}"


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else 1
