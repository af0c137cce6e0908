"""Pages for what went wrong: one for each kind of failure, with what to do now."""

from __future__ import annotations

from urllib.parse import urlsplit

import attrs
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme

from loomwright.loom import InputProblems, Problem
from loomwright.loom.errors import Conflict, Disputed, LoomwrightError, Refused
from loomwright.services.words import sentence
from loomwright.workshop.naming import Rows, told_of
from loomwright.workshop.pages.framing import job_head
from loomwright.workshop.pages.page import page, show, told

_NOT_CARRIED = ("csrfmiddlewaretoken", "entry")


@page("failure.html")
@attrs.frozen(kw_only=True)
class FailurePage:
    """What went wrong."""

    what: str = told("The sentence: where, what is wrong, what would be right")
    instead: str = told("What can safely be done instead; blank where nothing is refused")
    back: str = told("The page of this site that led here; blank where that is not known")
    problems: tuple[str, ...] = told("Every problem of the input, a sentence each")
    job: str = told("Name of the job; blank outside jobs")


@attrs.frozen
class Carried:
    """A field of the form that is sent again as it was typed."""

    name: str
    value: str


@page("conflict.html")
@attrs.frozen(kw_only=True)
class ConflictPage:
    """Two people changed one field: both values to choose from."""

    what: str = told("The sentence")
    disputed: tuple[Disputed, ...] = told("Fields with both values; empty when the row is gone")
    carried: tuple[Carried, ...] = told("The rest of the form, sent again with the choice")
    action: str = told("Where the choice is sent")


@page("stale.html")
@attrs.frozen(kw_only=True)
class StalePage:
    """A form that was open too long: sent again by one touch."""

    carried: tuple[Carried, ...] = told("The form as it was typed")
    action: str = told("Where it is sent again")


def show_failure(request: HttpRequest, failure: LoomwrightError, *, status: int) -> HttpResponse:
    """A failure of the family."""
    if isinstance(failure, Conflict):
        return _show_conflict(request, failure, status=status)
    problems = failure.problems if isinstance(failure, InputProblems) else ()
    job = _job(request)
    instead = failure.instead if isinstance(failure, Refused) else ""
    shown = FailurePage(
        what="" if problems else sentence(f"{failure.what}." if instead else str(failure)),
        instead=instead,
        back=_back(request),
        problems=_sentences(problems, job),
        job=job,
    )
    return show(request, shown, title=_heading(failure, job), job=job, status=status)


def show_missing(request: HttpRequest) -> HttpResponse:
    """An address with nothing behind it."""
    shown = FailurePage(
        what="The address leads nowhere. Go back, or begin with today's jobs.",
        instead="",
        back="",
        problems=(),
        job="",
    )
    return show(request, shown, title="There is no such page", status=404)


def show_unreadable(request: HttpRequest, what: str, *, status: int) -> HttpResponse:
    """Something was sent that cannot be read; `what` says why, and what to do."""
    shown = FailurePage(what=what, instead="", problems=(), job="", back="")
    return show(request, shown, title="This cannot be read", status=status)


def show_away(request: HttpRequest) -> HttpResponse:
    """The database does not answer: a page that needs nothing of it."""
    return render(request, "workshop/away.html", {"again": request.get_full_path()}, status=503)


def show_mistake(request: HttpRequest, reference: str) -> HttpResponse:
    """A mistake of the program."""
    shown = FailurePage(
        what=f"The cause lies in the program, not in your job (reference {reference}). "
        "Nothing was changed. The details are in failures.log in the workshop's folder.",
        instead="",
        back="",
        problems=(),
        job="",
    )
    return show(request, shown, title="This did not work", status=500)


def show_stale(request: HttpRequest) -> HttpResponse:
    """A form whose hidden key is out of date."""
    carried = tuple(
        Carried(name, value)
        for name, values in request.POST.lists()
        if name not in _NOT_CARRIED
        for value in values
    )
    shown = StalePage(carried=carried, action=request.get_full_path())
    return show(request, shown, title="Send it once more", status=403)


def _show_conflict(request: HttpRequest, failure: Conflict, *, status: int) -> HttpResponse:
    columns = {each.column for each in failure.disputed}
    now = {f"was.{each.column}": each.theirs for each in failure.disputed}
    carried = tuple(
        Carried(name, now.get(name, str(value)))
        for name, value in request.POST.items()
        if name not in (*_NOT_CARRIED, *columns)
    )
    shown = ConflictPage(
        what=str(failure),
        disputed=failure.disputed,
        carried=carried,
        action=request.get_full_path(),
    )
    return show(request, shown, title="Two values for one field", status=status)


def _job(request: HttpRequest) -> str:
    """The job that the address names, when there is one."""
    match = getattr(request, "resolver_match", None)
    name = str(match.kwargs.get("job", "")) if match else ""
    return name if name and job_head(name) else ""


def _back(request: HttpRequest) -> str:
    """The page whose form or link led here."""
    came = request.headers.get("Referer", "")
    if not url_has_allowed_host_and_scheme(came, allowed_hosts={request.get_host()}):
        return ""
    where = urlsplit(came)
    path = f"{where.path}?{where.query}" if where.query else where.path
    return "" if path == request.get_full_path() else path


def _heading(failure: LoomwrightError, job: str) -> str:
    if isinstance(failure, InputProblems):
        return "The job does not hold together yet" if job else "Something must be mended first"
    return {
        "NotFound": "There is no such thing here",
        "Refused": "Not safe to do" if job else "Not from this device",
        "StorageFailed": "It could not be kept",
    }.get(type(failure).__name__, "This cannot be done")


def _sentences(problems: tuple[Problem, ...], job: str) -> tuple[str, ...]:
    tell = Rows(job).told_of if job else told_of
    return tuple(tell(each) for each in problems if not each.warning)
