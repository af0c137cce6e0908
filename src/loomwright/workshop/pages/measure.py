"""One reading at a time: what to measure next, why, and the value typed in."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from loomwright.loom import InputProblems, Problem
from loomwright.services.asking import Probe, as_texts, permitted, wished
from loomwright.services.entering import Entered, enter
from loomwright.services.measuring import retaken
from loomwright.services.moments import now_text
from loomwright.services.reading_words import worth
from loomwright.services.suspects import NextReading
from loomwright.services.warmth import at_temperatures, checked
from loomwright.workshop.asking import TABLES, asking_url, reading_url
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Field, typed
from loomwright.workshop.naming import told_of
from loomwright.workshop.pages.asked_part import UNITS, WARMTHS, AskedPart, Form, asked_part
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.not_yet import nothing_yet
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import Worked, at_hand, worked_up

_CELLS = ("quantity", "plus", "minus", "unplugged", "value", "meter", "note")


@attrs.frozen
class Other:
    """Another reading that could be taken; a row that is a link."""

    url: str
    title: str
    words: str
    chip: str = ""
    kind: str = ""


@page("measure.html")
@attrs.frozen(kw_only=True)
class MeasurePage:
    """The next reading, or the one that was asked for."""

    job: str = told("Name of the job")
    waiting_url: str = told("Where the page is worked out; blank when it is here")
    after: bool = told("Whether it is a reading after the work")
    asked: AskedPart | None = told("The reading; None where there is none to take")
    nothing: str = told("What is said where there is no reading to take")
    others: tuple[Other, ...] = told("Other readings worth taking")
    refused: bool = told("Whether this is what was typed, with what is wrong")
    problems: tuple[str, ...] = told("What is wrong beyond single fields, a sentence each")
    fields: tuple[Field, ...] = told("The fields, to name those with something wrong")
    label: str = told("What an entry kept on the device is called")


def measure(request: HttpRequest, job: str) -> HttpResponse:
    """Ask for a reading, and take it in."""
    if request.method == "POST":
        return _take_in(request, job)
    if early := nothing_yet(request, job, title="Measure", here="Measure"):
        return early
    texts = {name: str(text) for name, text in request.GET.items()}
    part = bool(getattr(request, "htmx", False))
    if part or "now" in texts or "plus" in texts or at_hand(job).results.has("suspects"):
        with worked_up(job) as worked:
            shown = _measured(job, worked, texts)
    else:
        shown = _waiting(job, texts)
    if part:
        return render(request, "workshop/parts/measuring.html", {"page": shown})
    status = 403 if shown.asked and shown.asked.refusal else 200
    return show(request, shown, title="Measure", job=job, here="Measure", status=status)


def _waiting(job: str, texts: Mapping[str, str]) -> MeasurePage:
    after = "after" in texts
    return _page(job, after, waiting_url=f"?now=1{'&after=1' if after else ''}")


def _measured(job: str, worked: Worked, texts: Mapping[str, str]) -> MeasurePage:
    after = "after" in texts
    form = Form(table=TABLES[after], hot="hot" in texts, again=texts.get("again", ""))
    if "plus" in texts:
        return _one(job, worked, wished(worked.job, texts), form)
    if after:
        return _after(job, worked, form)
    report = worked.results.suspects
    if not report.next_readings:
        nothing = "No reading within reach tells more."
        return _page(job, after, nothing=nothing)
    return _one(job, worked, report.next_readings[0].suggestion.candidate.probe, form)


def _after(job: str, worked: Worked, form: Form) -> MeasurePage:
    """The first reading before the work that was not in order and was not taken again."""
    report = worked.results.proof
    left = retaken(worked.job, report.unproved)
    if not left:
        return _page(job, after=True, nothing=report.verdict)
    name, probe = left[0]
    shown = _one(job, worked, probe, attrs.evolve(form, again=name))
    others = tuple(
        Other(asking_url(job, each, after=True, again=earlier), _points(each), earlier)
        for earlier, each in left[1:]
    )
    return attrs.evolve(shown, others=others)


def _one(job: str, worked: Worked, probe: Probe, form: Form) -> MeasurePage:
    report = worked.results.suspects if worked.results.has("suspects") else None
    asked = asked_part(job, worked.job, probe, worked.results.model, form, report)
    offers = report.next_readings if report and form.table == "readings" else ()
    others = tuple(
        Other(_url(job, each), _points(each.suggestion.candidate.probe), worth(each))
        for each in offers
        if as_texts(each.suggestion.candidate.probe) != as_texts(probe)
    )
    return _page(job, form.table == "proof", asked=asked, others=others, problems=form.problems)


def _page(
    job: str,
    after: bool,
    *,
    waiting_url: str = "",
    asked: AskedPart | None = None,
    nothing: str = "",
    others: tuple[Other, ...] = (),
    problems: tuple[Problem, ...] = (),
) -> MeasurePage:
    fields = asked.fields if asked else ()
    beside = {field.name for field in fields}
    return MeasurePage(
        job=job,
        waiting_url=waiting_url,
        after=after,
        asked=asked,
        nothing=nothing,
        others=others,
        refused=bool(problems),
        problems=tuple(told_of(each) for each in problems if each.where.column not in beside),
        fields=fields,
        label=f"reading {asked.red.point} to {asked.black.point}" if asked else "",
    )


def _points(probe: Probe) -> str:
    return f"{UNITS[probe.quantity][0]}, red {probe.plus}, black {probe.minus}"


def _url(job: str, reading: NextReading) -> str:
    return asking_url(job, reading.suggestion.candidate.probe)


def _take_in(request: HttpRequest, job: str) -> HttpResponse:
    after = "after" in request.POST
    known, _ = BENCH.jobs.inspect(job)
    cells = {name: text for name, text in typed(request, "readings").items() if name in _CELLS}
    cells["state"] = request.POST.get("state", "")
    probe = wished(known, cells)
    permitted(known, probe)
    try:
        kept = _keep(request, job, TABLES[after], cells)
    except InputProblems as refusal:
        return _again(request, job, probe, refusal.problems)
    for each in kept.warnings:
        say(request, told_of(each), "caution")
    where = reading_url(job, kept.cells["reading"], after=after)
    return HttpResponseRedirect(where, status=303)


def _keep(request: HttpRequest, job: str, table: str, cells: Mapping[str, str]) -> Entered:
    warm = {name: request.POST.get(name, "") for name in WARMTHS}
    checked(table, cells, warm, needed="engine_c" if "hot" in request.POST else "")
    again = request.POST.get("again", "")
    taken = {row.cells.get("reading", "") for row in BENCH.rows.rows(job, table)}
    row = {
        **cells,
        "reading": again if again and again not in taken else "",
        "state": at_temperatures(cells["state"], warm),
        "taken_at": now_text(),
    }
    return enter(BENCH, job, table, row)


def _again(
    request: HttpRequest, job: str, probe: Probe, problems: tuple[Problem, ...]
) -> HttpResponse:
    """The form with what was typed, and what is wrong beside it."""
    posted = {name: str(text) for name, text in request.POST.items()}
    form = Form(
        table=TABLES["after" in posted],
        hot="hot" in posted,
        again=posted.get("again", ""),
        typed=posted,
        problems=tuple(_here(each) for each in problems),
    )
    with worked_up(job) as worked:
        shown = _one(job, worked, probe, form)
    return show(request, shown, title="Measure", job=job, here="Measure", status=400)


def _here(problem: Problem) -> Problem:
    """The fields are those of readings, whichever table the row would stand in."""
    where = attrs.evolve(problem.where, table="readings")
    return attrs.evolve(problem, where=where) if problem.where.table == "proof" else problem
