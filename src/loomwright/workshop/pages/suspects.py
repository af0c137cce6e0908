"""What is wrong and how sure: every suspect with its reasons, and what the control unit sees."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.services.counting import counted
from loomwright.services.finding_words import how_sure, to_do, wrong
from loomwright.services.labels import Labels
from loomwright.services.reading_words import ONE_BIT, Step, expected, steps, worth
from loomwright.services.separation_words import separation
from loomwright.services.suspect_words import (
    NOT_A_SUM,
    likely,
    magnitude,
    not_used,
    reach,
    said_of,
)
from loomwright.services.suspects import NextReading, Suspect, SuspectsReport
from loomwright.services.words import sentence, sure
from loomwright.workshop.asking import asking_url
from loomwright.workshop.pages.not_yet import too_early
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.pages.seen_part import SeenPart, seen_part
from loomwright.workshop.results import Worked, worked_up

LETTERS = "ABCDEFGH"
_HEADS = {
    "for": "Speaks for it",
    "but": "Speaks against it",
    "kind": "Kind",
    "doubt": "Doubt",
    "apart": "Not to be told apart",
}


@attrs.frozen
class Said:
    """What is told of a suspect under one head."""

    head: str
    lines: tuple[str, ...]


@attrs.frozen(kw_only=True)
class SuspectCard:
    """One suspect.

    Attributes
    ----------
    number : in the list, from 1
    claimed : whether it may be acted on
    place, magnitude : where, what and how much
    share, said, likely : of its bar: whole percent, the figure as it is told, a word
    reasons : what speaks for and against it, and the rest
    apart : that no reading tells its items apart, and what would; blank where there is one item
    """

    number: int
    claimed: bool
    place: str
    magnitude: str
    share: int
    said: str
    likely: str
    reasons: tuple[Said, ...]
    apart: str


@attrs.frozen(kw_only=True)
class NextCard:
    """One reading worth taking."""

    letter: str
    worth: str
    steps: tuple[Step, ...]
    gives: tuple[tuple[str, str], ...]
    url: str


@attrs.frozen(kw_only=True)
class Apart:
    """Hot readings against cold ones at one device."""

    heading: str
    lines: tuple[str, ...]


@page("suspects.html")
@attrs.frozen(kw_only=True)
class SuspectsPage:
    """What is believed of the job."""

    used: str = told("How many readings were taken into account")
    wrong: tuple[str, ...] = told("What is wrong, as far as it is known")
    how_sure: tuple[str, ...] = told("How sure that is, and on what it rests")
    mind: tuple[str, ...] = told("Readings that do not fit or were not used, each with why")
    do: tuple[str, ...] = told("The next thing to do")
    best: NextCard | None = told("The best next reading; None where none is worth its time")
    claimed: bool = told("Whether something is sure enough to act on")
    suspects: tuple[SuspectCard, ...] = told("Likeliest first")
    not_a_sum: str = told("That the shares need not add up")
    next: tuple[NextCard, ...] = told("Readings worth taking, the best first")
    unit: str = told("What a bit is")
    apart: tuple[Apart, ...] = told("Hot against cold, a device each")
    seen: SeenPart | None = told("What the control unit sees; None before the first reading")
    reach: tuple[str, ...] = told("How far the readings reach")


def suspects(request: HttpRequest, job: str) -> HttpResponse:
    """Show the suspects."""
    if early := too_early(request, job, "suspects", title="Suspects", here="Suspects"):
        return early
    with worked_up(job) as worked:
        shown = _suspects_page(job, worked)
    return show(request, shown, title="Suspects", job=job, here="Suspects")


def _suspects_page(job: str, worked: Worked) -> SuspectsPage:
    report, labels = worked.results.suspects, worked.results.labels
    offered = tuple(
        _next(job, letter, each)
        for letter, each in zip(LETTERS, report.next_readings, strict=False)
    )
    seen = worked.results.sees
    return SuspectsPage(
        used=f"{counted(report.readings_used, 'reading')} taken into account",
        wrong=tuple(wrong(report, labels)),
        how_sure=tuple(how_sure(report)),
        mind=tuple(not_used(report)),
        do=tuple(to_do(report, labels)),
        best=offered[0] if offered and not report.stop else None,
        claimed=report.claimed is not None,
        suspects=tuple(
            _suspect(each, labels, number=number, claimed=number == report.claimed)
            for number, each in enumerate(report.suspects)
        ),
        not_a_sum=NOT_A_SUM,
        next=offered,
        unit=ONE_BIT,
        apart=_apart(report, labels),
        seen=seen_part(seen, worked.job, labels) if seen else None,
        reach=tuple(reach(report)),
    )


def _suspect(suspect: Suspect, labels: Labels, *, number: int, claimed: bool) -> SuspectCard:
    by_word: dict[str, list[str]] = {}
    for word, text in said_of(suspect):
        by_word.setdefault(word, []).append(sentence(text))
    apart = by_word.pop("apart", [])
    return SuspectCard(
        number=number + 1,
        claimed=claimed,
        place=sentence(labels.place(suspect.items, suspect.kind)),
        magnitude=sentence(magnitude(suspect)),
        share=round(100 * suspect.probability),
        said=sure(suspect.probability).removesuffix(" %"),
        likely=likely(suspect),
        reasons=tuple(Said(_HEADS[word], tuple(lines)) for word, lines in by_word.items()),
        apart=" ".join(apart),
    )


def _next(job: str, letter: str, reading: NextReading) -> NextCard:
    return NextCard(
        letter=letter,
        worth=worth(reading),
        steps=steps(reading.words, reading.cautions),
        gives=tuple((sentence(who), text) for who, text in expected(reading)),
        url=asking_url(job, reading.suggestion.candidate.probe),
    )


def _apart(report: SuspectsReport, labels: Labels) -> tuple[Apart, ...]:
    return tuple(
        Apart(
            heading=f"Hot against cold: {labels.owner(each.device)}",
            lines=tuple(separation(each)),
        )
        for each in report.separations
    )
