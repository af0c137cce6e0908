"""Heat and life: what ages fastest, how hot plugs get, what guards wires; a run typed in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.drawings.heat_course import heat_course
from loomwright.drawings.warming_plot import warming_plot
from loomwright.loom import InputProblems, Job, Problem
from loomwright.services.currents_words import STANDING as CURRENT_STANDING
from loomwright.services.currents_words import headline as currents_headline
from loomwright.services.heat import HeatReport, ShieldTest
from loomwright.services.heat_rows import (
    URGENT,
    CurrentRow,
    GuardRow,
    LifeRow,
    ZoneRow,
    current_rows,
    guard_rows,
    later_rows,
    life_rows,
    zone_row,
)
from loomwright.services.heat_words import HOT, course_words, glance, runs_words
from loomwright.services.life_words import STANDING as LIFE_STANDING
from loomwright.services.life_words import headline as life_headline
from loomwright.services.plug_heat_words import DERIVED, not_told_line
from loomwright.services.shield_curves import shield_curves
from loomwright.services.shield_test import CAUTIONS
from loomwright.services.shield_test_words import constant_words, rise_line, verdict_line
from loomwright.services.warming_log import POINTS, log_run
from loomwright.services.words import sentence
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Choice, Field, fields, typed
from loomwright.workshop.naming import told_of
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.not_yet import nothing_yet
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import Worked, worked_up

HERE = "Heat"
_TABLE = "warmings"
_BOOTS = (("on", "boot on"), ("off", "boot slid back"))
_KINDS = {"good": "good", "bad": "bad"}
_LEVELS = {"bad": "not right", "watch": "to watch", "good": "in order", "open": "not known"}


@attrs.frozen(kw_only=True)
class ShieldPart:
    """A boot that was tried.

    Attributes
    ----------
    plug : its name
    verdict, kind : whether the boot is sound, and the kind of the chip
    chart : the drawing of its runs
    said : the verdict and what it rests on
    open : what is not told, and what to measure instead
    """

    plug: str
    verdict: str
    kind: str
    chart: str
    said: tuple[str, ...]
    open: tuple[str, ...]


@attrs.frozen(kw_only=True)
class Line:
    """Something judged: chip and kind, what it is, what is said of it, and more in lines."""

    chip: str
    kind: str
    name: str
    words: str
    more: tuple[str, ...] = ()


@page("heat.html")
@attrs.frozen(kw_only=True)
class HeatPage:
    """What heat and current do to the loom."""

    glance: tuple[tuple[str, tuple[str, ...]], ...] = told("A word and its sentences each")
    cautions: tuple[str, ...] = told("What can hurt whoever looks at the loom")
    life_summary: str = told("How much is due")
    life: tuple[Line, ...] = told("Wires and boots that are due or to be watched, worst first")
    later: tuple[tuple[str, str], ...] = told("The others, each with what is left")
    course: str = told("The hottest plug after a hot stop, a drawing; blank without one")
    course_words: str = told("What it shows")
    zones: tuple[ZoneRow, ...] = told("Zones with plugs above what they are made for")
    cooler: tuple[ZoneRow, ...] = told("The other zones, hottest first")
    not_told: str = told("Plugs of which nothing is known; blank for none")
    shields: tuple[ShieldPart, ...] = told("Boots that were tried with a blower")
    shield_cautions: tuple[str, ...] = told("What to mind when one is tried")
    refused: bool = told("Whether this is what was typed, with what is wrong")
    problems: tuple[str, ...] = told("What is wrong beyond single fields, a sentence each")
    fields: tuple[Field, ...] = told("All fields of the form, for what is wrong with them")
    plug: Field = told("The plug that was warmed")
    boot: Field = told("Whether its boot was on")
    air: Field = told("Temperature of the blown air")
    points: Field = told("The readings, one in a line")
    note: Field = told("Anything seen")
    currents_summary: str = told("How many wires and fuses are not right")
    currents_caution: tuple[str, ...] = told("What to take care of; empty where all is guarded")
    wires: tuple[Line, ...] = told("Wires that run too warm, or nearly so")
    cool: tuple[Line, ...] = told("The other wires")
    fuses: tuple[Line, ...] = told("Wires that the battery feeds, with what guards them")
    rests_on: tuple[str, ...] = told("What the figures rest on, and what they cannot tell")


def heat(request: HttpRequest, job: str) -> HttpResponse:
    """Show what heat does, and take in a warming run."""
    if request.method == "POST":
        return _take_in(request, job)
    if early := nothing_yet(request, job, title=HERE, here=HERE):
        return early
    return _answer(request, job, {name: str(text) for name, text in request.GET.items()})


def _take_in(request: HttpRequest, job: str) -> HttpResponse:
    cells = {**typed(request, _TABLE), POINTS: request.POST.get(POINTS, "")}
    try:
        kept = log_run(BENCH, job, cells, cells[POINTS])
    except InputProblems as refusal:
        return _answer(request, job, cells, refusal.problems)
    say(request, f"Kept: run {kept.run} of plug {cells['plug']}, {kept.readings} readings.")
    for each in kept.warnings:
        say(request, told_of(each, kept.run), "caution")
    return HttpResponseRedirect(reverse("heat", args=[job]) + "#boots", status=303)


def _answer(
    request: HttpRequest, job: str, cells: Mapping[str, str], problems: tuple[Problem, ...] = ()
) -> HttpResponse:
    with worked_up(job) as worked:
        report = worked.results.heat(date.today())
        shown = _page(worked, report, _form(worked.job, cells, problems), problems)
    status = 400 if problems else 200
    return show(request, shown, title="Heat and life", job=job, here=HERE, status=status)


def _page(
    worked: Worked, report: HeatReport, form: dict[str, Field], problems: tuple[Problem, ...]
) -> HeatPage:
    wires = current_rows(report)
    return HeatPage(
        glance=glance(report),
        cautions=(HOT,),
        life_summary=f"{sentence(life_headline(report.life))}.",
        life=tuple(_life(each) for each in life_rows(report) if each.level in URGENT),
        later=tuple((sentence(name), left) for name, left in later_rows(report)),
        course=_course(report),
        course_words=course_words(report.hottest) if report.hottest else "",
        zones=tuple(zone_row(each) for each in report.plugs.zones if each.over),
        cooler=tuple(zone_row(each) for each in report.plugs.zones if not each.over),
        not_told=not_told_line(report.plugs),
        shields=tuple(_shield(worked.job, each) for each in report.shields),
        shield_cautions=CAUTIONS,
        refused=bool(problems),
        problems=tuple(told_of(each) for each in problems if each.where.column not in form),
        fields=tuple(form.values()),
        plug=form["plug"],
        boot=form["boot"],
        air=form["air_c"],
        points=form[POINTS],
        note=form["note"],
        currents_summary=f"{sentence(currents_headline(report.currents))}.",
        currents_caution=tuple(filter(None, (report.currents.caution,))),
        wires=tuple(_wire(each) for each in wires if each.level in URGENT),
        cool=tuple(_wire(each) for each in wires if each.level not in URGENT),
        fuses=tuple(_fuse(each) for each in guard_rows(report)),
        rests_on=(DERIVED, LIFE_STANDING, CURRENT_STANDING),
    )


def _course(report: HeatReport) -> str:
    hottest = report.hottest
    for zone in report.plugs.zones:
        if hottest is not None and hottest.zone == zone.course.zone:
            return heat_course(hottest, zone.course, course_words(hottest))
    return ""


def _shield(job: Job, test: ShieldTest) -> ShieldPart:
    constants = (
        f"Time constant: bare {constant_words(test.bare)}; with the boot "
        f"{constant_words(test.shielded)}."
    )
    return ShieldPart(
        plug=test.plug,
        verdict=f"boot {test.verdict}" if test.verdict in _KINDS else test.verdict,
        kind=_KINDS.get(test.verdict, "watch"),
        chart=warming_plot(test.plug, shield_curves(job, test), runs_words(test)),
        said=tuple(filter(None, (verdict_line(test), rise_line(test), constants))),
        open=tuple(sentence(each) for each in (*test.not_told, *test.measure)),
    )


def _life(row: LifeRow) -> Line:
    why = (f"{sentence(row.why)}.",) if row.why else ()
    return Line(
        chip=row.inspect or ("due now" if row.level == "bad" else "to watch"),
        kind=row.level,
        name=sentence(row.name),
        words=f"{sentence(row.left)}.",
        more=(*why, *(f"Instead: {each}." for each in row.buys)),
    )


def _wire(row: CurrentRow) -> Line:
    feeds = f", for {row.feeds}" if row.feeds else ""
    said = (f"{sentence(row.current)}{feeds}.", f"{sentence(row.warmth)}." if row.warmth else "")
    return Line(
        chip=_LEVELS[row.level],
        kind="" if row.level == "open" else row.level,
        name=row.wire,
        words=" ".join(filter(None, said)),
    )


def _fuse(row: GuardRow) -> Line:
    return Line(
        chip=_LEVELS[row.level],
        kind="" if row.level == "open" else row.level,
        name=row.wires,
        words=f"{row.words}.",
    )


def _form(job: Job, cells: Mapping[str, str], problems: Iterable[Problem]) -> dict[str, Field]:
    problems = tuple(problems)
    made = fields(_TABLE, cells, job=job, problems=problems, only=("plug", "boot", "air_c", "note"))
    form = {each.name: each for each in made}
    form["plug"] = attrs.evolve(form["plug"], required=True)
    form["boot"] = attrs.evolve(
        form["boot"], label="Its boot", help="", required=True,
        choices=tuple(Choice(value=value, words=words, chosen=cells.get("boot") == value)
                      for value, words in _BOOTS),
    )  # fmt: skip
    form["air_c"] = attrs.evolve(form["air_c"], label="Blown air")
    wrong = [each for each in problems if each.where.column == POINTS]
    form[POINTS] = Field(
        name=POINTS,
        label="Seconds and °C",
        help="A line for each reading, such as 20 31,5. Begin at 0 s, before the blower is on it; "
        "six readings or more tell best.",
        kind="long",
        value=cells.get(POINTS, ""),
        required=True,
        problem=" ".join(f"{sentence(each.what)}. {sentence(each.expected)}." for each in wrong),
    )
    return form
