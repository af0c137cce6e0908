"""A job in one glance: what is wrong, what is next, what it is about, what could be done."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from loomwright.loom import Job
from loomwright.services.change_words import Change, gathered, said_of_all
from loomwright.services.moments import FORM
from loomwright.services.standing import Standing
from loomwright.services.starting import SYMPTOM_WORDS
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.changes import changes
from loomwright.workshop.job_list import is_closed, set_closed
from loomwright.workshop.leading import about_form, way
from loomwright.workshop.naming import ONE_ROW
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.standings import stands

SHOWN = 4
"""Changes that are told; all stand in the history."""


@attrs.frozen
class Past:
    """A change, or many rows that came in one go."""

    at: str
    words: str


@page("job.html")
@attrs.frozen(kw_only=True)
class JobPage:
    """The job."""

    waits: str = told("What the job waits for, a sentence")
    do: str = told("The next thing to do")
    do_url: str = told("Where that is done")
    worth_working_out: bool = told("Whether there is enough to say what may be wrong")
    complaint: str = told("What the owner says; blank where nobody wrote it down")
    symptoms: tuple[str, ...] = told("The complaint in the words that are weighed")
    opened_on: str = told("The day the job was opened")
    about_url: str = told("The form of all that")
    photos: int = told("How many photos there are")
    readings: int = told("How many readings were taken before the work")
    changes: tuple[Past, ...] = told("The last changes, the newest first")
    closed: bool = told("Whether the job is closed")


def job(request: HttpRequest, job: str) -> HttpResponse:
    """Show the job."""
    known, _ = BENCH.jobs.inspect(job)
    shown = _job_page(job, known, stands(job))
    return show(request, shown, title="How it stands", job=job, here="Job")


@require_POST
def close_job(request: HttpRequest, job: str) -> HttpResponse:
    """Close the job, or open it again."""
    closed = request.POST.get("closed") == "yes"
    set_closed(job, closed=closed)
    say(request, "The job is closed. It stays among the closed jobs." if closed else
        "The job is open again.")  # fmt: skip
    return HttpResponseRedirect(reverse("today" if closed else "job", args=[] if closed else [job]),
                                status=303)  # fmt: skip


def _job_page(name: str, known: Job, next_: Standing) -> JobPage:
    about = known.about
    return JobPage(
        waits=next_.waits,
        do=next_.do,
        do_url=way(name, next_),
        worth_working_out=next_.sound and bool(known.plugs and known.wires),
        complaint=about.complaint or "",
        symptoms=tuple(SYMPTOM_WORDS.get(each, each) for each in about.symptoms),
        opened_on=about.opened_on or "",
        about_url=about_form(name),
        photos=len(PHOTOS.names(name)),
        readings=len(known.readings),
        changes=_last_changes(name),
        closed=is_closed(name),
    )


def _last_changes(name: str) -> tuple[Past, ...]:
    return tuple(_past(group) for group in gathered(changes(name))[:SHOWN])


def _past(group: tuple[Change, ...]) -> Past:
    at = group[0].at.astimezone().strftime(FORM)
    return Past(at=at, words=said_of_all(group, ONE_ROW))
