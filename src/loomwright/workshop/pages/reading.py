"""One reading that was taken: its verdict at once, then what it means and what is next."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from loomwright.loom import Reading
from loomwright.services.asking import Probe
from loomwright.services.entering import row_of
from loomwright.services.expect_words import drops, side_paths
from loomwright.services.finding_words import how_sure, wrong
from loomwright.services.reading_words import worth
from loomwright.services.verdicts import Judged, OnScale, on_scale, reading_named, verdict
from loomwright.services.warmth import other_heat
from loomwright.services.words import state_words
from loomwright.workshop.asking import TABLES, asking_url, reading_url
from loomwright.workshop.bench import BENCH
from loomwright.workshop.pages.asked_part import UNITS
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import Worked, worked_up


@page("reading.html")
@attrs.frozen(kw_only=True)
class ReadingPage:
    """A reading with its verdict."""

    heading: str = told("Name, quantity and points")
    kind: str = told("In band, near its edge or outside: `in`, `near` or `out`")
    words: str = told("The verdict with mark and value")
    aside: str = told("Why it says nothing reliable; blank where it does")
    scale: OnScale = told("Band and value")
    taken: tuple[str, ...] = told("State, meter, time, note, a line each")
    notes: tuple[str, ...] = told("What else is in its path, and what a voltage drop means")
    next_url: str = told("The next reading, where the meaning is not shown")
    again_url: str = told("The same reading once more")
    heat: str = told("Whether it is worth once more hot or cold")
    heat_url: str = told("The same points, the temperature to be told")
    change_url: str = told("The form of the row, for what was typed wrong")
    meaning_url: str = told("Where its meaning is worked out; blank for readings after the work")
    proof_url: str = told("Before and after; blank for readings before the work")
    meaning: Meaning | None = told("What the readings mean, where that is known already")


@attrs.frozen(kw_only=True)
class NextOne:
    """The next reading in large."""

    red: str
    black: str
    heading: str
    worth: str
    url: str


@attrs.frozen(kw_only=True)
class Meaning:
    """What the readings mean, one of them in particular.

    Attributes
    ----------
    job : name of the job
    contradicts : how this reading contradicts others
    wrong, how_sure : what is wrong as far as it is known, and how sure that is
    next : the next reading; None where none tells more
    enough : whether another reading costs more than it can change
    """

    job: str
    contradicts: tuple[str, ...]
    wrong: tuple[str, ...]
    how_sure: tuple[str, ...]
    next: NextOne | None
    enough: bool


@page("meaning.html")
@attrs.frozen(kw_only=True)
class MeaningPage:
    """What the readings mean, for who has no scripts."""

    meaning: Meaning = told("What the readings mean, this one included")


def reading(request: HttpRequest, job: str, reading: str) -> HttpResponse:
    """Show a reading."""
    after = "after" in request.GET
    with worked_up(job) as worked:
        taken = reading_named(worked.job, reading, TABLES[after])
        found = verdict(worked.job, taken, worked.results.model)
        known = not after and worked.results.has("suspects")
        meaning = _meaning(job, worked, reading) if known else None
    shown = _reading_page(job, taken, found, after=after, meaning=meaning)
    return show(request, shown, title=shown.heading, job=job, here="Measure")


def meaning(request: HttpRequest, job: str, reading: str) -> HttpResponse:
    """Show what the readings mean; alone, or as the part of a reading's page."""
    with worked_up(job) as worked:
        reading_named(worked.job, reading, "readings")
        found = _meaning(job, worked, reading)
    if getattr(request, "htmx", False):
        return render(request, "workshop/parts/meaning.html", {"meaning": found})
    shown = MeaningPage(meaning=found)
    return show(request, shown, title=f"What {reading} means", job=job, here="Measure")


def _reading_page(
    job: str, taken: Reading, found: Judged, *, after: bool, meaning: Meaning | None
) -> ReadingPage:
    name, probe = str(taken.reading), Probe.of(taken)
    here, table = reading_url(job, name, after=after), TABLES[after]
    key = row_of(BENCH.rows.rows(job, table), "reading", name).key
    heat = other_heat(taken)
    return ReadingPage(
        heading=f"{name}: {UNITS[taken.quantity][0].casefold()}, {taken.plus} to {taken.minus}",
        kind=found.kind,
        words=found.words,
        aside=found.aside,
        scale=on_scale(found.row),
        taken=_taken(taken),
        notes=(*side_paths([found.row]), *drops([found.row])),
        next_url=reverse("measure", args=[job]) + ("?after=1" if after else ""),
        again_url=asking_url(job, probe, after=after),
        heat=heat,
        heat_url=asking_url(job, probe, after=after, hot="1"),
        change_url=f"{reverse('row', args=[job, table, key])}?back={here}",
        meaning_url="" if after else reverse("meaning", args=[job, name]),
        proof_url=reverse("proof", args=[job]) if after else "",
        meaning=meaning,
    )


def _taken(taken: Reading) -> tuple[str, ...]:
    off = f"off: {', '.join(taken.unplugged)}" if taken.unplugged else ""
    how = "; ".join(filter(None, (state_words(str(taken.state)), off)))
    when = ", ".join(filter(None, (taken.meter and f"meter {taken.meter}", taken.taken_at)))
    return tuple(filter(None, (how, when, taken.note)))


def _meaning(job: str, worked: Worked, name: str) -> Meaning:
    report, labels = worked.results.suspects, worked.results.labels
    return Meaning(
        job=job,
        contradicts=tuple(each.sentence for each in report.contradictions if name in each.readings),
        wrong=tuple(wrong(report, labels)),
        how_sure=tuple(how_sure(report)),
        next=_next(job, worked),
        enough=report.stop,
    )


def _next(job: str, worked: Worked) -> NextOne | None:
    report = worked.results.suspects
    if not report.next_readings:
        return None
    best = report.next_readings[0]
    probe = best.suggestion.candidate.probe
    return NextOne(
        red=str(probe.plus),
        black=str(probe.minus),
        heading=UNITS[probe.quantity][0],
        worth=worth(best),
        url=asking_url(job, probe),
    )
