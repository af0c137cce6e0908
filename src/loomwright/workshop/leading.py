"""Which page the next thing to do is done on."""

from __future__ import annotations

from django.urls import reverse

from loomwright.services.standing import Standing
from loomwright.workshop.bench import BENCH


def way(job: str, next_: Standing) -> str:
    """The address of the page."""
    if next_.page == "plug":
        return reverse("plug", args=[job, next_.plug])
    if next_.page == "job":
        return about_form(job)
    return reverse(next_.page, args=[job])


def about_form(job: str) -> str:
    """The form of what the job is about; from there one comes back to the job's page."""
    kept = BENCH.rows.rows(job, "job")
    form = (
        reverse("row", args=[job, "job", kept[0].key])
        if kept
        else reverse("add_row", args=[job, "job"])
    )
    return f"{form}?back={reverse('job', args=[job])}"
