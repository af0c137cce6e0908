"""Today: the open jobs, what each waits for, and the next thing to do."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from loomwright.services.moments import FORM
from loomwright.services.standing import Standing, standing, unsound
from loomwright.workshop.bench import BENCH
from loomwright.workshop.job_list import Kept, kept_jobs
from loomwright.workshop.leading import way
from loomwright.workshop.pages.page import page, show, told

A_PAGE = 20
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
    open_ = kept_jobs(closed=False)
    of = max(1, -(-len(open_) // A_PAGE))
    number = min(of, _page_number(request))
    shown = TodayPage(
        jobs=tuple(map(_open, open_[(number - 1) * A_PAGE : number * A_PAGE])),
        closed=tuple(map(_closed, kept_jobs(closed=True))),
        number=number,
        of=of,
        before=f"?page={number - 1}" if number > 1 else "",
        after=f"?page={number + 1}" if number < of else "",
    )
    return show(request, shown, title="Today")


def stands(job: str) -> Standing:
    """How far a job is, by what is written down alone.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    known, problems = BENCH.jobs.inspect(job)
    return unsound(problems) or standing(known)


def _page_number(request: HttpRequest) -> int:
    text = request.GET.get("page", "")
    return max(1, int(text)) if text.isascii() and text.isdigit() else 1


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
