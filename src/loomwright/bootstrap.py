"""Chooses the storage and hands it to a face."""

from __future__ import annotations

from loomwright.services.ports import Jobs
from loomwright.storage.job_folder import JobFolder


def jobs() -> Jobs:
    """Jobs kept as folders, zips and workbooks."""
    return JobFolder()
