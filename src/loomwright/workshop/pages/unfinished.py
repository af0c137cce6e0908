"""placeholder, replaced page by page."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse


def unfinished(request: HttpRequest, **_: str) -> HttpResponse:
    """A page that is not there yet."""
    return HttpResponse("not there yet", status=501, content_type="text/plain")
