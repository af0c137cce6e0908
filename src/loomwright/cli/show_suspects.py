"""What `suspects` says: one glance at the top, then why, then what to measure next."""

from __future__ import annotations

from loomwright.cli.failures import counted
from loomwright.cli.glance import glance
from loomwright.cli.page import Page
from loomwright.cli.show_next import show_next
from loomwright.cli.show_separations import separation
from loomwright.loom import Job
from loomwright.services.finding_words import doubt
from loomwright.services.labels import Labels
from loomwright.services.suspects import Suspect, SuspectsReport
from loomwright.services.words import BETWEEN, SAFETY, band, fault, listed, sure

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
        page.say("Two things can be wrong at once: the shares need not add up to 100 %.")
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
    said = [("for", reason.sentence) for reason in suspect.because]
    said += [("for", suspect.complaint)] if suspect.complaint else []
    said += [("but", reason.sentence) for reason in suspect.against]
    if len(suspect.kinds) > 1:
        kinds = [f"{fault(kind)} {sure(share)}" for kind, share in suspect.kinds]
        said.append(("kind", listed(kinds, "or")))
    if doubt(suspect):
        said.append(("doubt", f"it rests on {doubt(suspect)}"))
    if suspect.apart and not between_two(suspect):
        said.append(("apart", suspect.apart))
    return [
        (word if n == 0 or said[n - 1][0] != word else "", text)
        for n, (word, text) in enumerate(said)
    ]


def sure_short(suspect: Suspect) -> str:
    """The share in a narrow column: `> 99 %`, `46 %`."""
    return sure(suspect.probability).replace("more than", ">").replace("less than", "<")


def magnitude(suspect: Suspect) -> str:
    """What is wrong there and how much: `high resistance, about 111 Ω (90 % range …)`."""
    if suspect.ohm is None:
        return fault(suspect.kind)
    low, middle, high = suspect.ohm
    about = band(middle, middle, "ohm")
    return f"{fault(suspect.kind)}, about {about} (90 % range {band(low, high, 'ohm')})"


def between_two(suspect: Suspect) -> bool:
    """Whether the two items are the ends of one fault rather than two candidates for it."""
    owners = {item.partition(".")[0] for item in suspect.items}
    return suspect.kind in BETWEEN and len(suspect.items) == 2 and len(owners) == 1


def _fits_nothing(page: Page, report: SuspectsReport) -> None:
    if not report.contradictions and not report.set_aside:
        return
    page.heading("Readings that do not fit or were not used")
    for each in report.contradictions:
        page.say(each.sentence, lead="! ", style="care")
    for reading, reason in report.set_aside:
        page.say(f"{reading} is set aside: {reason}.", lead="! ", style="care")


def _ground_covered(page: Page, report: SuspectsReport) -> None:
    page.heading("How far this reaches")
    page.say(
        f"These readings could have shown {sure(report.coverage)} of the faults that are modelled, "
        "each counted by how often it is met. The rest has not been looked at."
    )
    page.say(
        f"Nothing wrong at all: {sure(report.sound)}. "
        f"Something that is not modelled: {sure(report.unmodelled)}."
    )
    page.say(SAFETY)
