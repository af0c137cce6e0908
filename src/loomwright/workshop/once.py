"""Each entry is taken once, however often a shaky connection sends it."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext, suppress

from django.contrib.sessions.backends.base import UpdateError
from django.db import IntegrityError, connection, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from loomwright.workshop.models import TakenEntry
from loomwright.workshop.turns import Turns

_TOKEN = re.compile(r"[A-Za-z0-9.-]{8,80}\Z")
_turns = Turns()


def taken_once(
    get_answer: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware: a form with an `entry` token and its change are kept together or not at all.

    The same token sent again leads where the first one led. An answer of 400 or more undoes the
    change, so that the form can be sent again when it is mended.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        if request.method == "GET" and "X-Entry" in request.headers:
            # The device's own sending followed the redirect; it opens that page by itself now, and
            # what is to be said there must not be said to nobody.
            return HttpResponse(status=204)
        token = request.POST.get("entry", "") if request.method == "POST" else ""
        if not _TOKEN.match(token):
            return get_answer(request)
        try:
            with _in_turn(), transaction.atomic():
                # The insert waits for another request with the same token to end.
                entry = TakenEntry.objects.create(token=token)
                response = get_answer(request)
                if response.status_code >= 400:
                    transaction.set_rollback(True)
                else:
                    entry.led_to = response.headers.get("Location", "")[:500]
                    entry.save(update_fields=["led_to"])
                    _keep_session(request)
                return response
        except IntegrityError:
            known = TakenEntry.objects.filter(token=token).first()
            if known is None:
                raise
            return HttpResponseRedirect(known.led_to or request.path, status=303)

    return answer


def _keep_session(request: HttpRequest) -> None:
    """What is to be said next is kept with the change, not by a second one after it."""
    session = request.session
    if session.modified and session.session_key:
        with suppress(UpdateError):  # gone meanwhile: its middleware says so
            session.save()
            session.modified = False


def _in_turn() -> AbstractContextManager[None]:
    """Entries queue for SQLite's one writer.

    SQLite keeps no queue: who waits asks again and again, and where several write all the time one
    may ask in vain until its time is up.
    """
    return _turns.turn() if connection.vendor == "sqlite" else nullcontext()
