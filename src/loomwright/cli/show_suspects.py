"""What `suspects` says: one glance at the top, then why, then what to measure next."""

from __future__ import annotations

from loomwright.cli.glance import glance
from loomwright.cli.page import Page
from loomwright.cli.show_next import show_next
from loomwright.loom import Job
from loomwright.services.counting import counted
from loomwright.services.labels import Labels
from loomwright.services.separation_words import separation
from loomwright.services.suspect_words import NOT_A_SUM, magnitude, not_used, reach, said_of
from loomwright.services.suspects import Suspect, SuspectsReport
from loomwright.services.words import SAFETY, sure

COLUMN = 12
"""Where the text of a suspect begins."""


def show_suspects(report: SuspectsReport, job: Job) -> None:
    """The whole page.

    Parameters
    ----------
    report : what is believed of the job
    job : for the labels
    """
    page = Page()
    labels = Labels(job)
    page.title(report.job)
    page.say(f"{counted(report.readings_used, 'reading')} taken into account")
    page.show(glance(report, labels, width=page.out.width))
    if report.suspects:
        page.heading("Suspects, and what speaks for and against them")
        for number, suspect in enumerate(report.suspects):
            _suspect(page, suspect, labels, number=number, claimed=number == report.claimed)
        page.say(NOT_A_SUM)
    if report.next_readings:
        show_next(page, report)
    for each in report.separations:
        page.heading(f"Hot against cold: {labels.owner(each.device)}")
        for line in separation(each):
            page.say(line[2:], lead=line[:2])
    _fits_nothing(page, report)
    _ground_covered(page, report)


def _suspect(page: Page, suspect: Suspect, labels: Labels, *, number: int, claimed: bool) -> None:
    mark = "●" if claimed else "○"
    lead = f"{mark} {number + 1}  {sure_short(suspect)}".ljust(COLUMN)
    page.say(labels.place(suspect.items, suspect.kind), lead=lead, style="head")
    page.say(magnitude(suspect), lead=" " * COLUMN)
    for word, text in _why(suspect):
        page.say(text, lead=f"     {word}".ljust(COLUMN))
    page.gap()


def _why(suspect: Suspect) -> list[tuple[str, str]]:
    """What is told of it, each word once."""
    said = list(said_of(suspect))
    return [
        (word if n == 0 or said[n - 1][0] != word else "", text)
        for n, (word, text) in enumerate(said)
    ]


def sure_short(suspect: Suspect) -> str:
    """The share in a narrow column: `> 99 %`, `46 %`."""
    return sure(suspect.probability).replace("more than", ">").replace("less than", "<")


def _fits_nothing(page: Page, report: SuspectsReport) -> None:
    lines = list(not_used(report))
    if lines:
        page.heading("Readings that do not fit or were not used")
    for line in lines:
        page.say(line, lead="! ", style="care")


def _ground_covered(page: Page, report: SuspectsReport) -> None:
    page.heading("How far this reaches")
    for line in reach(report):
        page.say(line)
    page.say(SAFETY)
