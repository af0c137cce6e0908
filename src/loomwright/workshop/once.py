"""Each entry is taken once, however often a shaky connection sends it."""

from __future__ import annotations

import re
from collections.abc import Callable

from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from loomwright.workshop.models import TakenEntry

_TOKEN = re.compile(r"[A-Za-z0-9.-]{8,80}\Z")


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
            with transaction.atomic():
                # The insert waits for another request with the same token to end.
                entry = TakenEntry.objects.create(token=token)
                response = get_answer(request)
                if response.status_code >= 400:
                    transaction.set_rollback(True)
                else:
                    entry.led_to = response.headers.get("Location", "")[:500]
                    entry.save(update_fields=["led_to"])
                return response
        except IntegrityError:
            known = TakenEntry.objects.filter(token=token).first()
            if known is None:
                raise
            return HttpResponseRedirect(known.led_to or request.path, status=303)

    return answer
