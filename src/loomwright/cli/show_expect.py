"""What `expect` says: each reading against what a sound loom would read."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from loomwright.cli.page import Page, table
from loomwright.loom import Job
from loomwright.services.expect import Expectation
from loomwright.services.expect_words import (
    NONE_TAKEN,
    notes,
    off_throughout,
    short_state,
    temperatures,
)
from loomwright.services.numbers import shown
from loomwright.services.words import SAFETY, VERDICTS, band

if TYPE_CHECKING:
    from rich.table import Table


def show_expect(rows: Sequence[Expectation], job: Job) -> None:
    """One table, then what its figures rest on.

    Parameters
    ----------
    rows : the readings with their bands
    job : for the temperature of the workshop
    """
    page = Page()
    page.title(job.about.title)
    if not rows:
        page.say(f"{NONE_TAKEN}; add --all for those worth taking.")
        return
    always = off_throughout(rows)
    page.gap()
    page.show(_table(rows, always))
    page.gap()
    for note in notes(rows, always):
        page.say(note)
    for lead, note in temperatures(rows, job):
        page.say(note, lead=lead)
    page.say(SAFETY)


def _table(rows: Sequence[Expectation], always: frozenset[str]) -> Table:
    from rich.text import Text

    made = table(
        ("", "left", 4),
        ("Red – black", "left", 15),
        ("State", "left", 14),
        ("A sound loom reads", "right", 18),
        ("Taken", "right", 8),
        ("Verdict", "left", 13),
    )
    for row in rows:
        mark, style = VERDICTS[row.verdict]
        made.add_row(
            row.reading or "",
            f"{row.plus} – {row.minus}",
            short_state(row, always),
            band(row.low, row.high, row.quantity),
            "" if row.taken is None else shown(row.taken, row.quantity),
            Text(f"{mark} {row.verdict}", style=style),
        )
    return made
