"""The jobs that the workshop keeps: open, closed, new."""

from __future__ import annotations

from datetime import datetime

import attrs
from django.db import IntegrityError, transaction
from django.utils import timezone

from loomwright.loom import Job
from loomwright.services.job_names import job_name
from loomwright.workshop.database import DatabaseJobs, kept_job
from loomwright.workshop.models import KeptJob, KeptRow
from loomwright.workshop.shelf import SHELF
from loomwright.workshop.translating import translated


@attrs.frozen
class Kept:
    """A job that is kept.

    Attributes
    ----------
    name : of its address
    title, vehicle : of its `job` row; the name where it has no title
    changed_at : when anything of it last changed
    closed : whether it is closed
    """

    name: str
    title: str
    vehicle: str
    changed_at: datetime
    closed: bool


def kept_jobs(*, closed: bool | None = None) -> tuple[Kept, ...]:
    """The jobs, the last changed first; the workshop's shelf is none of them.

    Parameters
    ----------
    closed : only those that are closed, or that are not; both by default
    """
    jobs = KeptJob.objects.exclude(name=SHELF).order_by("-changed_at", "name")
    if closed is not None:
        jobs = jobs.filter(closed=closed)
    with translated():
        abouts = {
            row.job_id: row.cells
            for row in KeptRow.objects.filter(table="job", job__in=jobs).order_by("-place", "-pk")
        }
        return tuple(_kept(job, abouts.get(job.pk, {})) for job in jobs)


def is_closed(name: str) -> bool:
    """Whether a job is closed.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    with translated():
        return kept_job(name).closed


def set_closed(name: str, *, closed: bool) -> None:
    """Close a job, or open it again; what is in it stays as it is.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    with translated():
        job = kept_job(name)
        KeptJob.objects.filter(pk=job.pk).update(closed=closed, changed_at=timezone.now())


def keep_new(job: Job) -> str:
    """Keep a new job under a name made of its title; the name.

    Raises
    ------
    InputProblems
        when it holds what could not be read back.
    StorageFailed
        when the database does not answer.
    """
    with translated(), transaction.atomic():
        name = _claimed(job.about.title)
        DatabaseJobs().write(name, job)
    return name


def _claimed(title: str) -> str:
    """A name that is ours from now on, also where two people start a job at once."""
    while True:
        taken = set(KeptJob.objects.values_list("name", flat=True))
        name = job_name(title, taken)
        try:
            with transaction.atomic():
                KeptJob.objects.create(name=name)
        except IntegrityError:
            continue
        return name


def _kept(job: KeptJob, cells: dict[str, str]) -> Kept:
    return Kept(
        name=job.name,
        title=cells.get("title", job.name),
        vehicle=cells.get("vehicle", ""),
        changed_at=job.changed_at,
        closed=job.closed,
    )
