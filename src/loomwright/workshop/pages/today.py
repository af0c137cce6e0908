"""Today: the open jobs, what each waits for, and the next thing to do."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from loomwright.services.moments import FORM
from loomwright.workshop.job_list import Kept, kept_jobs
from loomwright.workshop.leading import way
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.paging import paged
from loomwright.workshop.standings import stands

A_PAGE = 12
"""Open jobs on one page."""


@attrs.frozen(kw_only=True)
class OpenJob:
    """An open job.

    Attributes
    ----------
    title, vehicle, url : the job, and its page
    waits : what it waits for
    do, do_url : the next thing to do, and where
    changed : when it last changed
    sound : whether it holds together
    """

    title: str
    vehicle: str
    url: str
    waits: str
    do: str
    do_url: str
    changed: str
    sound: bool


@attrs.frozen
class ClosedJob:
    """A closed job, as a row that is a link."""

    title: str
    words: str
    url: str
    chip: str = ""
    kind: str = ""


@page("today.html")
@attrs.frozen(kw_only=True)
class TodayPage:
    """The jobs."""

    jobs: tuple[OpenJob, ...] = told("Open jobs, the last changed first")
    closed: tuple[ClosedJob, ...] = told("Closed jobs, the last changed first")
    number: int = told("Which page of the open jobs this is, from 1")
    of: int = told("How many pages there are")
    before: str = told("Address of the page before; blank on the first")
    after: str = told("Address of the next page; blank on the last")


def today(request: HttpRequest) -> HttpResponse:
    """Show the jobs."""
    some = paged(request, kept_jobs(closed=False), A_PAGE)
    shown = TodayPage(
        jobs=tuple(map(_open, some.rows)),
        closed=tuple(map(_closed, kept_jobs(closed=True))),
        number=some.number,
        of=some.of,
        before=some.before,
        after=some.after,
    )
    return show(request, shown, title="Today")


def _open(kept: Kept) -> OpenJob:
    next_ = stands(kept.name)
    return OpenJob(
        title=kept.title,
        vehicle=kept.vehicle,
        url=reverse("job", args=[kept.name]),
        waits=next_.waits,
        do=next_.do,
        do_url=way(kept.name, next_),
        changed=kept.changed_at.astimezone().strftime(FORM),
        sound=next_.sound,
    )


def _closed(kept: Kept) -> ClosedJob:
    return ClosedJob(kept.title, kept.vehicle, reverse("job", args=[kept.name]))
