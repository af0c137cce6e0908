"""What `new` says: what was made, and what to do with it."""

from __future__ import annotations

from loomwright.cli.page import Page
from loomwright.loom import Job, schema


def show_new(job: Job, place: str) -> None:
    """Say where the job is and how to go on.

    Parameters
    ----------
    job : the job as it was kept
    place : where it is kept
    """
    page = Page()
    sheets = "sheets" if place.lower().endswith(".xlsx") else "tables"
    lines = sum(len(job.rows(table.name)) for table in schema.TABLES if table.name != "job") + 1
    page.say(f'Made the job "{place}": {len(schema.TABLES)} {sheets}, {lines} worked lines.')
    page.say(
        f"The worked lines are invented. Open the {sheets} in a spreadsheet and type your own "
        "over them: plugs, wires, devices with their elements, then readings as you take them. "
        "A cell you do not know stays blank."
    )
    page.out.print(f"Then: loomwright check {typed(place)}", soft_wrap=True)


def typed(place: str) -> str:
    """A place as one types it into a terminal."""
    return f'"{place}"' if " " in place else place
