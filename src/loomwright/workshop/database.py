"""Jobs, rows and photos in the site's database, behind the services' ports."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import Any

import attrs
from django.db import transaction
from django.utils import timezone
from simple_history.utils import bulk_create_with_history

from loomwright.loom import ForeignTable, Job, NotFound, Problem, Sheet, schema
from loomwright.services.kept_rows import Cells, KeptRow, filled
from loomwright.services.ports import JobRef
from loomwright.storage.assembling import (
    Contents,
    check_cells,
    job_and_problems,
    sound_job,
    writable_sheets,
)
from loomwright.workshop import models
from loomwright.workshop.translating import translated

_OURS = {table.name: tuple(column.name for column in table.columns) for table in schema.TABLES}


class DatabaseJobs:
    """Jobs in the database, each under its name."""

    def read(self, ref: JobRef) -> Job:
        """See `services.ports.Jobs.read`."""
        return sound_job(*self.inspect(ref))

    def inspect(self, ref: JobRef) -> tuple[Job, tuple[Problem, ...]]:
        """See `services.ports.Jobs.inspect`."""
        return _as_it_stands(_name(ref), stamp(ref))

    def write(self, ref: JobRef, job: Job) -> None:
        """See `services.ports.Jobs.write`."""
        sheets = writable_sheets(job)
        with translated(), transaction.atomic():
            kept, _ = models.KeptJob.objects.select_for_update().get_or_create(name=_name(ref))
            kept.columns = {
                sheet.name: list(sheet.header[len(_OURS[sheet.name]) :])
                for sheet in sheets
                if sheet.name in _OURS and len(sheet.header) > len(_OURS[sheet.name])
            }
            kept.foreign = [attrs.asdict(each) for each in job.foreign]
            kept.stamp = models.new_stamp()
            kept.save()
            _replace(kept, [sheet for sheet in sheets if sheet.name in _OURS])

    def exists(self, ref: JobRef) -> bool:
        """See `services.ports.Jobs.exists`."""
        with translated():
            return models.KeptJob.objects.filter(name=_name(ref)).exists()

    def table_label(self, ref: JobRef, table: str) -> str:
        """See `services.ports.Jobs.table_label`."""
        return table


class DatabaseRows:
    """Single rows of the same jobs."""

    @contextmanager
    def held(self, ref: JobRef) -> Iterator[None]:
        """See `services.kept_rows.Rows.held`."""
        with translated(), transaction.atomic():
            # The row of the job is the lock of all its tables; SQLite locks the whole file anyway.
            kept_job(ref, lock=True)
            yield

    def rows(self, ref: JobRef, table: str) -> tuple[KeptRow, ...]:
        """See `services.kept_rows.Rows.rows`."""
        with translated():
            found = kept_job(ref).rows.filter(table=table).order_by("place", "pk")
            return tuple(
                KeptRow(str(key), cells) for key, cells in found.values_list("pk", "cells")
            )

    def put(self, ref: JobRef, table: str, key: str | None, cells: Cells) -> str:
        """See `services.kept_rows.Rows.put`."""
        check_cells(table, cells)
        with self.held(ref):
            job = kept_job(ref)
            _learn_columns(job, table, cells)
            if key is None:
                last = job.rows.filter(table=table).order_by("-place").first()
                place = last.place + 1 if last else 0
                row = models.KeptRow(job=job, table=table, place=place)
            else:
                row = _row(job, table, key)
            row.cells = filled(cells)
            row.save()
            changed(job)
        return str(row.pk)

    def remove(self, ref: JobRef, table: str, key: str) -> None:
        """See `services.kept_rows.Rows.remove`."""
        with self.held(ref):
            job = kept_job(ref)
            _row(job, table, key).delete()
            changed(job)


def stamp(ref: JobRef) -> int:
    """What is another one whenever the job changed, for keeping results of it.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    with translated():
        return kept_job(ref).stamp


@lru_cache(maxsize=8)
def _as_it_stands(name: str, _stamp: int) -> tuple[Job, tuple[Problem, ...]]:
    """The job and its problems, read once while the job has that stamp."""
    return job_and_problems(_contents(name))


