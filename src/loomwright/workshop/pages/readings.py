"""All readings against what a sound loom would read, and those not taken yet."""

from __future__ import annotations

from collections.abc import Sequence

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.services.asking import probe_of
from loomwright.services.expect import Expectation
from loomwright.services.expect_words import (
    NONE_TAKEN,
    notes,
    off_throughout,
    short_state,
    temperatures,
)
from loomwright.services.measuring import expected_after
from loomwright.services.numbers import shown
from loomwright.services.words import VERDICTS, band
from loomwright.workshop.asking import asking_url, reading_url
from loomwright.workshop.pages.not_yet import too_early
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import Worked, worked_up

_CHIPS = {"good": "good", "bad": "bad", "care": "watch", "quiet": ""}


@attrs.frozen(kw_only=True)
class Line:
    """One reading with its band; a row that is a link.

    Attributes
    ----------
    title : its name and points
    words : what was read, what a sound loom reads, what sets it apart
    chip, kind : the verdict, and its mark
    """

    url: str
    title: str
    words: str
    chip: str
    kind: str


@page("readings.html")
@attrs.frozen(kw_only=True)
class ReadingsPage:
    """Every reading with its band and verdict."""

    job: str = told("Name of the job")
    taken: tuple[Line, ...] = told("Readings before the work")
    after: tuple[Line, ...] = told("Readings after the work")
    untaken: tuple[Line, ...] = told("Useful readings that were not taken")
    none: str = told("What is said where no reading was taken")
    notes: tuple[str, ...] = told("What the figures rest on")
    temperatures: tuple[str, ...] = told("Temperatures assumed, a line each")


def readings(request: HttpRequest, job: str) -> HttpResponse:
    """Show all readings."""
    if early := too_early(request, job, "expected", title="All readings", here="Measure"):
        return early
    with worked_up(job) as worked:
        page_ = _readings_page(job, worked)
    return show(request, page_, title="All readings", job=job, here="Measure")


def _readings_page(job: str, worked: Worked) -> ReadingsPage:
    rows = worked.results.expected
    after = expected_after(worked.job, worked.results.diagnosed)
    taken = [row for row in rows if row.reading]
    return ReadingsPage(
        job=job,
        taken=_lines(job, taken),
        after=_lines(job, after, after=True),
        untaken=_lines(job, [row for row in rows if not row.reading]),
        none="" if taken else f"{NONE_TAKEN}.",
        notes=tuple(notes(rows, off_throughout(rows))) if rows else (),
        temperatures=tuple("".join(pair) for pair in temperatures(rows, worked.job))
        if rows
        else (),
    )


def _lines(job: str, rows: Sequence[Expectation], *, after: bool = False) -> tuple[Line, ...]:
    always = off_throughout(rows) if rows else frozenset()
    return tuple(_line(job, row, always, after=after) for row in rows)


def _line(job: str, row: Expectation, always: frozenset[str], *, after: bool) -> Line:
    name = row.reading or ""
    taken = "" if row.taken is None else shown(row.taken, row.quantity)
    sound = f"sound: {band(row.low, row.high, row.quantity)}"
    return Line(
        url=reading_url(job, name, after=after) if name else asking_url(job, probe_of(row)),
        title=f"{name} {row.plus} – {row.minus}".strip(),
        words="; ".join(filter(None, (taken, sound, short_state(row, always)))),
        chip=row.verdict,
        kind=_CHIPS[VERDICTS[row.verdict][1]],
    )
