"""Search: rows of all jobs that hold the words, job by job."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import attrs
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from loomwright.loom import schema
from loomwright.services.change_words import named
from loomwright.services.searching import meant, row_words, words_of
from loomwright.services.words import sentence
from loomwright.workshop.finding import Found, rows_with
from loomwright.workshop.job_list import Kept, kept_jobs
from loomwright.workshop.naming import ONE_ROW
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.paging import paged

A_PAGE = 50
"""Rows on one page of what was found."""
LONGEST = 200
"""Letters of what is searched; the rest is left out."""


@attrs.frozen
class Hit:
    """A row that was found, as a row that is a link."""

    title: str
    words: str
    url: str
    chip: str = ""
    kind: str = ""


@attrs.frozen
class Group:
    """What was found in one job."""

    title: str
    url: str
    state: str
    hits: tuple[Hit, ...]


@page("search.html")
@attrs.frozen(kw_only=True)
class SearchPage:
    """What was found."""

    query: str = told("What was searched")
    asked: bool = told("Whether anything was searched")
    count: int = told("How many rows were found")
    groups: tuple[Group, ...] = told("What was found, job by job, the last changed first")
    number: int = told("Which page this is, from 1")
    of: int = told("How many pages there are")
    before: str = told("Address of the page before; blank on the first")
    after: str = told("Address of the next page; blank on the last")


def search(request: HttpRequest) -> HttpResponse:
    """Find rows of all jobs."""
    query = request.GET.get("q", "")[:LONGEST].strip()
    words = words_of(query)
    some = paged(request, found := _ranked(tuple(rows_with(query)), words), A_PAGE)
    shown = SearchPage(
        query=query, asked=bool(words), count=len(found), groups=_groups(some.rows, words),
        number=some.number, of=some.of, before=some.before, after=some.after,
    )  # fmt: skip
    return show(request, shown, title="Search")


def _ranked(found: tuple[Found, ...], words: tuple[str, ...]) -> tuple[Found, ...]:
    """Within each job first what is called so: the plug TE before all that speaks of it."""
    jobs = {name: place for place, name in enumerate(dict.fromkeys(each.job for each in found))}
    return tuple(
        sorted(found, key=lambda each: (jobs[each.job], not meant(each.table, each.cells, words)))
    )


def _groups(found: Sequence[Found], words: tuple[str, ...]) -> tuple[Group, ...]:
    known = {each.name: each for each in kept_jobs()}
    return tuple(
        _group(known[name], tuple(rows), words)
        for name, rows in groupby(found, key=lambda each: each.job)
        if name in known
    )


def _group(job: Kept, rows: tuple[Found, ...], words: tuple[str, ...]) -> Group:
    return Group(
        title=job.title,
        url=reverse("job", args=[job.name]),
        state="closed" if job.closed else "",
        hits=tuple(_hit(each, words) for each in rows),
    )


def _hit(found: Found, words: tuple[str, ...]) -> Hit:
    return Hit(
        title=sentence(named(found.table, found.cells, ONE_ROW)),
        words=row_words(found.table, found.cells, words),
        url=_url(found),
    )


def _url(found: Found) -> str:
    name = found.cells.get(schema.table(found.table).key, "")
    if found.table == "job":
        return reverse("job", args=[found.job])
    if found.table == "plugs" and name:
        return reverse("plug", args=[found.job, name])
    return reverse("row", args=[found.job, found.table, found.key])
