"""`print`: sets the papers, puts each where it belongs, and says what each is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

import attrs

from loomwright.cli.page import Page, table
from loomwright.cli.screen import clean
from loomwright.documents.pack import file_name, papers
from loomwright.documents.typesetting import check_size, pages, pdf
from loomwright.loom import Job
from loomwright.loom.errors import OutOfRange, Stopped
from loomwright.services.counting import counted
from loomwright.services.diagnose import Progress
from loomwright.services.labelling import check_sheet
from loomwright.services.plan import followed_offer
from loomwright.services.ports import Papers
from loomwright.services.shots import shots
from loomwright.services.wire_use import as_planned
from loomwright.services.words import SAFETY
from loomwright.services.workup import WorkUp


@attrs.frozen
class Put:
    """A paper that was made.

    Attributes
    ----------
    place : where it stands now
    title : what it is
    pages : how many
    """

    place: str
    title: str
    pages: int


def day_of(text: str) -> str:
    """The day on the papers, ISO 8601; today where none is given.

    Raises
    ------
    OutOfRange
        when there is no such day.
    """
    if not text:
        return date.today().isoformat()
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as wrong:
        raise OutOfRange(
            f'"{text}" is no day', where="date", expected="write it as 2026-03-21"
        ) from wrong


def wanted_photos(job: Job, kinds: Sequence[str]) -> tuple[str, ...]:
    """Names of the photos that these papers show, the first ones first; no kinds are all."""
    return tuple(shot.name for shot in shots(job)) if "report" in kinds or not kinds else ()


def worked_up(
    job: Job, offer: str, label_sheet: str, photos: Mapping[str, bytes], progress: Progress
) -> WorkUp:
    """The job as it was planned, with what was done; its own offer where none is named."""
    return WorkUp(
        as_planned(job),
        offer=followed_offer(job, offer),
        label_sheet=label_sheet,
        progress=progress,
        photos=photos,
    )


def put_papers(
    known: WorkUp, papers_at: Papers, *, only: Sequence[str], size: str, made_on: str
) -> list[Put]:
    """Set every paper and put it there, each as soon as it is done.

    Parameters
    ----------
    known : the job and what is known of it
    papers_at : where they are put
    only : names of kinds; all where none is given
    size : `a4` or `letter`
    made_on : the day, ISO 8601

    Raises
    ------
    NotFound
        when a kind, the size or the sheet of labels is none of ours; nothing was written then.
    Stopped
        when the person stopped it; it names what was finished.
    """
    check_size(size)
    check_sheet(size, known.label_sheet)
    done: list[Put] = []
    try:
        for paper in papers(known, only=only, made_on=made_on):
            content = pdf(paper, size=size)
            place = papers_at.put(file_name(paper), content)
            done.append(Put(place, paper.context.title, pages(content)))
    except (KeyboardInterrupt, Stopped) as stop:
        finished = ", ".join(each.place for each in done) or "none"
        raise Stopped(
            f"printing was stopped; papers finished: {finished}",
            expected="run it again for the others",
        ) from stop
    return done


def show_print(done: Sequence[Put]) -> None:
    """Name the papers with what each is and its pages."""
    page = Page()
    if not done:
        page.say("The job gives nothing to print here.")
        return
    all_pages = counted(sum(each.pages for each in done), "page")
    page.say(f"Made {counted(len(done), 'paper')}, {all_pages}:")
    rows = table(("Paper", "left", 50), ("What it is", "left", 34), ("Pages", "right", 5))
    for each in done:
        rows.add_row(clean(each.place), clean(each.title), str(each.pages))
    page.show(rows)
    page.say(
        f"Print at 100 %. Before you cut or solder by a paper, hold it against the car. {SAFETY}"
    )
