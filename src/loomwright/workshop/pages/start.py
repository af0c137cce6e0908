"""Start a job: what it is about, and from what it starts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import cast

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.loom import About, InputProblems, Job, NotFound, Problem, Where, read_record, schema
from loomwright.services.starting import SYMPTOM_WORDS, started
from loomwright.services.words import sentence
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Choice, Field, fields
from loomwright.workshop.job_list import keep_new, kept_jobs
from loomwright.workshop.naming import Rows, told_of
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.shelf import SHELF

_ASKED = ("title", "vehicle", "complaint", "opened_on")


@attrs.frozen
class Symptom:
    """A symptom to tick."""

    name: str
    words: str
    here: bool


@page("start.html")
@attrs.frozen(kw_only=True)
class StartPage:
    """The form of a new job."""

    earlier: Field = told("The job of the same car to start from")
    fields: tuple[Field, ...] = told("What the job is about")
    symptoms: tuple[Symptom, ...] = told("Symptoms to tick")
    all_fields: tuple[Field, ...] = told("Every field, for what is wrong with them")
    problems: tuple[str, ...] = told("What is wrong beyond single fields, a sentence each")
    refused: bool = told("Whether this is what was typed, with what is wrong")


def start(request: HttpRequest) -> HttpResponse:
    """Ask what the job is about; start it."""
    if request.method != "POST":
        return _form(request, _offered(request.GET.get("earlier", "")))
    typed = _typed(request)
    try:
        about, earlier = _read(typed)
    except InputProblems as refusal:
        return _form(request, typed, refusal.problems)
    job = started(earlier, None if earlier else _shelf(request), about)
    name = keep_new(job)
    say(request, f"Started: {about.title}.")
    return HttpResponseRedirect(reverse("job" if job.plugs else "loom", args=[name]), status=303)


def _offered(earlier: str) -> dict[str, str]:
    """What stands in the form at first: today, and the car of the job it is to start from."""
    known = next((each for each in kept_jobs() if each.name == earlier), None)
    return {
        "earlier": known.name if known else "",
        "vehicle": known.vehicle if known else "",
        "opened_on": date.today().isoformat(),
    }


def _typed(request: HttpRequest) -> dict[str, str]:
    told_ = {name: request.POST.get(name, "").strip() for name in (*_ASKED, "earlier")}
    ticked = request.POST.getlist("symptoms")
    return {**told_, "symptoms": " ".join(name for name in SYMPTOM_WORDS if name in ticked)}


def _read(typed: Mapping[str, str]) -> tuple[About, Job | None]:
    """What the job is about, and the job to start from.

    Raises
    ------
    InputProblems
        holding all that is wrong with either.
    """
    problems: list[Problem] = []
    about, earlier = About(title=""), None
    try:
        cells = {name: typed[name] for name in (*_ASKED, "symptoms")}
        about = cast(About, read_record(schema.table("job"), cells))
    except InputProblems as refusal:
        problems += refusal.problems
    try:
        earlier = _earlier(typed["earlier"])
    except InputProblems as refusal:
        problems += refusal.problems
    if problems:
        raise InputProblems(problems)
    return about, earlier


def _earlier(name: str) -> Job | None:
    """The job to start from; None for none.

    Raises
    ------
    InputProblems
        when it is gone, or does not hold together.
    """
    if not name:
        return None
    try:
        if name == SHELF:
            raise NotFound("that is not a job")
        return BENCH.jobs.read(name)
    except NotFound as failure:
        what, cure = f'there is no job "{name}"', "choose one of those offered, or none"
        raise InputProblems([Problem(Where("job", None, "earlier"), what, cure)]) from failure
    except InputProblems as failure:
        count = len(failure.problems)
        many = "one thing" if count == 1 else f"{count} things"
        what = f'"{name}" does not hold together: {many} to mend'
        cure = "mend its tables first, or start without it"
        raise InputProblems([Problem(Where("job", None, "earlier"), what, cure)]) from failure


def _shelf(request: HttpRequest) -> Job | None:
    """What the workshop has on its shelf, as far as it can be read."""
    if not BENCH.jobs.exists(SHELF):
        return None
    shelf, problems = BENCH.jobs.inspect(SHELF)
    rows = Rows(SHELF)
    for each in problems:
        if not each.warning:
            say(request, f"On the workshop's shelf, see Settings: {rows.told_of(each)}", "caution")
    return shelf


def _form(
    request: HttpRequest, cells: Mapping[str, str], problems: tuple[Problem, ...] = ()
) -> HttpResponse:
    about = fields("job", cells, problems=problems, only=_ASKED)
    earlier = _earlier_field(cells.get("earlier", ""), problems)
    ticked = cells.get("symptoms", "").split()
    shown = StartPage(
        earlier=earlier,
        fields=about,
        symptoms=tuple(
            Symptom(name, sentence(words), name in ticked) for name, words in SYMPTOM_WORDS.items()
        ),
        all_fields=(earlier, *about),
        problems=tuple(
            told_of(each) for each in problems if each.where.column not in (*_ASKED, "earlier")
        ),
        refused=bool(problems),
    )
    return show(request, shown, title="Start a job", status=400 if problems else 200)


def _earlier_field(chosen: str, problems: tuple[Problem, ...]) -> Field:
    wrong = next((each for each in problems if each.where.column == "earlier"), None)
    choices = [Choice(value="", words="no, a car that is new here", chosen=not chosen)]
    choices += [
        Choice(value=each.name, words=_called(each.title, each.vehicle), chosen=each.name == chosen)
        for each in kept_jobs()
    ]
    return Field(
        name="earlier",
        label="Same car as an earlier job",
        kind="choice",
        help="Its loom, parts and meters are taken over; you enter the differences only. What was "
        "measured, seen and done then stays there.",
        value=chosen,
        was=chosen,
        choices=tuple(choices),
        problem=f"{sentence(wrong.what)}. {sentence(wrong.expected)}." if wrong else "",
    )


def _called(title: str, vehicle: str) -> str:
    car = vehicle if len(vehicle) <= 60 else vehicle[:60].rpartition(" ")[0] + " …"
    return f"{title} ({car})" if car else title
