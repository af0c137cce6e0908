"""Every failure as a page: one place, one shape, the same words as on a terminal."""

from __future__ import annotations

import logging
import uuid
from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.template import TemplateDoesNotExist

from loomwright.loom import InputProblems, NotFound, StorageFailed
from loomwright.loom.errors import Conflict, LoomwrightError, Refused
from loomwright.workshop.pages.failure import (
    show_failure,
    show_missing,
    show_mistake,
    show_stale,
)

log = logging.getLogger(__name__)

STATUS: dict[type[LoomwrightError], int] = {
    InputProblems: 400,
    NotFound: 404,
    Conflict: 409,
    Refused: 403,
    StorageFailed: 503,
}
"""HTTP status by class of error; the rest are 400."""


class Answering:
    """Middleware: turns what a view raised into a page."""

    def __init__(self, get_answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_answer = get_answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pass on."""
        return self._get_answer(request)

    def process_exception(self, request: HttpRequest, failure: Exception) -> HttpResponse:
        """The page for a failure."""
        if isinstance(failure, LoomwrightError):
            return show_failure(request, failure, status=status_of(failure))
        if isinstance(failure, Http404):
            return show_missing(request)
        reference = uuid.uuid4().hex[:8]
        log.error("%s %s %s", reference, request.method, request.path, exc_info=failure)
        return show_mistake(request, reference)


def status_of(failure: LoomwrightError) -> int:
    """The HTTP status for an error of the family."""
    return next((code for kind, code in STATUS.items() if isinstance(failure, kind)), 400)


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form whose hidden key is out of date: what was typed is offered again."""
    return show_stale(request)


def not_there(request: HttpRequest, exception: Exception) -> HttpResponse:
    """An address that no page has."""
    return show_missing(request)


def mistake(request: HttpRequest) -> HttpResponse:
    """What failed outside a view; Django has logged it."""
    try:
        return show_mistake(request, "in the log")
    except TemplateDoesNotExist:
        return HttpResponse("This did not work. Details are in the log.", status=500)
