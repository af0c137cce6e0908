"""What cannot be read as a form, or cannot be kept, is said in words before any page sees it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from django.core.exceptions import (
    BadRequest,
    RequestDataTooBig,
    TooManyFieldsSent,
    TooManyFilesSent,
)
from django.http import HttpRequest, HttpResponse, UnreadablePostError
from django.http.multipartparser import MultiPartParserError

from loomwright.workshop.pages.failure import show_unreadable
from loomwright.workshop.serving import MAX_BODY_BYTES

_TOO_LARGE = (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)
_DAMAGED = (BadRequest, MultiPartParserError, UnreadablePostError, UnicodeError)


def readable(
    get_answer: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware: refuses forms that are too large or damaged, and characters nobody can type."""

    def answer(request: HttpRequest) -> HttpResponse:
        try:
            unkept = any("\x00" in text for text in _texts(request))
        except _TOO_LARGE:
            what = (
                "What was sent is too large to be taken in at once "
                f"(more than {MAX_BODY_BYTES // 1_000_000} MB, or a very long form). "
                "Send it in parts, such as one photo at a time."
            )
            return show_unreadable(request, what, status=413)
        except _DAMAGED:
            what = "What was sent did not arrive whole. Go back and send it once more."
            return show_unreadable(request, what, status=400)
        if unkept:
            what = "There is a character that cannot be kept (NUL) in it. Go back and type it anew."
            return show_unreadable(request, what, status=400)
        return get_answer(request)

    return answer


def _texts(request: HttpRequest) -> Iterator[str]:
    """Every text that was sent.

    Raises
    ------
    RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
        when it is more than is taken in at once.
    BadRequest, MultiPartParserError, UnreadablePostError, UnicodeError
        when it is no form, or did not arrive whole.
    """
    if int(request.META.get("CONTENT_LENGTH") or 0) > MAX_BODY_BYTES:
        raise RequestDataTooBig
    yield request.path
    for sent in (request.GET, request.POST):
        for name, values in sent.lists():
            yield name
            yield from map(str, values)
