"""The commands of the workshop: its site, jobs that go in and out, and its backup."""

from __future__ import annotations

from typing import Annotated

import typer

from loomwright import bootstrap
from loomwright.cli.telling import JobFiles

workshop = typer.Typer(rich_markup_mode=None)

Data = Annotated[str, typer.Option("--data", metavar="DIR", help="The workshop's folder.")]
WorkshopJob = Annotated[str, typer.Argument(metavar="NAME", help="The job's name in the workshop.")]


@workshop.command(
    short_help="The workshop as a site for laptop, tablet and phone.",
    epilog="Example: loomwright serve --host 0.0.0.0, then scan the code with the tablet. "
    "Without --host only this machine can open it.",
)
def serve(
    host: Annotated[
        str, typer.Option("--host", help="Address to listen on; 0.0.0.0 for the network.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="Port to listen on; 0 for any.")
    ] = 8800,
    data: Data = "",
) -> None:
    """Serve the workshop as a web site, without the internet, until it is stopped by Ctrl-C."""
    from loomwright.cli.show_serve import show_serve

    bootstrap.serve(host, port, data, opened=show_serve)


@workshop.command(
    name="import",
    short_help="Bring a job's files into the workshop.",
    epilog="Example: loomwright import examples/tarn-2300 --as tarn-2300. "
    "Photos come along, without what they tell of where and with what they were taken.",
)
def import_job(
    job: JobFiles,
    name: Annotated[
        str, typer.Option("--as", metavar="NAME", help="Its name there; else the file's name.")
    ] = "",
    over: Annotated[bool, typer.Option("--over", help="Replace the job of that name.")] = False,
    data: Data = "",
) -> None:
    """Bring a job's tables and photos into the workshop, whole or not at all."""
    from loomwright.cli.show_moved import show_brought

    show_brought(bootstrap.bring_in(job, name, data, over=over), data)


@workshop.command(
    name="export",
    short_help="Take a job of the workshop out to files.",
    epilog="Example: loomwright export tarn-2300 tarn-2300.zip. "
    "A folder and a .zip hold everything; an .xlsx workbook holds no photos.",
)
def export_job(
    name: WorkshopJob,
    target: Annotated[str, typer.Argument(metavar="TARGET", help="Folder, .zip or .xlsx to make.")],
    over: Annotated[
        bool, typer.Option("--over", help="Replace the tables and photos that are there.")
    ] = False,
    data: Data = "",
) -> None:
    """Take a job's tables and photos out of the workshop to a folder, a .zip or a workbook."""
    from loomwright.cli.show_moved import show_taken

    show_taken(bootstrap.take_out(name, target, data, over=over))


@workshop.command(
    short_help="Write the whole workshop into one file.",
    epilog="Example: loomwright backup workshop.zip. The site may stay open meanwhile.",
)
def backup(
    file: Annotated[str, typer.Argument(metavar="FILE", help="The .zip to make.")],
    data: Data = "",
) -> None:
    """Write all jobs, their history and photos into one file, as they are at one moment."""
    from loomwright.cli.show_moved import show_backup

    show_backup(bootstrap.back_up(file, data))


@workshop.command(
    short_help="Put a backup in the place of what the workshop holds.",
    epilog="Example: loomwright restore workshop.zip. "
    "The file is read through first; nothing is replaced unless all of it is sound.",
)
def restore(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A file that backup made.")],
    over: Annotated[
        bool, typer.Option("--over", help="Replace the jobs that the workshop holds now.")
    ] = False,
    data: Data = "",
) -> None:
    """Put the jobs, history and photos of a backup in the place of those of the workshop."""
    from loomwright.cli.show_moved import show_restored

    show_restored(bootstrap.put_back(file, data, over=over))
