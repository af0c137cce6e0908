"""What stands on a page that has nothing to tell yet: what is missing first, or that it comes."""

from __future__ import annotations

from typing import Literal

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.services.workup import Part
from loomwright.workshop.leading import way
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import at_hand
from loomwright.workshop.standings import stands

Result = Literal["suspects", "expected", "certified", "build", "board", "cut", "verified"]

_NEEDS: dict[Result, tuple[Part, ...]] = {
    "suspects": ("suspects", "sees"),
    "expected": ("expected",),
    "certified": ("certified",),
    "build": ("build",),
    "board": ("board",),
    "cut": ("cut",),
    "verified": ("verified",),
}
_WORDS: dict[Result, str] = {
    "suspects": "Weighing the readings against all that can be wrong.",
    "expected": "Working out what a sound loom would read.",
    "certified": "Looking for the readings that show most: up to a minute on a large loom.",
    "build": "Measuring the wires along the branches and finding a spot for each splice.",
    "board": "Laying the loom flat.",
    "cut": "Planning the cuts.",
    "verified": "Looking for the fewest tests, and trying every mistake on them.",
}


@page("not_yet.html")
@attrs.frozen(kw_only=True)
class NotYetPage:
    """What has to be there first."""

    waits: str = told("What is missing, a sentence")
    do: str = told("The thing to do first")
    do_url: str = told("Where that is done")


@page("waiting.html")
@attrs.frozen(kw_only=True)
class WaitingPage:
    """A result that takes a while is on its way."""

    words: str = told("What is being worked out, a sentence")
    url: str = told("The same page, which answers when it is worked out")


def nothing_yet(request: HttpRequest, job: str, *, title: str, here: str) -> HttpResponse | None:
    """The page that leads to the loom while it is not described; None once it is."""
    next_ = stands(job)
    if next_.page != "loom" or not next_.sound:
        return None
    shown = NotYetPage(waits=next_.waits, do=next_.do, do_url=way(job, next_))
    return show(request, shown, title=title, job=job, here=here)


def on_its_way(
    request: HttpRequest, job: str, result: Result, *, title: str, here: str
) -> HttpResponse | None:
    """The page that stands in until a slow result is there; None when there is no need to wait.

    Raises
    ------
    InputProblems
        when the job does not hold together.
    """
    known = at_hand(job).results
    if "now" in request.GET or all(known.has(part) for part in _NEEDS[result]):
        return None
    asked = request.GET.copy()
    asked["now"] = "1"
    shown = WaitingPage(words=_WORDS[result], url=f"?{asked.urlencode()}")
    return show(request, shown, title=title, job=job, here=here)


def too_early(
    request: HttpRequest, job: str, result: Result, *, title: str, here: str
) -> HttpResponse | None:
    """What stands on the page of a result while that cannot be told; None when it can."""
    return nothing_yet(request, job, title=title, here=here) or on_its_way(
        request, job, result, title=title, here=here
    )
