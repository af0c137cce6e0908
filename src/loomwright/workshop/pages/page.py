"""What a page is: a template, and a frozen record that says everything the template may use."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import attrs
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from loomwright.workshop.pages.framing import Frame, frame

PAGES: dict[str, type] = {}
"""The record of each template, by the template's name."""

_Record = TypeVar("_Record", bound=type)


def told(help_: str, **more: Any) -> Any:
    """A field of a page's record, with what it holds."""
    return attrs.field(metadata={"help": help_}, **more)


def page(template: str) -> Callable[[_Record], _Record]:
    """Says which template shows a record."""

    def known(record: _Record) -> _Record:
        PAGES[template] = record
        record.template = template  # type: ignore[attr-defined]
        return record

    return known


def show(
    request: HttpRequest,
    shown: Any,
    *,
    title: str,
    job: str = "",
    here: str = "",
    status: int = 200,
) -> HttpResponse:
    """The page.

    Parameters
    ----------
    shown : the record, of a class marked with `page`
    title : of the window
    job : name of the job whose pages it is one of; blank outside jobs
    here : which page of the job it is, as its navigation calls it
    status : HTTP status
    """
    framed: Frame = frame(request, title=title, job=job, here=here)
    context = {"page": shown, "frame": framed}
    return render(request, f"workshop/{shown.template}", context, status=status)
