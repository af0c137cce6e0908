"""The file of a photo: small, large, or as it was taken."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import condition

from loomwright.storage.picture_blocks import kind_by_sign
from loomwright.workshop.bench import PHOTOS
from loomwright.workshop.photo_store import digest_of, shown_copy

SIZES = {"thumb": 480, "large": 1600}
"""Longest side by what is asked for [pixels]; else the photo as it was taken."""
DRAWING_POLICY = "sandbox; default-src 'none'; style-src 'unsafe-inline'"


def _mark(request: HttpRequest, job: str, name: str) -> str:
    return f'"{digest_of(job, name)}-{request.GET.get("size", "original")}"'


@condition(etag_func=_mark)
def photo(request: HttpRequest, job: str, name: str) -> HttpResponse:
    """Send the photo."""
    digest = digest_of(job, name)
    content = PHOTOS.read(job, name)
    kind = kind_by_sign(content)
    if kind and request.GET.get("size") in SIZES:
        kind, content = "jpeg", shown_copy(digest, longest=SIZES[request.GET["size"]])
    response = HttpResponse(content, content_type=_type_of(kind, name))
    response["Content-Disposition"] = "inline"
    response["Cache-Control"] = "private, no-cache"  # asked again each time, sent once
    if not kind:
        # A drawing opened by itself may run nothing and fetch nothing.
        response["Content-Security-Policy"] = DRAWING_POLICY
    return response


def _type_of(kind: str, name: str) -> str:
    if kind:
        return f"image/{kind}"
    drawing = name.casefold().endswith(".svg")
    return "image/svg+xml" if drawing else "application/octet-stream"
