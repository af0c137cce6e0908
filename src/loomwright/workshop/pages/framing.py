"""What stands round every page: who is here, which job, where to go."""

from __future__ import annotations

import attrs
from django.http import HttpRequest
from django.urls import reverse

from loomwright.workshop.models import KeptJob

JOB_PAGES = (
    "Job", "Loom", "Measure", "Suspects", "Heat", "Work", "Parts", "Quote", "New loom", "Papers",
    "History",
)  # fmt: skip
"""The pages of a job, in the order of the work."""
_OFTEN = ("Loom", "Measure", "Suspects", "Work")
"""Those under the thumb on a phone; the others stand behind `More` there."""
_SAID = "said"


@attrs.frozen
class Link:
    """A way to another page; `often` for those under the thumb on a phone."""

    name: str
    url: str
    here: bool = False
    often: bool = False


@attrs.frozen
class JobHead:
    """What stands at the head of a job's pages."""

    name: str
    title: str
    vehicle: str
    url: str


@attrs.frozen
class Message:
    """Something said once; `kind` is `done`, `caution` or `trouble`."""

    kind: str
    text: str


@attrs.frozen(kw_only=True)
class Frame:
    """What the frame of a page shows.

    Attributes
    ----------
    title : of the window
    person : who works at this device, blank when nobody said
    nav : pages of the job, empty outside jobs
    job : the job, None outside jobs
    messages : what is said once
    """

    title: str
    person: str
    nav: tuple[Link, ...]
    job: JobHead | None
    messages: tuple[Message, ...]


def frame(request: HttpRequest, *, title: str, job: str, here: str) -> Frame:
    """The frame of a page."""
    user = getattr(request, "user", None)
    return Frame(
        title=title,
        person=user.get_username() if user is not None else "",
        nav=_nav(job, here) if job else (),
        job=job_head(job) if job else None,
        messages=_messages(request),
    )


def say(request: HttpRequest, text: str, kind: str = "done") -> None:
    """Say something on the next page that is shown."""
    request.session[_SAID] = [*request.session.get(_SAID, []), [kind, text]]


def job_head(name: str) -> JobHead | None:
    """Title and car of a job; None when there is no such job."""
    kept = KeptJob.objects.filter(name=name).first()
    if kept is None:
        return None
    row = kept.rows.filter(table="job").order_by("place").first()
    cells = row.cells if row else {}
    return JobHead(
        name=name,
        title=cells.get("title", name),
        vehicle=cells.get("vehicle", ""),
        url=reverse("job", args=[name]),
    )


def _nav(job: str, here: str) -> tuple[Link, ...]:
    return tuple(
        Link(
            name,
            reverse(name.casefold().replace(" ", "_"), args=[job]),
            here=name == here,
            often=name in _OFTEN,
        )
        for name in JOB_PAGES
    )


def _messages(request: HttpRequest) -> tuple[Message, ...]:
    session = getattr(request, "session", None)
    said = session.pop(_SAID, []) if session is not None and _SAID in session else []
    return tuple(Message(kind, text) for kind, text in said)
