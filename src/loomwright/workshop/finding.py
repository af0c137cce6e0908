"""Rows of all jobs that hold some words, on whichever database."""

from __future__ import annotations

from collections.abc import Iterator

import attrs
from django.db.models import Case, IntegerField, TextField, Value, When
from django.db.models.functions import Cast

from loomwright.loom import schema
from loomwright.services.kept_rows import Cells
from loomwright.services.searching import holds, sure_parts, words_of
from loomwright.workshop.models import KeptRow
from loomwright.workshop.shelf import SHELF
from loomwright.workshop.translating import translated

_KNOWN = frozenset(table.name for table in schema.TABLES)
_IN_ORDER = Case(
    *(When(table=table.name, then=Value(n)) for n, table in enumerate(schema.TABLES)),
    default=Value(len(schema.TABLES)),
    output_field=IntegerField(),
)


@attrs.frozen
class Found:
    """A row that holds all the words.

    Attributes
    ----------
    job : name of its job
    table, key, cells : the row
    """

    job: str
    table: str
    key: str
    cells: Cells


def rows_with(query: str) -> Iterator[Found]:
    """The rows in which every word of a query stands, of the job last changed first.

    The database sorts out what cannot match; how it writes letters beyond plain ones differs, so
    what is left is read here.
    """
    words = words_of(query)
    if not words:
        return
    rows = KeptRow.objects.exclude(job__name=SHELF).annotate(
        text=Cast("cells", TextField()), in_order=_IN_ORDER
    )
    for part in sure_parts(words):
        rows = rows.filter(text__icontains=part)
    told = rows.order_by("-job__changed_at", "job_id", "in_order", "place", "pk")
    with translated():
        for job, table, key, cells in told.values_list("job__name", "table", "pk", "cells"):
            if table in _KNOWN and holds(table, cells, words):
                yield Found(job, table, str(key), cells)
