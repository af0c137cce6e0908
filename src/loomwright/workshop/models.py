"""What the workshop keeps: jobs row by row, photos, and what was already taken in.

A row is kept as the text of its cells, by column. What a column is stands in the schema alone, so
a job may hold what a sheet may hold: columns of the person's own, and rows that do not fit
together yet.
"""

from __future__ import annotations

import secrets
from typing import Any

from django.db import models
from simple_history.models import HistoricalRecords


def new_stamp() -> int:
    """A number that no state of any job had before."""
    return secrets.randbits(62)


class KeptJob(models.Model):
    """A job. `stamp` is another one after every change of it."""

    name = models.SlugField(max_length=80, unique=True)
    columns: models.JSONField[dict[str, list[str]]] = models.JSONField(default=dict)
    foreign: models.JSONField[list[dict[str, Any]]] = models.JSONField(default=list)
    stamp = models.PositiveBigIntegerField(default=new_stamp)
    opened_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    closed = models.BooleanField(default=False)

    def __str__(self) -> str:
        return self.name


class KeptRow(models.Model):
    """One row of one table of a job; `place` orders the rows of a table."""

    job = models.ForeignKey(KeptJob, on_delete=models.CASCADE, related_name="rows")
    table = models.CharField(max_length=40)
    place = models.PositiveIntegerField()
    cells: models.JSONField[dict[str, str]] = models.JSONField(default=dict)
    history = HistoricalRecords()

    class Meta:
        ordering = ("job", "table", "place", "pk")
        indexes = (models.Index(fields=("job", "table", "place")),)

    def __str__(self) -> str:
        return f"{self.table} {self.place}"


class KeptPhoto(models.Model):
    """A photo by its name in the job; `digest` names the file that holds it."""

    job = models.ForeignKey(KeptJob, on_delete=models.CASCADE, related_name="photos")
    name = models.CharField(max_length=200)
    digest = models.CharField(max_length=64)
    history = HistoricalRecords()

    class Meta:
        ordering = ("job", "name")
        constraints = (models.UniqueConstraint(fields=("job", "name"), name="one_photo_a_name"),)

    def __str__(self) -> str:
        return self.name


class TakenEntry(models.Model):
    """An entry that was taken in, so that sending it again does nothing; where it led."""

    token = models.CharField(max_length=80, unique=True)
    led_to = models.CharField(max_length=500, blank=True)
    taken_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.token
