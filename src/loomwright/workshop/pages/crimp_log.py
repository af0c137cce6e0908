"""The crimp log: a trial crimp typed in, and what the trials of each set-up prove so far."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlencode

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from loomwright.drawings.crimp_chart import CrimpChart, Pull, crimp_chart
from loomwright.loom import CrimpTrial, InputProblems, Problem
from loomwright.services.crimp_words import is_of, set_up_words, unchosen, untried, verdict
from loomwright.services.crimps import SetUp
from loomwright.services.entering import enter, next_name
from loomwright.services.moments import now_text
from loomwright.services.words import listed, sentence
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Choice, Field, fields, typed
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import Worked, worked_up

CAUTIONS = (
    "Keep fingers clear of the die, and eyes behind glasses while a crimp is pulled: it lets go "
    "at once.",
    "No solder after the crimp, and no strand cut away to fit.",
)
_NEW = ("terminal", "section_mm2", "die")
_MORE = ("width_mm", "note")
_MOST_TILES = 6


@attrs.frozen(kw_only=True)
class TrialRow:
    """A trial: its name, what was measured and seen, and the form to change it."""

    trial: str
    height: str
    width: str
    pull: str
    gave_way: str
    look: str
    note: str
    url: str


@attrs.frozen(kw_only=True)
class SetUpPart:
    """A set-up.

    Attributes
    ----------
    name, heading : its name, and what it is
    verdict, kind : whether its pull is proved, and the kind of the chip
    chart : the drawing; blank without a pull
    said, warnings : what the trials prove, and what to look at
    trials : its trials
    more_url : the form for another trial of it
    """

    name: str
    heading: str
    verdict: str
    kind: str
    chart: str
    said: tuple[str, ...]
    warnings: tuple[str, ...]
    trials: tuple[TrialRow, ...]
    more_url: str


@attrs.frozen
class Needed:
    """A terminal that the work needs and nobody tried; a row that is a link."""

    url: str
    title: str
    words: str
    chip: str = ""
    kind: str = ""


@page("crimps.html")
@attrs.frozen(kw_only=True)
class CrimpsPage:
    """The log."""

    job: str = told("Name of the job")
    cautions: tuple[str, ...] = told("What can hurt, or spoil the crimp")
    refused: bool = told("Whether this is what was typed, with what is wrong")
    problems: tuple[str, ...] = told("What is wrong beyond single fields, a sentence each")
    fields: tuple[Field, ...] = told("All fields of the form, for what is wrong with them")
    set_up: Field = told("Which set-up, one of those there are or a new one")
    as_tiles: bool = told("Whether there are few enough to be tiles")
    new: tuple[Field, ...] = told("What a new set-up is")
    new_open: bool = told("Whether a new one is asked for")
    height: Field = told("Height of the crimp")
    more: tuple[Field, ...] = told("Width, and anything seen")
    more_open: bool = told("Whether something stands in those")
    pull: Field = told("The force")
    failed_at: Field = told("What gave way")
    look: Field = told("How it looks")
    set_ups: tuple[SetUpPart, ...] = told("What the trials of each set-up prove")


@page("crimps_needed.html")
@attrs.frozen(kw_only=True)
class NeededPage:
    """Crimps that the work needs and nobody tried."""

    needed: tuple[Needed, ...] = told("Terminals, each with the form filled in for it")
    unchosen: str = told("Where it is not known yet what is crimped; blank for nowhere")


def crimps(request: HttpRequest, job: str) -> HttpResponse:
    """Show the log, and take in a trial."""
    if request.method == "POST":
        return _take_in(request, job)
    cells = {name: str(text) for name, text in request.GET.items()}
    return _log(request, job, cells)


def crimps_needed(request: HttpRequest, job: str) -> HttpResponse:
    """What the work needs; slow the first time, so it comes after the page."""
    with worked_up(job) as worked:
        work, labels = worked.results.work, worked.results.labels
        lines = tuple(untried(work))
        left = listed([labels.called(item) for item in unchosen(work)])
    base = reverse("crimps", args=[job])
    needed = tuple(
        Needed(f"{base}?{urlencode(_of_line(line.part.part, line.section_mm2, line.crimping.die))}",
               sentence(is_of(line)), "Make three to five trials", "no trial yet", "watch")
        for line in lines
    )  # fmt: skip
    shown = NeededPage(needed=needed, unchosen=left)
    if getattr(request, "htmx", False):
        return render(request, "workshop/parts/crimps_needed.html", {"page": shown})
    return show(request, shown, title="Crimps that the work needs", job=job, here="Work")


def _of_line(terminal: str, section: float | None, die: str | None) -> dict[str, str]:
    return {"terminal": terminal, "section_mm2": "" if section is None else f"{section:g}",
            "die": die or ""}  # fmt: skip


def _take_in(request: HttpRequest, job: str) -> HttpResponse:
    cells = typed(request, "crimps")
    known, _ = BENCH.jobs.inspect(job)
    try:
        kept = enter(
            BENCH, job, "crimps", {**completed(cells, known.crimps), "made_at": now_text()}
        )
    except InputProblems as refusal:
        return _log(request, job, cells, refusal.problems)
    set_up = kept.cells["set_up"]
    say(request, f"Kept: trial {kept.cells['trial']} of set-up {set_up}.")
    for each in kept.warnings:
        say(request, each.sentence, "caution")
    back = f"{reverse('crimps', args=[job])}?set_up={set_up}#set-up-{set_up}"
    return HttpResponseRedirect(back, status=303)


def completed(cells: Mapping[str, str], trials: tuple[CrimpTrial, ...]) -> dict[str, str]:
    """A trial with what its set-up is; a new set-up gets the next free name."""
    set_up = cells.get("set_up", "").strip()
    first = next((trial for trial in trials if trial.set_up == set_up), None)
    if first is None:
        names = [trial.set_up for trial in trials]
        return {**cells, "set_up": set_up or next_name(names, "S1")}
    section = "" if first.section_mm2 is None else f"{first.section_mm2:g}"
    said = {"terminal": first.terminal or "", "section_mm2": section, "die": first.die or ""}
    return {**cells, **{name: cells.get(name, "").strip() or text for name, text in said.items()}}


def _log(
    request: HttpRequest,
    job: str,
    cells: Mapping[str, str],
    problems: tuple[Problem, ...] = (),
) -> HttpResponse:
    with worked_up(job) as worked:
        shown = _page(job, worked, cells, problems)
    status = 400 if problems else 200
    return show(request, shown, title="Crimp log", job=job, here="Work", status=status)


def _page(
    job: str, worked: Worked, cells: Mapping[str, str], problems: tuple[Problem, ...]
) -> CrimpsPage:
    by_name = {
        each.name: each for each in fields("crimps", cells, job=worked.job, problems=problems)
    }
    parts = tuple(_part(job, each) for each in worked.results.crimps.set_ups)
    last = str(worked.job.crimps[-1].set_up) if worked.job.crimps else ""
    wanted = cells.get("set_up", "")
    new = not parts or (not wanted and any(cells.get(name) for name in _NEW))
    known = tuple(part.name for part in parts)
    return CrimpsPage(
        job=job,
        cautions=CAUTIONS,
        refused=bool(problems),
        problems=tuple(each.sentence for each in problems if each.where.column not in by_name),
        fields=tuple(by_name.values()),
        set_up=_set_up_field(by_name["set_up"], parts, "" if new else wanted or last),
        as_tiles=len(known) < _MOST_TILES,
        new=tuple(by_name[name] for name in _NEW),
        new_open=new,
        height=by_name["height_mm"],
        more=tuple(by_name[name] for name in _MORE),
        more_open=any(by_name[name].value or by_name[name].problem for name in _MORE),
        pull=by_name["pull_n"],
        failed_at=attrs.evolve(by_name["failed_at"], label="What gave way", help=""),
        look=attrs.evolve(by_name["look"], label="How it looks", help=""),
        set_ups=parts,
    )


def _set_up_field(field: Field, parts: tuple[SetUpPart, ...], chosen: str) -> Field:
    """The set-ups there are, and a new one."""
    choices = [Choice(value=part.name, words=f"{part.name}: {part.heading}",
                      chosen=part.name == chosen) for part in parts]  # fmt: skip
    fresh = Choice(value="", words="a new set-up", chosen=not chosen)
    return attrs.evolve(
        field,
        kind="choice",
        label="Set-up",
        required=False,
        choices=(*choices, fresh),
        help="A set-up is one terminal, one wire and one die",
    )


def _part(job: str, each: SetUp) -> SetUpPart:
    keys = {row.cells.get("trial", ""): row.key for row in BENCH.rows.rows(job, "crimps")}
    base = reverse("crimps", args=[job])
    words, kind = verdict(each)
    chart = _chart(each, words)
    return SetUpPart(
        name=str(each.set_up),
        heading=set_up_words(each.terminal, each.section_mm2, each.die),
        verdict=words,
        kind=kind,
        chart=crimp_chart(chart) if chart.pulls else "",
        said=each.said,
        warnings=each.warnings,
        trials=tuple(
            _row(row, reverse("row", args=[job, "crimps", keys[row.trial]]) + f"?back={base}")
            for row in each.trials
        ),
        more_url=f"{base}?set_up={each.set_up}#enter",
    )


def _chart(each: SetUp, words: str) -> CrimpChart:
    pulls = tuple(
        Pull(trial=str(row.trial), force_n=row.pull_n, gave_way=row.failed_at or "",
             doubted=row.look in ("doubtful", "bad"))
        for row in each.trials
        if row.pull_n is not None
    )  # fmt: skip
    told = ", ".join(f"{pull.trial} {pull.force_n:g} N" for pull in pulls)
    return CrimpChart(
        name=str(each.set_up),
        pulls=pulls,
        asked_n=each.least.pull_n if each.least else None,
        shown_n=each.bound_n,
        words=f"Pulls: {told}. {sentence(words)}.",
    )


def _row(row: CrimpTrial, url: str) -> TrialRow:
    return TrialRow(
        trial=str(row.trial),
        height="" if row.height_mm is None else f"{row.height_mm:.2f}",
        width="" if row.width_mm is None else f"{row.width_mm:.2f}",
        pull="" if row.pull_n is None else f"{row.pull_n:g}",
        gave_way=row.failed_at or "",
        look=row.look or "",
        note=row.note or "",
        url=url,
    )
