"""Every failure as a page: one place, one shape, the same words as on a terminal."""

from __future__ import annotations

import logging
import sys
import uuid
from collections.abc import Callable

from django.db import DatabaseError, InterfaceError, OperationalError
from django.http import Http404, HttpRequest, HttpResponse
from django.template import TemplateDoesNotExist
from django.utils.encoding import escape_uri_path

from loomwright.loom import InputProblems, NotFound, StorageFailed
from loomwright.loom.errors import Conflict, LoomwrightError, Refused
from loomwright.workshop.pages.failure import (
    show_away,
    show_failure,
    show_missing,
    show_mistake,
    show_stale,
    show_unreadable,
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
        try:
            return _told(request, failure)
        except DatabaseError as also:  # the page itself asks the database who is here
            return _away(request, also)


def _told(request: HttpRequest, failure: BaseException) -> HttpResponse:
    if isinstance(failure, StorageFailed):
        _logged(request, failure)  # with what the disk or the database said
    if isinstance(failure, LoomwrightError):
        return show_failure(request, failure, status=status_of(failure))
    if isinstance(failure, Http404):
        return show_missing(request)
    if isinstance(failure, OperationalError | InterfaceError):
        return _away(request, failure)
    return show_mistake(request, _logged(request, failure))


def _away(request: HttpRequest, failure: BaseException) -> HttpResponse:
    _logged(request, failure)
    return show_away(request)


def _logged(request: HttpRequest, failure: BaseException | None) -> str:
    """Write a failure down; what it can be found by."""
    reference = uuid.uuid4().hex[:8]
    where = escape_uri_path(request.path)  # a line break in it would begin a line of its own
    log.error("%s %s %s", reference, request.method, where, exc_info=failure)
    return reference


def status_of(failure: LoomwrightError) -> int:
    """The HTTP status for an error of the family."""
    return next((code for kind, code in STATUS.items() if isinstance(failure, kind)), 400)


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form whose hidden key is out of date: what was typed is offered again."""
    return show_stale(request)


def not_there(request: HttpRequest, exception: Exception) -> HttpResponse:
    """An address that no page has."""
    return show_missing(request)


def not_read(request: HttpRequest, exception: Exception) -> HttpResponse:
    """What Django itself refuses to read."""
    what = "What was sent cannot be read. Go back, or begin with today's jobs."
    return show_unreadable(request, what, status=400)


def mistake(request: HttpRequest) -> HttpResponse:
    """What failed outside a view: while a device or its entry is looked up, or in such a page."""
    failure = sys.exc_info()[1]
    if isinstance(failure, DatabaseError):
        return _away(request, failure)
    reference = _logged(request, failure)
    try:
        return show_mistake(request, reference)
    except (DatabaseError, TemplateDoesNotExist):
        words = f"This did not work (reference {reference}). Details are in failures.log."
        return HttpResponse(words, status=500, content_type="text/plain")