def _name(ref: JobRef) -> str:
    return os.fspath(ref)


def kept_job(ref: JobRef, *, lock: bool = False) -> models.KeptJob:
    """The job's own record; with `lock` nobody else changes it until the transaction ends.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    jobs = models.KeptJob.objects.select_for_update() if lock else models.KeptJob.objects.all()
    try:
        return jobs.get(name=_name(ref))
    except models.KeptJob.DoesNotExist as failure:
        raise NotFound(f'no job is kept as "{_name(ref)}"') from failure


def _row(job: models.KeptJob, table: str, key: str) -> models.KeptRow:
    try:
        return job.rows.get(table=table, pk=int(key))
    except (models.KeptRow.DoesNotExist, ValueError) as failure:
        raise NotFound(f'there is no row "{key}" in {table}') from failure


def changed(job: models.KeptJob) -> None:
    """Note that something of the job changed."""
    models.KeptJob.objects.filter(pk=job.pk).update(
        stamp=models.new_stamp(), changed_at=timezone.now()
    )


def _learn_columns(job: models.KeptJob, table: str, cells: Cells) -> None:
    """Remember columns of the person's own in the order in which they came."""
    known = [*_OURS[table], *job.columns.get(table, [])]
    fresh = [name for name in cells if name not in known]
    if fresh:
        job.columns = {**job.columns, table: [*job.columns.get(table, []), *fresh]}
        job.save(update_fields=["columns"])


def _contents(ref: JobRef) -> Contents:
    with translated():
        kept = kept_job(ref)
        by_table: dict[str, list[dict[str, str]]] = {name: [] for name in _OURS}
        for table, cells in kept.rows.order_by("place", "pk").values_list("table", "cells"):
            by_table.setdefault(table, []).append(cells)
    sheets = [
        _sheet(name, (*_OURS[name], *kept.columns.get(name, [])), rows)
        for name, rows in by_table.items()
        if name in _OURS
    ]
    sheets += [_foreign(each) for each in kept.foreign]
    return Contents(tuple(sheets))


def _sheet(name: str, header: tuple[str, ...], rows: list[dict[str, str]]) -> Sheet:
    return Sheet(name, header, tuple(tuple(row.get(col, "") for col in header) for row in rows))


def _foreign(kept: dict[str, Any]) -> Sheet:
    table = ForeignTable(kept["name"], tuple(kept["header"]), tuple(map(tuple, kept["rows"])))
    return Sheet(table.name, table.header, table.rows)


def _replace(job: models.KeptJob, sheets: list[Sheet]) -> None:
    """Make the rows of tables those of the sheets; rows that stay the same have no history of it.

    A blank cell of a column of the person's own is kept, since it is part of the row.
    """
    there: dict[str, list[models.KeptRow]] = {sheet.name: [] for sheet in sheets}
    for row in job.rows.filter(table__in=there).order_by("place", "pk"):
        there[row.table].append(row)
    fresh: list[models.KeptRow] = []
    for sheet in sheets:
        fresh += _changed(job, sheet, there[sheet.name])
    if fresh:  # all tables at once: each asks the database twice
        bulk_create_with_history(fresh, models.KeptRow, batch_size=500)


def _changed(
    job: models.KeptJob, sheet: Sheet, there: list[models.KeptRow]
) -> list[models.KeptRow]:
    """Change and remove rows of a table as its sheet says; the rows that are still to be made."""
    wanted = [
        {name: text for name, text in zip(sheet.header, row, strict=True) if text}
        for row in sheet.rows
    ]
    for place, (row, cells) in enumerate(zip(there, wanted, strict=False)):
        if row.cells != cells or row.place != place:
            row.cells, row.place = cells, place
            row.save()
    for row in there[len(wanted) :]:
        row.delete()
    return [
        models.KeptRow(job=job, table=sheet.name, place=place, cells=cells)
        for place, cells in enumerate(wanted[len(there) :], start=len(there))
    ]
