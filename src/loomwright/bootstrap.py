"""Chooses the storage and hands it to a face."""

from __future__ import annotations

from loomwright.services.ports import Jobs, Papers
from loomwright.storage.job_folder import JobFolder
from loomwright.storage.paper_folder import PaperFolder


def jobs() -> Jobs:
    """Jobs kept as folders, zips and workbooks."""
    return JobFolder()


def papers(folder: str) -> Papers:
    """Drawings and papers as files in a folder."""
    return PaperFolder(folder)
