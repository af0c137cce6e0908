"""The shelf: what every new job of this workshop begins with, kept as a job of its own."""

from __future__ import annotations

from loomwright.loom import About, Job
from loomwright.services.job_names import SHELF
from loomwright.workshop.database import DatabaseJobs

__all__ = ["SHELF", "SHELF_TABLES", "made_shelf"]

SHELF_TABLES = ("meters", "catalogue", "suppliers", "offers", "stock")
"""Its tables that a page shows row by row; `job` holds its rates and `settings` its figures."""


def made_shelf() -> str:
    """Its name, after making it when it is not there.

    Raises
    ------
    StorageFailed
        when the database does not answer.
    """
    jobs = DatabaseJobs()
    if not jobs.exists(SHELF):
        jobs.write(SHELF, Job(about=About(title="The workshop's shelf")))
    return SHELF
