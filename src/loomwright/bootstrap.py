"""Chooses the storage and hands it to a face."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from loomwright.services.backup import Backup
from loomwright.services.bringing import Carried
from loomwright.services.ports import JobRef, Jobs, Papers, Photos
from loomwright.storage.job_folder import FolderPhotos, JobFolder
from loomwright.storage.paper_folder import PaperFolder

if TYPE_CHECKING:
    from loomwright.services.board import Board
    from loomwright.services.exchange import WireList


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


def bring_in(source: str, name: str, data: str, *, over: bool) -> Carried:
    """Bring a job's files into the workshop.

    Parameters
    ----------
    source : folder, .zip or workbook
    name : what it is to be called; blank to take it from the file's name
    data : the workshop's folder; blank for the usual one
    over : replace the job of that name
    """
    from loomwright.workshop import serving

    serving.made_ready(data)
    from loomwright.workshop import moving

    return moving.bring(source, name, over=over)


def take_out(name: str, target: str, data: str, *, over: bool) -> Carried:
    """Take a job of the workshop out to a folder, a .zip or a workbook."""
    from loomwright.workshop import serving

    serving.made_ready(data)
    from loomwright.workshop import moving

    return moving.take(name, target, over=over)


def back_up(target: str, data: str) -> Backup:
    """Write the whole workshop into one file."""
    from loomwright.workshop import serving

    serving.made_ready(data)
    from loomwright.workshop import keeping

    return keeping.back_up(target)


def put_back(source: str, data: str, *, over: bool) -> Backup:
    """Put a backup in the place of what the workshop holds."""
    from loomwright.workshop import serving

    serving.made_ready(data)
    from loomwright.workshop import keeping

    return keeping.put_back(source, over=over)


def papers(folder: str) -> Papers:
    """Drawings and papers as files in a folder."""
    return PaperFolder(folder)


def photos() -> Photos:
    """Photos in the folders and zips of their jobs."""
    return FolderPhotos()


def photos_to_print(job: JobRef, names: Sequence[str], *, most: int) -> dict[str, bytes]:
    """The first photos of a job that can be printed, by name.

    Parameters
    ----------
    job : where it is kept
    names : in the order in which they are wanted
    most : how many are wanted
    """
    if not names:
        return {}
    # Late: few commands look at a picture.
    from loomwright.storage.paper_photos import printable

    kept = photos()
    return printable(names, lambda name: kept.read(job, name), most=most)


def put_text(target: str, text: str, *, over: bool) -> str:
    """Write a text into a file; where it stands now.

    Parameters
    ----------
    target : the file
    text : what it holds
    over : replace the file that is there
    """
    from loomwright.storage.wire_list_book import write_text

    return write_text(target, text, over=over)


def put_wire_list(target: str, made: WireList, *, over: bool) -> str:
    """Write a wire list into a workbook; where it stands now.

    Parameters
    ----------
    target : an .xlsx file
    made : the list
    over : replace the file that is there
    """
    from loomwright.storage.wire_list_book import write_wire_list

    return write_wire_list(target, made, over=over)


def board_dxf(board: Board) -> bytes:
    """A board as a DXF file."""
    from loomwright.services.board_shapes import shapes
    from loomwright.storage.dxf_file import dxf

    return dxf(shapes(board))
