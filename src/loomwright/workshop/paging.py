"""A long list page by page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, TypeVar

import attrs
from django.http import HttpRequest

_Row = TypeVar("_Row")


@attrs.frozen
class Paged(Generic[_Row]):
    """One page of a list.

    Attributes
    ----------
    rows : those of this page
    number, of : which page it is, from 1, and how many there are
    before, after : addresses of the pages beside it; blank where there is none
    """

    rows: tuple[_Row, ...]
    number: int
    of: int
    before: str
    after: str


def paged(request: HttpRequest, rows: Sequence[_Row], a_page: int) -> Paged[_Row]:
    """The page that the address asks for with `page`; the nearest one where there is no such."""
    of = max(1, -(-len(rows) // a_page))
    text = request.GET.get("page", "")
    number = min(of, max(1, int(text[:9]))) if text.isascii() and text.isdigit() else 1
    return Paged(
        rows=tuple(rows[(number - 1) * a_page : number * a_page]),
        number=number,
        of=of,
        before=_address(request, number - 1) if number > 1 else "",
        after=_address(request, number + 1) if number < of else "",
    )


def _address(request: HttpRequest, number: int) -> str:
    asked = request.GET.copy()
    asked["page"] = str(number)
    return f"?{asked.urlencode()}"
