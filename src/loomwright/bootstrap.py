"""Chooses the storage and hands it to a face."""

from __future__ import annotations

from collections.abc import Callable

from loomwright.services.ports import Jobs, Papers, Photos
from loomwright.storage.job_folder import FolderPhotos, JobFolder
from loomwright.storage.paper_folder import PaperFolder


def jobs() -> Jobs:
    """Jobs kept as folders, zips and workbooks."""
    return JobFolder()


def serve(
    host: str, port: int, data: str, *, opened: Callable[[str, tuple[str, ...]], None]
) -> None:
    """Serve the workshop's site until it is stopped.

    Parameters
    ----------
    host, port : where to listen
    data : the workshop's folder; blank for the usual one
    opened : told the address on this machine, and those for other devices, once it listens
    """
    # Late: Django takes half a second, and the other commands do without it.
    from loomwright.workshop import serving

    serving.made_ready(data)
    serving.serve(host, port, opened=opened)


def papers(folder: str) -> Papers:
    """Drawings and papers as files in a folder."""
    return PaperFolder(folder)


def photos() -> Photos:
    """Photos in the folders and zips of their jobs."""
    return FolderPhotos()
